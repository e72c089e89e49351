import { findUndefined, rangeOf, undefinedWords } from "../5-analyse/facts/formula-range.ts";
import { boxOf, isSame, lackedBy } from "../5-analyse/facts/measured.ts";
import { defineRule } from "../5-analyse/rule.ts";
import { dimensionWords, fromSi, unitOf } from "../model/units.ts";

/** Of what there can't be less than nothing. */
const neverNegative = new Set(["a volume", "a mass", "a time", "a concentration", "a flow", "a conductivity"]);

export default defineRule({
  name: "implausible-bounds",
  group: "readings",
  severity: "warning",
  summary: "The bounds of a reading allow what can't be, or more than its formula is made for.",
  why: "Bounds are there to catch a slip of the finger; too wide, they let it through and the walk goes on with it.",
  more: `
Reported are a volume, mass, time, flow, concentration or conductivity below nought; a temperature below absolute zero; a
pH outside 0 to 14; a reading that may lie outside of what the formula it goes into is made for; usual values (\`typical\`)
and worked examples that lie outside of a formula's own bounds.

Also reported is a division, root or logarithm for which it could be neither shown that it has a value for all readings,
nor that it hasn't for some. That happens where a divisor touches nought without crossing it, and where readings hang
together in a way that their bounds don't show. Narrow the bounds, test with \`if\`, or accept the warning with the reason.
`,
  *onGraph(facts) {
    const { graph, reachable } = facts;
    for (const { index, step } of graph.nodes) {
      if (!step?.value || !reachable[index]) continue;
      const { value } = step;
      for (const [name, input] of value.inputs) {
        if (input.step !== undefined) continue;
        for (const fault of faultsOf(`\`${name}\` of \`${step.id}\``, input))
          yield { at: step.at, ...fault, about: step.id };
      }
      if (lackedBy(step, facts).length > 0) continue;
      const box = boxOf(value.inputs);
      for (const { input, expression, at } of value.use?.given ?? []) {
        const unit = unitOf(input.unit);
        if (!unit) continue;
        const { low, high } = rangeOf(expression, box);
        const outside = beyond([fromSi(low, unit), fromSi(high, unit)], input.between);
        if (outside !== undefined)
          yield {
            at,
            message: `\`${input.name}\` may be ${show(outside)} ${input.unit} at \`${step.id}\`, but \`${value.use?.formula}\` is made for ${show(input.between[0])} to ${show(input.between[1])} ${input.unit}`,
            hint: "narrow the bounds of the reading",
            about: step.id,
          };
      }
      const undefinedness = findUndefined(value.expression, box);
      if (undefinedness && !undefinedness.point)
        yield {
          at: undefinedness.operation.at,
          message: `it can't be ruled out that ${undefinedWords(undefinedness.operation)} for some readings at \`${step.id}\``,
          hint: "narrow the bounds of the readings, or test with `if` first",
          about: step.id,
        };
    }
  },
  *onFormula({ id, expression, inputs, examples }) {
    for (const [name, input] of inputs) {
      for (const fault of faultsOf(`\`${name}\` of \`${id}\``, input)) yield { at: input.at, ...fault, about: id };
      for (const { givenAt: at, given } of examples) {
        const number = given.get(name);
        if (number === undefined || beyond([number, number], input.between) === undefined) continue;
        yield {
          at,
          message: `the example gives ${show(number)} ${input.unit} for \`${name}\`, which the bounds of \`${id}\` refuse`,
          hint: "widen the bounds, or give another example",
          about: id,
        };
      }
    }
    const undefinedness = findUndefined(expression, boxOf(inputs));
    if (undefinedness && !undefinedness.point)
      yield {
        at: undefinedness.operation.at,
        message: `it can't be ruled out that ${undefinedWords(undefinedness.operation)} for some inputs of \`${id}\``,
        hint: "narrow the bounds of the inputs, or test with `if` first",
        about: id,
      };
  },
});

interface Bounded {
  readonly unit: string;
  readonly between: readonly [number, number];
  readonly typical: readonly [number, number] | undefined;
}

/** What is wrong with the bounds by themselves. */
function* faultsOf(whose: string, input: Bounded): Iterable<{ message: string; hint: string }> {
  const why = impossible(input);
  if (why) yield { message: `${whose} may be ${why}`, hint: "give the bounds that the instrument and the place allow" };
  const outside = input.typical && beyond(input.typical, input.between);
  if (outside !== undefined)
    yield {
      message: `${whose} is usually as far as ${show(outside)} ${input.unit}, which its bounds refuse`,
      hint: "let the bounds hold all that is usual",
    };
}

function impossible({ unit: symbol, between: [low, high] }: Bounded): string | undefined {
  const unit = unitOf(symbol);
  if (!unit) return undefined;
  if (symbol === "pH" && (low < 0 || high > 14)) return `a pH of ${show(low < 0 ? low : high)}; it goes from 0 to 14`;
  if (unit.offset !== 0 && low * unit.factor + unit.offset < -1e-9)
    return `${show(low)} ${symbol}, which is below absolute zero`;
  const kind = dimensionWords(unit.dimension);
  return low < 0 && neverNegative.has(kind) ? `${show(low)} ${symbol}; there is no such ${kind.slice(2)}` : undefined;
}

/** The end that lies outside, if one does. */
function beyond([low, high]: readonly [number, number], [least, most]: readonly [number, number]): number | undefined {
  if (low < least && !isSame(low, least)) return low;
  return high > most && !isSame(high, most) ? high : undefined;
}
function show(number: number): string {
  return String(Number(number.toPrecision(6)));
}
