import { causeFacts } from "../5-analyse/facts/causes.ts";
import { reachableFrom } from "../5-analyse/facts/reach.ts";
import { defineRule } from "../5-analyse/rule.ts";
import type { Graph } from "../model/graph.ts";

export default defineRule({
  name: "branch-without-cause",
  group: "causes",
  severity: "warning",
  summary: "An answer that no cause of the tree gives, and that leads on to a cause all the same.",
  why: "Whoever gives this answer is led by steps that were made for nobody, to a cause that would not have shown it.",
  more: `
Causes are followed as \`cause-misled\` explains. Told is an answer, range or outcome of a check that some cause comes to,
which none of them takes, where a \`found\` step lies somewhere behind it. An answer behind which there are only ends without
a cause (as it should be, not this unit, hand over) belongs to none and needs none: that is where a reader goes for whom the
table has no cause, or whom a hazard turns away. Steps that no cause comes to are not told one by one, but the answer that
leads there. Mend it by adding the answer to the \`shows\` of the cause that gives it, or the cause that is missing in the
table, or by leading the answer to a stop.
`,
  *onGraph({ graph, world }) {
    const { procedure } = graph;
    if (procedure.causes.size === 0 || procedure.incomplete) return;
    const facts = causeFacts(graph, world);
    if (facts.causes.length === 0) return;
    const walks = facts.causes.map((cause) => facts.walk(cause));
    let leads: Uint8Array | undefined;
    for (const { node, step, answers } of facts.checks) {
      if (!walks.some(({ visited }) => visited.has(node))) continue;
      for (const answer of answers) {
        const edges = graph.nodes[node]?.edges.filter(({ branch }) => branch.id === answer) ?? [];
        if (edges.some(({ branch }) => walks.some(({ taken }) => taken.has(branch)))) continue;
        leads ??= leadsToFound(graph);
        const lead = leads;
        if (!edges.some(({ to }) => to >= 0 && lead[to])) continue;
        yield {
          at: edges[0]?.branch.at ?? step.at,
          message: `no cause gives the answer \`${answer}\` at \`${step.id}\`, which leads on to one`,
          hint: "add it to the `shows` of the cause that gives it, or lead it to a stop",
          about: step.id,
        };
      }
    }
  },
});

/** 1 for each node behind which some cause is named, itself included. */
function leadsToFound({ nodes }: Graph): Uint8Array {
  const into: number[][] = [...nodes.map((): number[] => []), []];
  for (const { index, edges, step } of nodes) {
    for (const { to, kind } of edges) if (to >= 0 && kind !== "unlicensed") into[to]?.push(index);
    if (step?.kind === "found") into[nodes.length]?.push(index);
  }
  return reachableFrom(into, nodes.length);
}
