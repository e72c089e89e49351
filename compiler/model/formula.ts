/**
 * Formulas as plain data, and the one place where they are computed: the compiler runs the worked examples with it and
 * the page computes what a reader has typed. Nothing here can run code; a formula is numbers, names and the operators
 * below, and anything else was refused when it was read.
 */
import type { Place } from "./source.ts";

/**
 * What an operator does. Those with a name are written as functions; capitals keep them apart from the names of
 * readings. A comparison gives 1 or 0, and `IF` takes its second operand unless the first is 0.
 */
const operations = {
  "+": (a: number, b: number) => a + b,
  "-": (a: number, b: number) => a - b,
  "*": (a: number, b: number) => a * b,
  "/": (a: number, b: number) => a / b,
  "^": (a: number, b: number) => a ** b,
  "<": (a: number, b: number) => +(a < b),
  "<=": (a: number, b: number) => +(a <= b),
  ">": (a: number, b: number) => +(a > b),
  ">=": (a: number, b: number) => +(a >= b),
  NEG: (a: number) => -a,
  SQRT: Math.sqrt,
  /** The n-th root; an odd one of a negative number is negative. */
  ROOT: (a: number, n: number) => (a < 0 && n % 2 === 1 ? -((-a) ** (1 / n)) : a ** (1 / n)),
  LOG: Math.log10,
  /** Half away from nought, on both sides of it. */
  ROUND: (a: number) => Math.sign(a) * Math.round(Math.abs(a)),
  MIN: Math.min,
  MAX: Math.max,
  IF: (a: number, b: number, c: number) => (a ? b : c),
} as const;
export type Operator = keyof typeof operations;
/** How many operands each takes. `Math.min` takes any number; here always two. */
const operands: Readonly<Record<string, number>> = { NEG: 1, SQRT: 1, LOG: 1, ROUND: 1, IF: 3 };

/** A reading may be called anything that an object happens to have, such as `constructor`. */
function isOperator(word: string): word is Operator {
  return Object.hasOwn(operations, word);
}

/** A checked formula. Every input and every number is in SI, and so is the result. */
export type Expression =
  | { readonly kind: "number"; readonly value: number }
  | { readonly kind: "input"; readonly name: string }
  | {
      readonly kind: "operation";
      readonly operator: Operator;
      readonly operands: readonly Expression[];
      /** Where it stands, and how its author wrote it. */
      readonly at: Place;
      readonly text: string;
    };

/** Postfix: numbers, names of inputs, operators. */
export type Code = readonly (number | string)[];

/** @returns The value of a formula; not finite where it has none, such as a division by nought. */
export function evaluate(code: Code, input: (name: string) => number): number {
  const stack: number[] = [];
  for (const word of code) {
    if (typeof word === "number") stack.push(word);
    else if (isOperator(word)) {
      const operation = operations[word] as (...given: number[]) => number;
      stack.push(operation(...stack.splice(-(operands[word] ?? 2))));
    } else stack.push(input(word));
  }
  return stack[0] ?? Number.NaN;
}

/** @param input The code that gives an input in SI; its name alone where the inputs are in SI already. */
export function codeOf(expression: Expression, input: (name: string) => Code = (name) => [name]): Code {
  switch (expression.kind) {
    case "number":
      return [expression.value];
    case "input":
      return input(expression.name);
    case "operation":
      return [...expression.operands.flatMap((operand) => codeOf(operand, input)), expression.operator];
    default:
      return expression satisfies never;
  }
}

/** Every input that is named, in the order of first mention, each as often as it is. */
export function inputsOf(expression: Expression): string[] {
  if (expression.kind === "number") return [];
  return expression.kind === "input" ? [expression.name] : expression.operands.flatMap(inputsOf);
}

/** The formula with other expressions in the place of its inputs. */
export function substitute(expression: Expression, by: (name: string) => Expression | undefined): Expression {
  if (expression.kind === "number") return expression;
  if (expression.kind === "input") return by(expression.name) ?? expression;
  return { ...expression, operands: expression.operands.map((operand) => substitute(operand, by)) };
}

/**
 * Five significant figures are all that a reading has. A value that differs by less from the end of a range stands on
 * it, so that neither the unit a reader chose nor rounding decides where the way goes: 18.927 L/min are 5 gpm.
 */
const SAME = 5e-5;

/** Whether a range holds a value: `from` belongs to it, `below` does not; an end that is left out is open. */
export function holdsValue(range: { readonly from?: number; readonly below?: number }, value: number): boolean {
  const { from, below } = range;
  const isOn = (end: number): boolean => Math.abs(value - end) <= SAME * Math.abs(end);
  return (
    (from === undefined || value >= from || isOn(from)) && (below === undefined || (value < below && !isOn(below)))
  );
}
