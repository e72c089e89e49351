/**
 * What a formula can give, and where it gives nothing, by cutting the box of its inputs into smaller ones.
 *
 * Where an input is named several times, plain interval arithmetic is too wide. On smaller boxes it is less so, and where
 * the formula rises or falls with an input all through a box, only the ends of that input count. The number of cuts is
 * limited, so the answer stays a little too wide where an input is named several times; it is never too narrow.
 */
import { codeOf, type Expression, evaluate, inputsOf } from "../../model/formula.ts";
import { fromSi, unitOf } from "../../model/units.ts";
import { derivative } from "./derivative.ts";
import { type Box, boundsOf, type Interval, type Operation } from "./interval.ts";

const MAX_CUTS = 200;
const MAX_SEARCHED = 300;
/** Cutting ends when a bound is as near to a value that does come out, as a share of the spread of such values. */
const CLOSE = 1e-4;

/** How the formula changes with each of its inputs, where that can be said. */
type Slopes = ReadonlyMap<string, Expression | undefined>;

/** All values that inputs within the box can give. */
export function rangeOf(expression: Expression, box: Box): Interval {
  const named = inputsOf(expression);
  const names = new Set(named);
  if (names.size === named.length) return boundsOf(expression, box);
  const code = codeOf(expression);
  const reached = [...pointsOf(box, [...names])]
    .map((point) => evaluate(code, (name) => point.get(name) ?? Number.NaN))
    .filter(Number.isFinite);
  const [least, most] = [Math.min(...reached), Math.max(...reached)];
  const slopes = new Map([...names].map((name) => [name, derivative(expression, name)]));
  const close = CLOSE * (most - least);
  return {
    low: extreme(expression, box, slopes, "low", least - close),
    high: extreme(expression, box, slopes, "high", most + close),
  };
}

type End = "low" | "high";

/** One end of what can come out, not closer than `enough`: always the box that may hold it is cut. */
function extreme(expression: Expression, box: Box, slopes: Slopes, end: End, enough: number): number {
  const isFurther = (a: number, b: number): boolean => (end === "low" ? a < b : a > b);
  const measured = (one: Box) => {
    const reduced = withoutSlopes(one, slopes, end);
    return { box: reduced, value: boundIn(expression, reduced, slopes, end) };
  };
  let furthest = measured(box);
  const boxes = [furthest];
  for (let cuts = 0; cuts < MAX_CUTS && isFurther(furthest.value, enough); cuts++) {
    const { box: from } = furthest;
    const halves = cut(from, slopes.keys(), box, (name) => {
      const slope = slopes.get(name);
      const { low, high } = slope ? boundsOf(slope, from) : everything;
      return widthOf(from, name) * Math.max(Math.abs(low), Math.abs(high));
    });
    if (!halves) break;
    boxes.splice(boxes.indexOf(furthest), 1, ...halves.map(measured));
    furthest = boxes.reduce((best, one) => (isFurther(one.value, best.value) ? one : best));
  }
  return furthest.value;
}

/** The box without the inputs along which the formula only rises or only falls: these stand at the end that counts. */
function withoutSlopes(box: Box, slopes: Slopes, end: End): Box {
  let reduced = box;
  for (let changed = true; changed; ) {
    changed = false;
    for (const [name, slope] of slopes) {
      const { low, high } = reduced.get(name) ?? everything;
      if (!slope || low === high) continue;
      const steepness = boundsOf(slope, reduced);
      if (!(steepness.low >= 0 || steepness.high <= 0)) continue;
      const at = steepness.low >= 0 === (end === "low") ? low : high;
      reduced = new Map(reduced).set(name, { low: at, high: at });
      changed = true;
    }
  }
  return reduced;
}
const everything: Interval = { low: Number.NEGATIVE_INFINITY, high: Number.POSITIVE_INFINITY };

