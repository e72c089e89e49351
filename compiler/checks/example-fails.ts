import { defineRule } from "../5-analyse/rule.ts";
import { codeOf, evaluate } from "../model/formula.ts";
import { fromSi, toSi, unitOf } from "../model/units.ts";

export default defineRule({
  name: "example-fails",
  group: "readings",
  severity: "error",
  summary: "A formula does not give what its worked example says.",
  why: "Either the formula or the example is wrong, and a reader who trusts the number acts on it.",
  more: `
Every formula of the catalog has two or more worked examples, each with its source or with the words \`common practice, no
published source\`. Each is computed at every check, in the way the page computes it. \`within\` says by how much the result
may differ: an amount, or a share of the expected one such as \`1 %\`. An example gives an amount for every input.
`,
  *onFormula({ id, name, unit: symbol, expression, inputs, examples }) {
    const unit = unitOf(symbol);
    if (!unit) return;
    for (const { at, given, gives, within } of examples) {
      const computed = fromSi(
        evaluate(codeOf(expression), (input) => {
          const inputUnit = unitOf(inputs.get(input)?.unit ?? "");
          const number = given.get(input);
          return inputUnit && number !== undefined ? toSi(number, inputUnit) : Number.NaN;
        }),
        unit,
      );
      // What is left of a tolerance of nought after rounding.
      if (Math.abs(computed - gives) <= within + 1e-12 * Math.abs(gives)) continue;
      const show = (number: number): string => `${Number(number.toPrecision(6))}${symbol === "1" ? "" : ` ${symbol}`}`;
      yield {
        at,
        message: Number.isFinite(computed)
          ? `\`${id}\` gives ${show(computed)} for \`${name}\`, but the example expects ${show(gives)} within ${show(within)}`
          : `\`${id}\` has no value for these inputs, but the example expects ${show(gives)}`,
        hint: "compute it by hand: one of the two is wrong, or a unit is",
        about: id,
      };
    }
  },
});
