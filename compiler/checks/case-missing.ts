import { shortestWay } from "../5-analyse/facts/ways.ts";
import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "case-missing",
  group: "graph",
  severity: "error",
  summary: "A `sort` has no case for a family that comes to it.",
  why: "The page decides by itself here; with a kind of equipment it doesn't know, it has nowhere to send the reader.",
  more: `
A \`sort\` looks at a fact of the equipment. Every family that can come to it must have the fact, and the value must be
among the cases, or there must be an \`else\`. An \`else\` does not stand in for a fact that is missing.
`,
  *onGraph({ graph, reachable, world }) {
    for (const node of graph.nodes) {
      const { step } = node;
      if (!step || !node.unsorted || !reachable[node.index]) continue;
      const fact = step.fact ?? "";
      const value = world.catalogs.equipment.get(graph.families[0] ?? "")?.entry.facts[fact];
      const way = shortestWay(graph, 0, (at) => at === node.index)?.way;
      yield {
        at: node.unsorted === "no-fact" ? step.titleAt : step.at,
        message:
          node.unsorted === "no-fact"
            ? `\`${step.id}\` sorts by \`${fact}\`, a fact that this equipment does not have`
            : `\`${step.id}\` has no case for \`${fact}: ${String(value)}\``,
        ...(way ? { way } : {}),
        hint:
          node.unsorted === "no-fact"
            ? "add the fact to the family in the catalog, or correct its name"
            : `add the case \`${String(value)}\`, or an \`else\``,
        about: step.id,
      };
    }
  },
});
