import { findUndefined, pointWords, undefinedWords } from "../5-analyse/facts/formula-range.ts";
import { boxOf, lackedBy } from "../5-analyse/facts/measured.ts";
import { shortestWay } from "../5-analyse/facts/ways.ts";
import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "invalid-formula",
  group: "readings",
  severity: "error",
  summary: "A value can't be computed as it is written.",
  why: "A threshold compared with a wrong number sends the reader down the wrong branch.",
  more: `
A formula is ordinary algebra: + − × ÷ (or * and /), ^ ² ³, brackets, \`sqrt(x)\`, \`root(x, 3)\`, \`log10(x)\`, \`round(x)\`,
\`min(a, b)\`, \`max(a, b)\` and \`if(a > b, x, y)\`. There is no silent multiplication. A hyphen inside a name belongs to the
name, so a minus has blanks around it. At most 1000 characters, nested at most 40 deep, are read.

It may name the readings of its step, constants of its catalog entry, \`equipment.fact\` where every family that comes here
has the fact as an amount, and \`step-id.reading\` where every way to the step has taken that reading before.

A division by nought, and a root or a logarithm of what has none, are looked for in everything that the bounds of the
readings allow. Found ones come with the readings that lead there. Raise the lower bound, or test with \`if\` first: an input
that \`if\` compares directly is known to be in bounds behind it. What can be neither found nor ruled out is a warning
(\`implausible-bounds\`). With more than one reading, \`value\` must say what is compared with the ranges.
`,
  *onGraph(facts) {
    const { graph, reachable } = facts;
    for (const { index, step } of graph.nodes) {
      if (!step?.value || !reachable[index]) continue;
      const lacking = lackedBy(step, facts);
      for (const { fact, at } of lacking)
        yield {
          at,
          message: `\`${step.id}\` computes with \`equipment.${fact}\`, which this equipment does not have as an amount`,
          hint: `add \`${fact}:\` to its facts, or limit the step or the range with \`only-for\``,
          about: step.id,
        };
      for (const [name, { step: earlier, at }] of step.value.inputs) {
        if (earlier === undefined) continue;
        const isTaken = (node: number): boolean => graph.nodes[node]?.id === earlier;
        const found = shortestWay(
          graph,
          0,
          (node, taken) => node === index && taken === 0,
          (node, edge, taken) => (isTaken(node) && edge.kind !== "unlicensed" ? 1 : taken),
        );
        if (found)
          yield {
            at,
            message: `\`${name}\` has not been read on every way to \`${step.id}\``,
            way: found.way,
            hint: `lead every way through \`${earlier}\`, or read it again here`,
            about: step.id,
          };
      }
      if (lacking.length > 0) continue;
      const undefinedness = findUndefined(step.value.expression, boxOf(step.value.inputs));
      if (undefinedness?.point)
        yield {
          at: undefinedness.operation.at,
          message: `${undefinedWords(undefinedness.operation)} ${pointWords(undefinedness.operation, undefinedness.point, step.value.inputs)}`,
          hint: "narrow the bounds of the readings, or test with `if` first",
          about: step.id,
        };
    }
  },
  *onFormula({ id, expression, inputs }) {
    const undefinedness = findUndefined(expression, boxOf(inputs));
    if (undefinedness?.point)
      yield {
        at: undefinedness.operation.at,
        message: `${undefinedWords(undefinedness.operation)} ${pointWords(undefinedness.operation, undefinedness.point, inputs)}`,
        hint: "narrow the bounds of the inputs, or test with `if` first",
        about: id,
      };
  },
});