/** The closer of two bounds: by intervals, and from the middle of the box by the steepest slope in it. */
function boundIn(expression: Expression, box: Box, slopes: Slopes, end: End): number {
  const plain = boundsOf(expression, box)[end];
  const middle = new Map(box);
  let change = 0;
  for (const [name, slope] of slopes) {
    const { low, high } = box.get(name) ?? everything;
    const half = (high - low) / 2;
    if (half === 0) continue;
    middle.set(name, { low: low + half, high: low + half });
    const steepness = slope ? boundsOf(slope, box) : everything;
    // Rounded outward: the middle itself is rounded.
    change += half * Math.max(Math.abs(steepness.low), Math.abs(steepness.high)) * (1 + 1e-12);
  }
  if (!Number.isFinite(change)) return plain;
  const centre = boundsOf(expression, middle)[end];
  return end === "low" ? Math.max(plain, centre - change) : Math.min(plain, centre + change);
}

/**
 * Halved along the input that weighs most; undefined when the box is as small as numbers allow.
 *
 * @param weight Finite, or infinite where it can't be said; then the share of the whole decides.
 */
function cut(
  box: Box,
  names: Iterable<string>,
  whole: Box,
  weight: (name: string) => number = () => Number.POSITIVE_INFINITY,
): [Box, Box] | undefined {
  let chosen: { name: string; weight: number; share: number } | undefined;
  for (const name of names) {
    const share = widthOf(box, name) / widthOf(whole, name);
    if (!(share > 1e-9)) continue;
    const one = { name, weight: weight(name), share };
    if (!chosen || one.weight > chosen.weight || (one.weight === chosen.weight && share > chosen.share)) chosen = one;
  }
  if (!chosen) return undefined;
  const { name } = chosen;
  const { low, high } = box.get(name) ?? { low: 0, high: 0 };
  const middle = low + (high - low) / 2;
  return [new Map(box).set(name, { low, high: middle }), new Map(box).set(name, { low: middle, high })];
}
function widthOf(box: Box, name: string): number {
  const { low, high } = box.get(name) ?? { low: 0, high: 0 };
  return high - low;
}

/** One value for every input. */
export type Point = ReadonlyMap<string, number>;

export interface Undefinedness {
  readonly operation: Operation;
  /** Inputs that leave it without a value; undefined when none were found, though none could be ruled out. */
  readonly point: Point | undefined;
}

/**
 * Whether a formula has no value somewhere in the box: a division by nought, a root or a logarithm of what has none.
 *
 * Proven with a point, or ruled out by intervals. What is neither within the limit of the search is given without a
 * point; that happens where a divisor touches nought without crossing it, or where inputs hang together in a way that
 * intervals don't see.
 */
export function findUndefined(expression: Expression, box: Box): Undefinedness | undefined {
  const names = [...new Set(inputsOf(expression))];
  const signs: Signs = new Map();
  let open: Operation | undefined;
  const boxes: Box[] = [box];
  for (let searched = 0; searched < boxes.length; searched++) {
    const one = boxes[searched] as Box;
    const suspects = new Set<Operation>();
    boundsOf(expression, one, suspects);
    const [suspect] = suspects;
    if (!suspect) continue;
    for (const point of pointsOf(one, names)) {
      const operation = undefinedAt(expression, point, signs);
      if (operation) return { operation, point };
    }
    for (const operation of suspects) {
      const { above, below } = signs.get(operation) ?? {};
      const point = above && below && crossing(expression, operation, above, below);
      if (point) return { operation, point };
    }
    const halves = boxes.length < MAX_SEARCHED ? cut(one, names, box) : undefined;
    if (halves) boxes.push(...halves);
    else open ??= suspect;
  }
  return open && { operation: open, point: undefined };
}

/** The corners, as far as they are few, and the middle. */
function* pointsOf(box: Box, names: readonly string[]): Iterable<Point> {
  const few = Math.min(names.length, 6);
  for (let corner = 0; corner < 2 ** few; corner++)
    yield new Map(
      names.map((name, i) => {
        const { low, high } = box.get(name) ?? { low: 0, high: 0 };
        return [name, (corner >> Math.min(i, few - 1)) & 1 ? high : low];
      }),
    );
  yield new Map(
    names.map((name) => {
      const { low, high } = box.get(name) ?? { low: 0, high: 0 };
      return [name, low + (high - low) / 2];
    }),
  );
}

