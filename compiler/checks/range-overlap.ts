import { isSame } from "../5-analyse/facts/measured.ts";
import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "range-overlap",
  group: "readings",
  severity: "error",
  summary: "A value can fall in two ranges.",
  why: "Two answers to one number: which way the reader is sent would be chance.",
  more: `
\`from\` belongs to a range and \`below\` does not. Ranges that are never offered to the same family may overlap.
`,
  *onGraph({ graph, reachable }) {
    for (const { index, step, edges } of graph.nodes) {
      if (step?.kind !== "measure" || !step.value || !reachable[index]) continue;
      const branches = edges.filter(({ branch, kind }) => branch.range && kind !== "else").map(({ branch }) => branch);
      for (const [i, branch] of branches.entries())
        for (const other of branches.slice(0, i)) {
          if (!branch.range || !other.range) continue;
          const from = Math.max(branch.range.from, other.range.from);
          const below = Math.min(branch.range.below, other.range.below);
          if (from >= below || isSame(from, below)) continue;
          yield {
            at: branch.at,
            message: `\`${branch.id}\` and \`${other.id}\` both claim ${stretch(from, below, step.value.unit)}`,
            related: [{ at: other.at, text: "the other range" }],
            hint: "let one end where the other begins",
            about: step.id,
          };
        }
    }
  },
});

function stretch(from: number, below: number, unit: string): string {
  const amount = (value: number): string => `${Number(value.toPrecision(6))} ${unit}`;
  if (Number.isFinite(from))
    return Number.isFinite(below) ? `${amount(from)} to ${amount(below)}` : `${amount(from)} and more`;
  return Number.isFinite(below) ? `values below ${amount(below)}` : "every value";
}
