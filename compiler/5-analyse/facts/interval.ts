/**
 * Interval arithmetic over formulas: which values can come out when every input lies between two numbers.
 *
 * Sound: every step is rounded outward, so that what can come out lies inside. Exact, but for that rounding, where each
 * input is named once; where one is named several times the interval may be too wide (see `formula-range.ts`). Inside
 * the branches of an `if`, an input that is compared directly is narrowed by the comparison.
 */
import { type Expression, evaluate } from "../../model/formula.ts";

/** Closed; infinite where there is no bound. In SI. */
export interface Interval {
  readonly low: number;
  readonly high: number;
}
/** What each input lies between, by its name. */
export type Box = ReadonlyMap<string, Interval>;

/** An operation that has no value for some operands: a division, a root, a power, a logarithm. */
export type Operation = Expression & { readonly kind: "operation" };

/** @param suspects Takes every operation that may have no value somewhere in the box. */
export function boundsOf(expression: Expression, box: Box, suspects?: Set<Operation>): Interval {
  if (expression.kind === "number") return { low: expression.value, high: expression.value };
  if (expression.kind === "input") return box.get(expression.name) ?? everything;
  if (expression.operator === "IF") return chosen(expression, box, suspects);
  const [a, b = a] = expression.operands.map((operand) => boundsOf(operand, box, suspects)) as [Interval, Interval?];
  const suspect = (): void => void suspects?.add(expression);
  switch (expression.operator) {
    case "+":
      return outward(a.low + b.low, a.high + b.high);
    case "-":
      return outward(a.low - b.high, a.high - b.low);
    case "*":
      return product(a, b);
    case "/": {
      if (b.low > 0 || b.high < 0) return product(a, outward(1 / b.high, 1 / b.low));
      suspect();
      if (b.low === 0 && b.high > 0) return product(a, { low: 1 / b.high, high: Number.POSITIVE_INFINITY });
      if (b.high === 0 && b.low < 0) return product(a, { low: Number.NEGATIVE_INFINITY, high: 1 / b.low });
      return everything;
    }
    case "^":
      return power(a, b, suspect);
    case "NEG":
      return { low: -a.high, high: -a.low };
    case "SQRT":
      if (a.low < 0) suspect();
      return outward(Math.sqrt(Math.max(0, a.low)), Math.sqrt(Math.max(0, a.high)));
    case "ROOT": {
      const isOdd = b.low % 2 === 1;
      if (a.low < 0 && !isOdd) suspect();
      const root = (x: number): number => evaluate([isOdd ? x : Math.max(0, x), b.low, "ROOT"], missing);
      return outward(root(a.low), root(a.high));
    }
    case "LOG":
      if (a.low <= 0) suspect();
      return outward(Math.log10(Math.max(0, a.low)), Math.log10(Math.max(0, a.high)));
    case "ROUND":
      return { low: evaluate([a.low, "ROUND"], missing), high: evaluate([a.high, "ROUND"], missing) };
    case "MIN":
      return { low: Math.min(a.low, b.low), high: Math.min(a.high, b.high) };
    case "MAX":
      return { low: Math.max(a.low, b.low), high: Math.max(a.high, b.high) };
    case "<":
      return truth(a.high < b.low, a.low >= b.high);
    case "<=":
      return truth(a.high <= b.low, a.low > b.high);
    case ">":
      return truth(a.low > b.high, a.high <= b.low);
    case ">=":
      return truth(a.low >= b.high, a.high < b.low);
    default:
      return expression.operator satisfies never;
  }
}

const everything: Interval = { low: Number.NEGATIVE_INFINITY, high: Number.POSITIVE_INFINITY };
function missing(name: string): number {
  throw new Error(`${name} is no number`);
}

