import { licencesAsked, turnedAway } from "../5-analyse/facts/licences.ts";
import { shortestWay } from "../5-analyse/facts/ways.ts";
import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "unlicensed-work",
  group: "safety",
  severity: "error",
  summary:
    "Work that a licence is needed for can be reached by a reader without it, or does not end in a hand-over for him.",
  why: "An apprentice who works on live mains, gas or a refrigerant circuit breaks the law, and may not live to be told.",
  more: `
A step asks for a licence by its own \`licence\`, or by a tool, a part or a state that asks for one in the catalog. It must
say so itself, and \`unlicensed\` must say where a reader without it goes: from there every way must end in a \`stop\` of kind
\`hand-over\`, and whom it says to \`call\` must hold the licence. In a routine \`unlicensed\` may lead to an outcome; then the
same is asked of every tree that uses the routine.
`,
  *onGraph({ graph, reachable, world }) {
    for (const { index, step } of graph.nodes) {
      if (!step || !reachable[index]) continue;
      for (const { licence, by, isDeclared } of licencesAsked(step, world)) {
        if (isDeclared ? step.unlicensed !== undefined : licence === step.licence?.id) continue;
        const way = shortestWay(graph, 0, (node) => node === index)?.way;
        yield {
          at: by.at,
          message: isDeclared
            ? `\`${step.id}\` is work for a licensed \`${licence}\`, and nothing says where a reader without the licence goes`
            : `\`${step.id}\` asks for a licensed \`${licence}\` by \`${by.id}\`, and doesn't say so`,
          ...(way ? { way } : {}),
          hint: isDeclared
            ? "add `unlicensed:` with a step that hands over"
            : `add \`licence: ${licence}\`, and \`unlicensed:\` with a step that hands over`,
          about: step.id,
        };
      }
    }
    const told = new Set<string>();
    for (const { from, edge, licence } of turnedAway(graph, world)) {
      if (!reachable[from]) continue;
      const away = graph.nodes[from]?.edges[edge];
      const isBad = (node: number): boolean => {
        const at = graph.nodes[node];
        if (!at) return false;
        // An outcome hands the question on to whoever uses the routine.
        if (!at.step) return graph.procedure.kind === "tree";
        if (at.step.kind === "found") return at.edges.length === 0;
        if (at.step.kind !== "stop") return false;
        const holds = at.step.call && world.catalogs.contacts.get(at.step.call.id)?.entry.holds?.includes(licence);
        return at.step.stopKind !== "hand-over" || !holds;
      };
      const found = shortestWay(
        graph,
        0,
        (node, state) => state === 1 && isBad(node),
        (node, taken, state) => (state === 1 || (node === from && taken === away) ? 1 : 0),
      );
      const end = graph.nodes[found?.nodes.at(-1) ?? -1];
      if (!found || !away || told.has(`${from} ${licence}`)) continue;
      told.add(`${from} ${licence}`);
      const handsOver = end?.step?.kind === "stop" && end.step.stopKind === "hand-over";
      yield {
        at: away.branch.at,
        message: handsOver
          ? `a reader without the licence \`${licence}\` is handed over at \`${end?.id}\` to somebody who does not hold it either`
          : `a reader without the licence \`${licence}\` comes to \`${end?.id}\`, which is no hand-over`,
        way: found.way,
        hint: handsOver
          ? `let \`${end?.id}\` call a contact that \`holds\` \`${licence}\``
          : "lead every way from here to a `stop` of kind `hand-over`",
        about: graph.nodes[from]?.id ?? "",
      };
    }
  },
});
