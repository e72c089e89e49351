import { shortestCycle } from "../5-analyse/facts/reach.ts";
import { wayStep } from "../5-analyse/facts/ways.ts";
import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "loop-without-limit",
  group: "graph",
  severity: "error",
  summary: "Steps lead round in a circle without a limit, or a routine uses itself.",
  why: "A reader can be sent round for ever, and never learns that it is time to call somebody.",
  more: `
A step may lead back only through \`again: {step: ..., at-most: 2, else: ...}\`. Every other circle is reported once, by
its shortest round. The proof of a remedy is no exception: \`not-fixed\` leads on to the next cause, not back.
`,
  *onGraph({ graph, loops, unlimited, reachable }) {
    for (const members of loops) {
      const within = unlimited.map((out, node) =>
        members.includes(node) ? out.filter((to) => members.includes(to)) : [],
      );
      let cycle: number[] | undefined;
      for (const member of [...members].sort((a, b) => a - b)) {
        const candidate = shortestCycle(within, member);
        if (candidate && (!cycle || candidate.length < cycle.length)) cycle = candidate;
      }
      if (!cycle?.some((node) => reachable[node])) continue;
      const edges = cycle
        .slice(0, -1)
        .map((node, i) => graph.nodes[node]?.edges.find(({ to, kind }) => to === cycle[i + 1] && kind !== "again"));
      // The branch that leads back up the file is the one an author would call the loop.
      const back = edges.reduce(
        (best, edge, i) => ((cycle[i + 1] ?? 0) <= (cycle[i] ?? 0) && edge ? { edge, from: cycle[i] ?? 0 } : best),
        { edge: edges[0], from: cycle[0] ?? 0 },
      );
      if (!back.edge) continue;
      const names = cycle.map((node) => `\`${graph.nodes[node]?.id}\``);
      yield {
        at: back.edge.branch.at,
        message:
          cycle.length === 2
            ? `${names[0]} leads to itself without a limit`
            : `${names.slice(0, -1).join(", ")} lead round in a circle without a limit`,
        way: cycle.map((node, i) => wayStep(graph, node, edges[i])),
        hint: `lead back with \`again: {step: ${graph.nodes[back.edge.to]?.id}, at-most: 2, else: ...}\`, or on to another step`,
        about: graph.nodes[back.from]?.id ?? "",
      };
    }
  },
});
