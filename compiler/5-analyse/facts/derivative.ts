/** How a formula changes with one of its inputs, as a formula again. */
import type { Expression, Operator } from "../../model/formula.ts";

const nought: Expression = { kind: "number", value: 0 };
const one: Expression = { kind: "number", value: 1 };

/** @returns undefined where the formula jumps or bends on the input: a rounding, a choice, an exponent that varies. */
export function derivative(expression: Expression, by: string): Expression | undefined {
  if (expression.kind === "number") return nought;
  if (expression.kind === "input") return expression.name === by ? one : nought;
  const { at, text } = expression;
  const make = (operator: Operator, ...operands: Expression[]): Expression =>
    simplified({ kind: "operation", operator, operands, at, text });
  const parts = expression.operands.map((operand) => derivative(operand, by));
  if (parts.includes(undefined)) return undefined;
  const [a, b] = expression.operands as [Expression, Expression];
  const [da, db] = parts as [Expression, Expression];
  if (parts.every(isNought)) return nought;
  switch (expression.operator) {
    case "+":
    case "-":
      return make(expression.operator, da, db);
    case "*":
      return make("+", make("*", da, b), make("*", a, db));
    case "/":
      return make("-", make("/", da, b), make("/", make("*", a, db), make("*", b, b)));
    case "NEG":
      return make("NEG", da);
    case "^": {
      if (b.kind !== "number") return undefined;
      const less: Expression = { kind: "number", value: b.value - 1 };
      return make("*", make("*", b, make("^", a, less)), da);
    }
    case "SQRT":
      return make("/", da, make("*", { kind: "number", value: 2 }, expression));
    case "LOG":
      return make("/", da, make("*", { kind: "number", value: Math.LN10 }, a));
    default:
      return undefined;
  }
}

function isNought(expression: Expression | undefined): boolean {
  return expression?.kind === "number" && expression.value === 0;
}
/** Without what nought takes away: it would only widen the intervals. */
function simplified(expression: Expression & { kind: "operation" }): Expression {
  const [a, b] = expression.operands as [Expression, Expression];
  switch (expression.operator) {
    case "+":
      return isNought(a) ? b : isNought(b) ? a : expression;
    case "-":
      return isNought(b) ? a : isNought(a) ? { ...expression, operator: "NEG", operands: [b] } : expression;
    case "*":
      return isNought(a) || isNought(b) ? nought : expression;
    case "/":
      return isNought(a) ? nought : expression;
    default:
      return expression;
  }
}
