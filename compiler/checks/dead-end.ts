import { shortestWay } from "../5-analyse/facts/ways.ts";
import { defineRule } from "../5-analyse/rule.ts";
import { isEnd } from "../model/graph.ts";

export default defineRule({
  name: "dead-end",
  group: "graph",
  severity: "error",
  summary: "A step or answer leads nowhere.",
  why: "The reader stands in front of an open unit and the page has nothing more to say.",
  more: `
Every way must end at a \`found\`, a \`stop\`, the \`done\` of a proof, or in a routine at one of its outcomes. Reported
are: a step or answer without a way on, an answer that leads to a step which is not for that family, a step whose answers
are all for other families, and a \`use\` that does not say where each outcome of its routine leads.
`,
  *onGraph(facts) {
    const { graph, reachable } = facts;
    for (const node of graph.nodes) {
      const { step } = node;
      if (step === undefined || !reachable[node.index] || isEnd(node) || node.unsorted) continue;
      const way = () => shortestWay(graph, 0, (at) => at === node.index)?.way;
      for (const edge of node.edges) {
        if (edge.to >= 0) continue;
        const isRemedy = step.of !== undefined && !step.isProof;
        const what = isRemedy
          ? `the remedy of \`${step.of}\``
          : edge.branch.id === "then"
            ? `\`${step.id}\``
            : `\`${edge.branch.id}\` at \`${step.id}\``;
        const found = way();
        yield edge.broken === "no-target"
          ? {
              at: edge.branch.at,
              message: `${what} leads nowhere`,
              ...(found ? { way: found } : {}),
              hint: isRemedy
                ? `add \`prove:\` to \`${step.of}\`, or \`then:\` with the next step`
                : step.kind === "do"
                  ? "add `then:` with the next step"
                  : "add `then:` with the next step, or a `stop`",
              about: step.id,
            }
          : {
              at: edge.branch.at,
              message: `${what} leads to \`${edge.kind === "else" ? edge.branch.again?.else : edge.branch.to}\`, which is not for this equipment`,
              ...(found ? { way: found } : {}),
              hint: "sort by the equipment first, or limit the answer with `only-for`",
              about: step.id,
            };
      }
      if (node.edges.length === 0 && !step.incomplete) {
        const found = way();
        yield {
          at: step.at,
          message: `no answer of \`${step.id}\` is for this equipment`,
          ...(found ? { way: found } : {}),
          hint: "add an answer for it, or sort by the equipment before",
          about: step.id,
        };
      }
      if (step.kind === "use" && step.routine && !step.incomplete) {
        const routine = facts.world.routines.get(step.routine.id);
        for (const outcome of routine?.outcomes.keys() ?? [])
          if (!step.branches.some(({ id }) => id === outcome)) {
            const found = way();
            yield {
              at: step.at,
              message: `\`${step.id}\` doesn't say where the outcome \`${outcome}\` of \`${step.routine.id}\` leads`,
              ...(found ? { way: found } : {}),
              hint: `add \`${outcome}:\` under \`outcomes:\``,
              about: step.id,
            };
          }
      }
    }
  },
});
