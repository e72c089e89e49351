/**
 * The tree of a formula to an expression in SI, with its dimension checked in every part.
 *
 * Temperatures in °C and °F are points on a scale. The rule for them is the smallest that is sound: the difference of two
 * points is a difference; a point and a difference give a point; points may be compared with points. Nothing else may be
 * done with a point, since 40 °C are not twice 20 °C. K, Δ°C and Δ°F are differences.
 */
import { codeOf, type Expression, evaluate } from "../../model/formula.ts";
import type { Place } from "../../model/source.ts";
import {
  combine,
  type Dimension,
  dimensionWords,
  pureNumber,
  sameDimension,
  scaled,
  type Unit,
} from "../../model/units.ts";
import type { Fault, Syntax } from "./syntax.ts";

/** What a part of a formula stands for. */
export interface Kind {
  readonly dimension: Dimension;
  readonly is: "quantity" | "point" | "comparison";
}
export interface Checked {
  readonly expression: Expression;
  readonly kind: Kind;
}
export type CheckFault = Fault & { readonly rule: "unit-mismatch" | "invalid-formula" };

export function kindOf(unit: Unit): Kind {
  return { dimension: unit.dimension, is: unit.offset === 0 ? "quantity" : "point" };
}

/**
 * @param named What a name stands for; undefined when it stands for nothing, which was complained of.
 * @param tell Takes the first fault; then the result is undefined.
 */
export function checkFormula(
  syntax: Syntax,
  text: string,
  context: {
    readonly named: (name: string, extent: Syntax) => Checked | undefined;
    readonly placeOf: (extent: { start: number; end: number }) => Place;
    readonly tell: (fault: CheckFault) => void;
  },
): Checked | undefined {
  const refuse = (rule: CheckFault["rule"], at: Syntax, message: string, hint: string): undefined => {
    context.tell({ rule, start: at.start, end: at.end, message, hint });
    return undefined;
  };
  const words = (part: Syntax): string => `\`${text.slice(part.start, part.end)}\``;
  const says = (part: Syntax, kind: Kind): string => `${words(part)} is ${kindWords(kind)}`;

  const check = (part: Syntax): Checked | undefined => {
    if (part.kind === "number")
      return { expression: { kind: "number", value: part.value }, kind: { dimension: pureNumber, is: "quantity" } };
    if (part.kind === "name") return context.named(part.name, part);
    const operands: Checked[] = [];
    for (const operand of part.operands) {
      const checked = check(operand);
      if (!checked) return undefined;
      operands.push(checked);
    }
    const kind = result(part, operands);
    if (!kind) return undefined;
    const expression: Expression = {
      kind: "operation",
      operator: part.operator,
      operands: operands.map(({ expression: operand }) => operand),
      at: context.placeOf(part),
      text: text.slice(part.start, part.end),
    };
    const constant = constantOf(expression);
    return { kind, expression: constant === undefined ? expression : { kind: "number", value: constant } };
  };

  const result = (part: Syntax & { kind: "operation" }, operands: readonly Checked[]): Kind | undefined => {
    const kinds = operands.map(({ kind }) => kind);
    const [a, b, c] = kinds as [Kind, Kind, Kind];
    const [first, second, third] = part.operands as [Syntax, Syntax, Syntax];
    const stray = kinds.findIndex(({ is }, i) => (is === "comparison") !== (part.operator === "IF" && i === 0));
    if (stray >= 0)
      return refuse(
        "invalid-formula",
        part.operands[stray] ?? part,
        a.is === "comparison"
          ? `${words(part.operands[stray] ?? part)} is a comparison, which is no number`
          : `${words(first)} is no comparison`,
        "write `if(a > b, x, y)`: a comparison stands as the first value of `if` and nowhere else",
      );
    const alike = (one: Kind, other: Kind, left: Syntax, right: Syntax, doing: string): boolean => {
      if (sameDimension(one.dimension, other.dimension) && one.is === other.is) return true;
      refuse(
        "unit-mismatch",
        part,
        `${words(part)} ${doing} ${kindWords(one)} and ${kindWords(other)}`,
        conversion(other, one, words(right), words(left)),
      );
      return false;
    };
    const noPoints = (why: string): boolean => {
      const point = kinds.findIndex(({ is }) => is === "point");
      if (point < 0) return true;
      const named = words(part.operands[point] ?? part);
      refuse(
        "unit-mismatch",
        part.operands[point] ?? part,
        `${named} is a temperature on a scale, and ${why}`,
        "take the difference to another temperature first: `(hot - cold) * 2`",
      );
      return false;
    };
    switch (part.operator) {
      case "+":
      case "-":
        if (a.is === "point" || b.is === "point") return withPoints(part, a, b);
        return alike(a, b, first, second, part.operator === "+" ? "adds" : "subtracts between") ? a : undefined;
      case "<":
      case "<=":
      case ">":
      case ">=":
        return alike(a, b, first, second, "compares") ? { dimension: pureNumber, is: "comparison" } : undefined;
      case "MIN":
      case "MAX":
        return alike(a, b, first, second, "chooses between") ? a : undefined;
      case "IF":
        return alike(b, c, second, third, "chooses between") ? b : undefined;
      case "*":
      case "/":
        if (!noPoints("can't be multiplied or divided")) return undefined;
        return quantity(combine(a.dimension, b.dimension, part.operator === "*" ? 1 : -1));
      case "NEG":
        return noPoints("has no negative") ? a : undefined;
      case "SQRT":
        return noPoints("has no root") ? quantity(scaled(a.dimension, 0.5)) : undefined;
      case "ROOT":
      case "^": {
        if (!noPoints("has no powers or roots")) return undefined;
        if (!sameDimension(b.dimension, pureNumber))
          return refuse(
            "unit-mismatch",
            second,
            `${says(second, b)}, but an exponent is a plain number`,
            "divide it by another amount of the same kind",
          );
        const exponent = operands[1]?.expression;
        const constant = exponent && constantOf(exponent);
        if (part.operator === "ROOT") {
          if (constant === undefined || !Number.isInteger(constant) || constant < 2 || constant > 9)
            return refuse(
              "invalid-formula",
              second,
              `the root \`${text.slice(second.start, second.end)}\` is no whole number from 2 to 9`,
              "write `root(x, 3)` for the cube root",
            );
          return quantity(scaled(a.dimension, 1 / constant));
        }
        if (sameDimension(a.dimension, pureNumber)) return a;
        if (constant === undefined)
          return refuse(
            "unit-mismatch",
            second,
            `${says(first, a)}, so its exponent must be a fixed number`,
            "write the exponent as a number, or divide the base by another amount of the same kind",
          );
        return quantity(scaled(a.dimension, constant));
      }
      case "LOG":
      case "ROUND":
        if (!noPoints(part.operator === "LOG" ? "has no logarithm" : "can't be rounded")) return undefined;
        if (sameDimension(a.dimension, pureNumber)) return a;
        return refuse(
          "unit-mismatch",
          first,
          `${says(first, a)}, but ${part.operator === "LOG" ? "a logarithm is taken" : "rounding is done"} of a plain number`,
          "divide it by one unit first, by a constant of the formula such as `one: 1 mg/L`",
        );
      default:
        return part.operator satisfies never;
    }
  };

  const withPoints = (part: Syntax & { kind: "operation" }, a: Kind, b: Kind): Kind | undefined => {
    const isSum = part.operator === "+";
    if (sameDimension(a.dimension, b.dimension)) {
      if (a.is === "point" && b.is === "point" && !isSum) return quantity(a.dimension);
      if (a.is === "point" && b.is === "quantity") return a;
      if (isSum && b.is === "point" && a.is === "quantity") return b;
    }
    return refuse(
      "unit-mismatch",
      part,
      `${words(part)} ${isSum ? "adds" : "subtracts between"} ${kindWords(a)} and ${kindWords(b)}`,
      "two temperatures on a scale can only be subtracted; to a temperature only a difference in K, Δ°C or Δ°F can be added",
    );
  };

  return check(syntax);
}

