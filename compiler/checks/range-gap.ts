import { uncovered, valueInterval } from "../5-analyse/facts/measured.ts";
import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "range-gap",
  group: "readings",
  severity: "error",
  summary: "Some value that can be measured falls in no range.",
  why: "The reader has measured, types the number, and the page has no answer to it.",
  more: `
The bounds of the readings (\`between\`) say which values can occur; the ranges must cover all of them. \`from\` belongs
to a range and \`below\` does not, so \`{below: 5}\` and \`{from: 5}\` meet without a gap. The lowest range needs no
\`from\`, the highest no \`below\`. Each family is checked by itself, since ranges may be limited to some.
`,
  *onGraph({ graph, reachable }) {
    for (const { index, step, edges } of graph.nodes) {
      if (step?.kind !== "measure" || !step.value || step.incomplete || !reachable[index]) continue;
      const scale = valueInterval(step.value);
      const ranges = edges.flatMap(({ branch, kind }) =>
        branch.range && kind !== "else" ? [{ id: branch.id, ...branch.range }] : [],
      );
      for (const { from, below } of uncovered(ranges, scale)) {
        const { unit } = step.value;
        yield {
          at: step.at,
          message: `\`${step.id}\` has no range for ${stretch(from, below, unit)}`,
          hint: "let two ranges meet at one number, one with `below`, the next with `from`",
          about: step.id,
        };
      }
    }
  },
});

function stretch(from: number, below: number, unit: string): string {
  if (from === below) return `${number(from)} ${unit} itself`;
  if (from === Number.NEGATIVE_INFINITY) return `values below ${number(below)} ${unit}`;
  return below === Number.POSITIVE_INFINITY
    ? `values from ${number(from)} ${unit} on`
    : `values from ${number(from)} to ${number(below)} ${unit}`;
}
function number(value: number): string {
  return String(Number(value.toPrecision(6)));
}
