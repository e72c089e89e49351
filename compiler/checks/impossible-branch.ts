import { impossibleBranches } from "../5-analyse/facts/answers.ts";
import { reachableFrom } from "../5-analyse/facts/reach.ts";
import { shortestWay } from "../5-analyse/facts/ways.ts";
import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "impossible-branch",
  group: "graph",
  severity: "warning",
  summary:
    "A branch that no reader can take: the same check was answered otherwise before, its range is empty, or a repeat never comes back.",
  why: "The steps behind it look covered and are not; and the reader is asked again what was answered before.",
  more: `
Two steps are the same check when they ask the same question with the same answers, or measure the same with the same
readings. What was answered holds until something is done (a \`do\`, a \`use\`, a remedy) or a repeat goes back. A range is
empty when its ends are the wrong way round or when the readings' bounds never reach it. The \`else\` of a repeat is never
taken when the way back does not lead here again.
`,
  *onGraph({ graph, reachable, successors }) {
    for (const { node, branch, because } of impossibleBranches(graph, reachable)) {
      const step = graph.nodes[node]?.step;
      if (!step) continue;
      const way = shortestWay(graph, 0, (at) => at === node)?.way;
      yield {
        at: branch.at,
        message:
          because === "empty"
            ? `no reading can fall in the range \`${branch.id}\` of \`${step.id}\``
            : `\`${branch.id}\` can't be the answer at \`${step.id}\`: the same check was answered otherwise on every way here`,
        ...(way ? { way } : {}),
        hint:
          because === "empty"
            ? "correct its ends, or the bounds of the readings"
            : "lead the earlier answer past this step, or delete the branch",
        about: step.id,
      };
    }
    for (const { index, edges, step } of graph.nodes) {
      if (!step || !reachable[index]) continue;
      for (const edge of edges)
        if (edge.kind === "again" && edge.to >= 0 && !reachableFrom(successors, edge.to)[index])
          yield {
            at: edge.branch.at,
            message: `\`again\` at \`${step.id}\` leads to \`${edge.branch.to}\`, which never comes back here, so its \`else\` is never taken`,
            hint: "use `then` if it leads on, or name an earlier step",
            about: step.id,
          };
    }
  },
});
