import { licencesAsked, turnedAway } from "../5-analyse/facts/licences.ts";
import { type InnerStop, stateFacts } from "../5-analyse/facts/states.ts";
import { shortestWay } from "../5-analyse/facts/ways.ts";
import { defineRule } from "../5-analyse/rule.ts";
import type { Step, World } from "../model/base.ts";
import type { Edge } from "../model/graph.ts";

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
    const states = stateFacts(graph, world);
    const isOpen = (node: number, edge: Edge): boolean =>
      states.change(node, graph.nodes[node]?.edges.indexOf(edge) ?? -1) !== undefined;
    for (const { index, step } of graph.nodes) {
      if (!step || !reachable[index] || !states.mustBefore(index)) continue;
      for (const { licence, by, isDeclared } of licencesAsked(step, world)) {
        if (isDeclared ? step.unlicensed !== undefined : licence === step.licence?.id) continue;
        const way = shortestWay(
          graph,
          0,
          (node) => node === index,
          (node, edge) => (isOpen(node, edge) ? 0 : undefined),
        )?.way;
        if (!way) continue;
        yield {
          at: by.at,
          message: isDeclared
            ? `\`${step.id}\` is work for a licensed \`${licence}\`, and nothing says where a reader without the licence goes`
            : `\`${step.id}\` asks for a licensed \`${licence}\` by \`${by.id}\`, and doesn't say so`,
          way,
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
      const isRight = (stop: Step): boolean => handsOver(stop) && isHeldBy(stop, licence, world);
      /** The stop inside the routine that the node uses, by which the visit can end and must not. */
      const wrongInside = (node: number): InnerStop | undefined =>
        states.innerStops(node).find(({ step }) => !isRight(step));
      const isBad = (node: number): boolean => {
        const at = graph.nodes[node];
        if (!at) return false;
        // An outcome hands the question on to whoever uses the routine.
        if (!at.step) return graph.procedure.kind === "tree";
        if (at.step.kind === "found") return at.edges.length === 0;
        return at.step.kind === "stop" ? !isRight(at.step) : wrongInside(node) !== undefined;
      };
      const found = shortestWay(
        graph,
        0,
        (node, state) => state === 1 && isBad(node),
        (node, taken, state) => {
          if (!isOpen(node, taken)) return undefined;
          return state === 1 || (node === from && taken === away) ? 1 : 0;
        },
      );
      const node = found?.nodes.at(-1) ?? -1;
      const last = graph.nodes[node];
      if (!found || !last || !away || told.has(`${from} ${licence}`)) continue;
      told.add(`${from} ${licence}`);
      const inner = wrongInside(node);
      const end = inner?.step ?? last.step;
      const name = inner
        ? `the stop \`${inner.step.id}\` inside the routine \`${inner.routine.id}\``
        : `\`${last.id}\``;
      const isHandedOver = end !== undefined && handsOver(end);
      yield {
        at: away.branch.at,
        message: isHandedOver
          ? `a reader without the licence \`${licence}\` is handed over at ${name} to somebody who does not hold it either`
          : `a reader without the licence \`${licence}\` comes to ${name}, which is no hand-over`,
        way: inner ? [...found.way, { step: inner.step.id, at: inner.step.at }] : found.way,
        hint: isHandedOver
          ? `let ${name} call a contact that \`holds\` \`${licence}\``
          : "lead every way from here to a `stop` of kind `hand-over`",
        about: graph.nodes[from]?.id ?? "",
      };
    }
  },
});

function handsOver({ kind, stopKind }: Step): boolean {
  return kind === "stop" && stopKind === "hand-over";
}
function isHeldBy({ call }: Step, licence: string, world: World): boolean {
  return call !== undefined && world.catalogs.contacts.get(call.id)?.entry.holds?.includes(licence) === true;
}
