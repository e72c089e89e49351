/** What values the readings of a measurement allow, and which of them its ranges claim. */
import type { Step, Value } from "../../model/base.ts";

/** Closed; infinite where a divisor can be zero. */
export interface Interval {
  readonly low: number;
  readonly high: number;
}

/** All values that readings within their bounds can give. Each reading is taken once per mention, so a bound may be wide. */
export function valueInterval(step: Pick<Step, "readings">, value: Value): Interval {
  const of = (operand: Value["times"][number]): Interval => {
    if ("constant" in operand) return { low: operand.constant, high: operand.constant };
    const [low, high] = step.readings.find(({ id }) => id === operand.reading)?.between ?? [
      Number.NEGATIVE_INFINITY,
      Number.POSITIVE_INFINITY,
    ];
    return { low, high };
  };
  let result: Interval = { low: value.scale, high: value.scale };
  for (const operand of value.times) result = product(result, of(operand));
  for (const operand of value.over) {
    const { low, high } = of(operand);
    if (low > 0 || high < 0) result = product(result, { low: 1 / high, high: 1 / low });
    else if (low === 0 && high > 0) result = product(result, { low: 1 / high, high: Number.POSITIVE_INFINITY });
    else result = { low: Number.NEGATIVE_INFINITY, high: Number.POSITIVE_INFINITY };
  }
  return result;
}

function product(a: Interval, b: Interval): Interval {
  // Zero times infinity: the factor can come as near to zero as it likes, and the product is then zero.
  const corners = [a.low * b.low, a.low * b.high, a.high * b.low, a.high * b.high].map((x) =>
    Number.isNaN(x) ? 0 : x,
  );
  return { low: Math.min(...corners), high: Math.max(...corners) };
}

export interface Range {
  readonly id: string;
  /** Included. */
  readonly from: number;
  /** Not included. */
  readonly below: number;
}

/**
 * @param ranges Half-open, any order, may overlap.
 * @param scale Values that can occur.
 * @returns Half-open stretches of the scale that no range claims, lowest first; a stretch that is only the top end has `from === below`.
 */
export function uncovered(ranges: readonly Range[], scale: Interval): { from: number; below: number }[] {
  const gaps: { from: number; below: number }[] = [];
  let reached = scale.low;
  for (const { from, below } of [...ranges].sort((a, b) => a.from - b.from)) {
    if (below <= reached || below <= from) continue;
    if (from > scale.high) break;
    if (from > reached) gaps.push({ from: reached, below: from });
    reached = below;
  }
  if (reached <= scale.high && reached < Number.POSITIVE_INFINITY) gaps.push({ from: reached, below: scale.high });
  return gaps;
}

/** Whether a range can be taken at all: it is not empty and meets the scale. */
export function canOccur({ from, below }: Pick<Range, "from" | "below">, { low, high }: Interval): boolean {
  return from < below && from <= high && below > low;
}