/** Of every division that was computed: points with a divisor above and below nought, as soon as there were such. */
type Signs = Map<Operation, { above?: Point; below?: Point }>;

/** The first operation that has no value at this point, in the order in which it is computed. */
function undefinedAt(expression: Expression, point: Point, signs: Signs): Operation | undefined {
  let found: Operation | undefined;
  const compute = (part: Expression): number => {
    if (part.kind === "number") return part.value;
    if (part.kind === "input") return point.get(part.name) ?? Number.NaN;
    if (part.operator === "IF") {
      const [condition, then, otherwise] = part.operands as [Expression, Expression, Expression];
      return compute(compute(condition) ? then : otherwise);
    }
    const operands = part.operands.map(compute);
    if (found) return Number.NaN;
    const [a = 0, b = 0] = operands;
    if (part.operator === "/") {
      const seen = signs.get(part) ?? {};
      if (b > 0) seen.above ??= point;
      else if (b < 0) seen.below ??= point;
      signs.set(part, seen);
    }
    const isUndefined =
      (part.operator === "/" && b === 0) ||
      (part.operator === "SQRT" && a < 0) ||
      (part.operator === "ROOT" && a < 0 && b % 2 === 0) ||
      (part.operator === "LOG" && a <= 0) ||
      (part.operator === "^" && ((a < 0 && !Number.isInteger(b)) || (a === 0 && b < 0)));
    if (isUndefined) found = part;
    return evaluate([...operands, part.operator], () => Number.NaN);
  };
  compute(expression);
  return found;
}

/**
 * A point between two where the divisor is nought, since it is positive at one and negative at the other. Undefined where
 * it jumps instead, or where an `if` leaves the division out.
 */
function crossing(expression: Expression, operation: Operation, above: Point, below: Point): Point | undefined {
  const divisor = codeOf(operation.operands[1] as Expression);
  const at = (point: Point): number => evaluate(divisor, (name) => point.get(name) ?? Number.NaN);
  const size = Math.max(Math.abs(at(above)), Math.abs(at(below)));
  let [positive, negative] = [above, below];
  let middle = positive;
  for (let halvings = 0; halvings < 100; halvings++) {
    const other = negative;
    middle = new Map([...positive].map(([name, a]) => [name, a + ((other.get(name) ?? a) - a) / 2]));
    const value = at(middle);
    if (value === 0) break;
    if (value > 0) positive = middle;
    else negative = middle;
  }
  const signs: Signs = new Map();
  undefinedAt(expression, middle, signs);
  return signs.has(operation) && Math.abs(at(middle)) <= 1e-9 * size ? middle : undefined;
}

/** A reading or an input that a formula names, by what it is read in. */
export type Inputs = ReadonlyMap<string, { readonly unit: string; readonly between: readonly [number, number] }>;

/** What is the matter with an operation, as the end of "... when ...". */
export function undefinedWords({ operator, text }: Operation): string {
  switch (operator) {
    case "/":
      return `\`${text}\` divides by nought`;
    case "LOG":
      return `\`${text}\` takes the logarithm of nought or of less`;
    case "^":
      return `\`${text}\` has no value, as a power of nought or of a negative number,`;
    default:
      return `\`${text}\` takes the root of a negative number`;
  }
}

/** Those inputs that matter to the operation, with their values: "`time` is 0 s". */
export function pointWords({ operator, operands }: Operation, point: Point, inputs: Inputs): string {
  const [first, second] = operands as [Expression, Expression?];
  const names = inputsOf(operator === "/" && second ? second : first);
  const words = [...new Set(names)].flatMap((name) => {
    const input = inputs.get(name);
    const unit = input && unitOf(input.unit);
    const value = point.get(name);
    if (!unit || value === undefined) return [];
    const { symbol } = unit;
    const exact = fromSi(value, unit);
    const isNought = Math.abs(exact) < 1e-9 * Math.max(...input.between.map(Math.abs));
    const number = isNought ? 0 : Number(exact.toPrecision(6));
    return [`\`${name}\` is ${number}${symbol === "1" ? "" : ` ${symbol}`}`];
  });
  return words.length === 0 ? "always" : `when ${words.join(" and ")}`;
}