/** A few units in the last place further out: roots and powers are not rounded as exactly as the rest. Nought is exact. */
function outward(low: number, high: number): Interval {
  const EPSILON = 4 * Number.EPSILON;
  const further = (end: number, sign: 1 | -1): number => {
    if (Number.isNaN(end)) return sign * Number.POSITIVE_INFINITY;
    return Number.isFinite(end) ? end + sign * Math.abs(end) * EPSILON : end;
  };
  return { low: further(low, -1), high: further(high, 1) };
}

function product(a: Interval, b: Interval): Interval {
  // Zero times infinity: the factor can come as near to zero as it likes, and the product is then zero.
  const corners = [a.low * b.low, a.low * b.high, a.high * b.low, a.high * b.high].map((x) =>
    Number.isNaN(x) ? 0 : x,
  );
  return outward(Math.min(...corners), Math.max(...corners));
}

function power(base: Interval, exponent: Interval, suspect: () => void): Interval {
  const n = exponent.low;
  if (n === exponent.high && Number.isInteger(n)) {
    if (n < 0 && base.low <= 0 && base.high >= 0) {
      suspect();
      return everything;
    }
    const corners = [base.low ** n, base.high ** n];
    const hasTurn = n > 0 && n % 2 === 0 && base.low < 0 && base.high > 0;
    return outward(hasTurn ? 0 : Math.min(...corners), Math.max(...corners));
  }
  if (base.low < 0 || (base.low === 0 && exponent.low < 0)) suspect();
  // A negative number has powers after all where the exponent happens to be whole.
  if (base.low < 0 && exponent.low < exponent.high) return everything;
  const [low, high] = [Math.max(0, base.low), Math.max(0, base.high)];
  // The logarithm of a power is a product, whose extremes lie at the corners.
  const corners = [low ** exponent.low, low ** exponent.high, high ** exponent.low, high ** exponent.high];
  return outward(Math.min(...corners), Math.max(...corners));
}

function truth(always: boolean, never: boolean): Interval {
  return { low: always ? 1 : 0, high: never ? 0 : 1 };
}

function chosen(expression: Operation, box: Box, suspects: Set<Operation> | undefined): Interval {
  const [condition, then, otherwise] = expression.operands as [Expression, Expression, Expression];
  const { low, high } = boundsOf(condition, box, suspects);
  const branch = (result: Expression, isTrue: boolean): Interval | undefined => {
    const narrowed = narrow(condition, box, isTrue);
    return narrowed && boundsOf(result, narrowed, suspects);
  };
  const one = high > 0 ? branch(then, true) : undefined;
  const other = low < 1 ? branch(otherwise, false) : undefined;
  if (!one || !other) return one ?? other ?? everything;
  return { low: Math.min(one.low, other.low), high: Math.max(one.high, other.high) };
}

const opposite = { "<": ">=", "<=": ">", ">": "<=", ">=": "<" } as const;
const mirrored = { "<": ">", "<=": ">=", ">": "<", ">=": "<=" } as const;
type Comparison = keyof typeof opposite;

/** The part of the box in which a comparison comes out so; undefined where there is none. */
function narrow(condition: Expression, box: Box, isTrue: boolean): Box | undefined {
  if (condition.kind !== "operation" || !(condition.operator in opposite)) return box;
  const operator = condition.operator as Comparison;
  const [left, right] = condition.operands as [Expression, Expression];
  const sign = isTrue ? operator : opposite[operator];
  const narrowed = new Map(box);
  const limit = (input: Expression, than: Expression, by: Comparison): boolean => {
    if (input.kind !== "input") return true;
    const own = narrowed.get(input.name) ?? everything;
    const { low, high } = boundsOf(than, box);
    const next = by.startsWith("<")
      ? { low: own.low, high: Math.min(own.high, by === "<" && high === 0 ? -Number.MIN_VALUE : high) }
      : { low: Math.max(own.low, by === ">" && low === 0 ? Number.MIN_VALUE : low), high: own.high };
    narrowed.set(input.name, next);
    return next.low <= next.high;
  };
  return limit(left, right, sign) && limit(right, left, mirrored[sign]) ? narrowed : undefined;
}
