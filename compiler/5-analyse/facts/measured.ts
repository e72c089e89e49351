/** What values the readings of a measurement allow, and which of them its ranges claim. */
import { lackingFacts } from "../../4-specialise/specialise.ts";
import type { FactUse, Step, Value } from "../../model/base.ts";
import { fromSi, toSi, unitOf } from "../../model/units.ts";
import { type Inputs, rangeOf } from "./formula-range.ts";
import type { GraphFacts } from "./graph-facts.ts";
import type { Box, Interval } from "./interval.ts";

/** The bounds of readings in SI. Facts must have been put in (see 4-specialise). */
export function boxOf(inputs: Inputs): Box {
  return new Map(
    [...inputs].flatMap(
      ([
        name,
        {
          unit: symbol,
          between: [low, high],
        },
      ]) => {
        const unit = unitOf(symbol);
        return unit ? [[name, { low: toSi(low, unit), high: toSi(high, unit) }]] : [];
      },
    ),
  );
}

/** Several rules ask, and a value doesn't change. */
const intervals = new WeakMap<Value, Interval>();

/** All values that readings within their bounds can give, in the value's unit. Never too narrow. */
export function valueInterval(value: Value): Interval {
  const interval = intervals.get(value) ?? measure(value);
  intervals.set(value, interval);
  return interval;
}
function measure(value: Value): Interval {
  const { expression } = value;
  if (expression.kind === "input") {
    const input = value.inputs.get(expression.name);
    if (input && input.unit === value.unit) return { low: input.between[0], high: input.between[1] };
  }
  const unit = unitOf(value.unit);
  if (!unit) return { low: Number.NEGATIVE_INFINITY, high: Number.POSITIVE_INFINITY };
  const { low, high } = rangeOf(expression, boxOf(value.inputs));
  return { low: fromSi(low, unit), high: fromSi(high, unit) };
}

/** Numbers that differ by less are one, written in two units or rounded by arithmetic. */
const SAME = 1e-9;
export function isSame(a: number, b: number): boolean {
  return a === b || (Number.isFinite(a - b) && Math.abs(a - b) <= SAME * Math.max(Math.abs(a), Math.abs(b)));
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
    if (from > scale.high && !isSame(from, scale.high)) break;
    if (from > reached && !isSame(from, reached)) gaps.push({ from: reached, below: from });
    reached = below;
  }
  if (reached === Number.POSITIVE_INFINITY) return gaps;
  if (isSame(reached, scale.high)) gaps.push({ from: reached, below: reached });
  else if (reached < scale.high) gaps.push({ from: reached, below: scale.high });
  return gaps;
}

/** Whether a range can be taken at all: it is not empty and meets the scale. */
export function canOccur({ from, below }: Pick<Range, "from" | "below">, { low, high }: Interval): boolean {
  return from < below && (from <= high || isSame(from, high)) && below > low && !isSame(below, low);
}

/** Facts that a measurement computes with and the equipment of this graph does not have as an amount. */
export function lackedBy({ value, branches }: Step, { graph, world }: GraphFacts): FactUse[] {
  const uses = [...(value?.facts ?? []), ...branches.flatMap(({ ends }) => ends?.facts ?? [])];
  if (uses.length === 0) return uses;
  return lackingFacts(uses, world.catalogs.equipment.get(graph.families[0] ?? "")?.entry.facts ?? {});
}