function quantity(dimension: Dimension): Kind {
  return { dimension, is: "quantity" };
}

/** What is made of numbers alone, (1 / 2) or −1, is a number; unless it has no value, which is told of later. */
function constantOf(expression: Expression): number | undefined {
  if (expression.kind === "number") return expression.value;
  if (expression.kind === "input" || expression.operands.some(({ kind }) => kind !== "number")) return undefined;
  const value = evaluate(codeOf(expression), () => Number.NaN);
  return Number.isFinite(value) ? value : undefined;
}

export function kindWords({ dimension, is }: Kind): string {
  if (is === "comparison") return "a comparison";
  if (is === "point") return "a temperature on a scale";
  return dimensionWords(dimension) === "a temperature" ? "a temperature difference" : dimensionWords(dimension);
}

/** What would make one kind of the other: the conversion that its author likely had in mind. */
export function conversion(from: Kind, to: Kind, what: string, beside?: string): string {
  const likely = likelyMeant(from, to, what);
  if (likely) return likely;
  const ratio = combine(to.dimension, from.dimension, -1);
  const by = dimensionWords(ratio);
  if (known(by) && !by.startsWith("a number per")) return `multiply ${what} by ${by}`;
  const inverse = dimensionWords(scaled(ratio, -1));
  if (known(inverse)) return `divide ${what} by ${inverse}`;
  return beside
    ? `take another reading for ${what} or for ${beside}`
    : `choose a unit for ${kindWords(from)}, or other readings`;
}
/** Pairs that are often taken for one another. */
export function likelyMeant(from: Kind, to: Kind, what: string): string | undefined {
  if (sameDimension(from.dimension, to.dimension))
    return from.is === "point"
      ? "subtract another temperature to get a difference"
      : "a difference is in K, Δ°C or Δ°F; a temperature is what it is added to";
  const pair = [dimensionWords(from.dimension), dimensionWords(to.dimension)];
  if (pair.includes("a length") && pair.includes("a pressure"))
    return "a height of water is a pressure when it is given in `ftH2O`, `inH2O` or `mH2O`";
  if (pair.includes("a mass") && pair.includes("a concentration"))
    return pair[0] === "a mass"
      ? `divide ${what} by a volume: grains in a gallon are \`gpg\``
      : `multiply ${what} by a volume: \`gpg\` times gallons are grains, \`gr\``;
  return undefined;
}
function known(words: string): boolean {
  return words !== "a quantity of another kind";
}
