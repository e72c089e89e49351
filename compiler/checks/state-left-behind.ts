import { hasBit } from "../5-analyse/facts/flow.ts";
import type { GraphFacts } from "../5-analyse/facts/graph-facts.ts";
import { stateWay, withStates } from "../5-analyse/facts/state-ways.ts";
import {
  bestMeans,
  holdsAfter,
  type InnerStop,
  meansWords,
  type StateFacts,
  stateFacts,
} from "../5-analyse/facts/states.ts";
import type { Found } from "../5-analyse/facts/ways.ts";
import { defineRule } from "../5-analyse/rule.ts";
import type { Step } from "../model/base.ts";
import type { WayStep } from "../model/complaint.ts";
import type { GraphNode } from "../model/graph.ts";
import type { Place } from "../model/source.ts";
import { plainText } from "../words/markdown.ts";

export default defineRule({
  name: "state-left-behind",
  group: "safety",
  severity: "error",
  summary: "A visit can end with a state on that must be cleared, and nothing says why it stays.",
  why: "The technician drives off and the house has no water, raw water, or a unit without power, and nobody knows.",
  more: `
Every end is looked at: each \`stop\`, each \`done\` behind a proof, and each \`stop\` inside a routine, there with the states
that the tree had brought about before it used the routine. A state that *may* hold there must be cleared before, or the
end must say \`leaves: {state: reason}\`. States with \`must-clear: false\` in the catalog are free to stay.
`,
  *onGraph(graphFacts) {
    const { graph, reachable, world } = graphFacts;
    const facts = stateFacts(graph, world);
    for (const node of graph.nodes) {
      const { index, step } = node;
      // Most steps come after nothing that must be cleared, and bring no such thing about.
      if (!step || !reachable[index] || !(facts.mayOwe(index) || step.sets.length > 0 || step.routine)) continue;
      if (step.kind === "stop") yield* leftAt(graphFacts, facts, node, step, step.at);
      else if (graph.procedure.kind === "tree" && step.kind === "found" && node.edges.length === 0)
        yield* leftAt(graphFacts, facts, node, step, step.at);
      if (graph.procedure.kind === "tree")
        for (const [i, edge] of node.edges.entries())
          if (edge.to >= 0 && graph.nodes[edge.to]?.step === undefined) yield* leftAtDone(graphFacts, facts, node, i);
      for (const inner of facts.innerStops(index)) yield* leftInside(graphFacts, facts, node, inner);
    }
  },
});

interface Told {
  readonly at: Place;
  readonly message: string;
  readonly meaning?: string;
  readonly way: WayStep[];
  readonly hint: string;
  readonly about: string;
}
type Findings = Generator<Told>;

/** States that must be cleared and are not declared as left. */
function owed(facts: GraphFacts, leaves: Step["leaves"]): string[] {
  return [...facts.world.catalogs.states.values()]
    .filter(({ id, entry }) => entry["must-clear"] !== false && !leaves.some(({ state }) => state.id === id))
    .map(({ id }) => id);
}

function* leftAt(graphFacts: GraphFacts, facts: StateFacts, node: GraphNode, end: Step, at: Place): Findings {
  const may = facts.mayBefore(node.index);
  if (!may) return;
  for (const state of owed(graphFacts, end.leaves)) {
    const bit = facts.bit(state);
    if (bit === undefined || !hasBit(may, bit)) continue;
    const found = stateWay(graphFacts.graph, facts, state, "may", (at_, held) => at_ === node.index && held);
    if (found) yield told(graphFacts, facts, state, `\`${node.id}\``, at, found, node.id);
  }
}

/** `done` is one node for all proofs; what stays is said at the `found` step that the proof belongs to. */
function* leftAtDone(graphFacts: GraphFacts, facts: StateFacts, node: GraphNode, edgeIndex: number): Findings {
  const { graph } = graphFacts;
  const may = facts.mayBefore(node.index);
  const edge = node.edges[edgeIndex];
  const found = node.step?.of === undefined ? undefined : graph.procedure.steps.get(node.step.of);
  const change = facts.change(node.index, edgeIndex)?.may;
  if (!may || !edge || !change) return;
  for (const state of owed(graphFacts, found?.leaves ?? [])) {
    const bit = facts.bit(state);
    if (bit === undefined || !holdsAfter(change, bit, hasBit(may, bit))) continue;
    const way = stateWay(graph, facts, state, "may", (at, held) => at === edge.to && held, edge);
    if (way)
      yield told(
        graphFacts,
        facts,
        state,
        `\`done\` behind \`${found?.id ?? node.id}\``,
        edge.branch.at,
        way,
        found?.id ?? node.id,
      );
  }
}

/** Only what the caller brought along: what the routine itself leaves on is told once, at the routine. */
function* leftInside(graphFacts: GraphFacts, facts: StateFacts, node: GraphNode, inner: InnerStop): Findings {
  const may = facts.mayBefore(node.index);
  if (!may) return;
  for (const state of owed(graphFacts, inner.step.leaves)) {
    const bit = facts.bit(state);
    if (bit === undefined || !hasBit(may, bit)) continue;
    if (!hasBit(inner.change.may.keep, bit) || hasBit(inner.change.may.gain, bit)) continue;
    const found = stateWay(graphFacts.graph, facts, state, "may", (at, held) => at === node.index && held);
    if (!found) continue;
    const end = `the stop \`${inner.step.id}\` inside the routine \`${inner.routine.id}\``;
    const finding = told(graphFacts, facts, state, end, node.step?.titleAt ?? inner.step.at, found, node.id);
    yield { ...finding, way: [...finding.way, { step: inner.step.id, at: inner.step.at }] };
  }
}

function told(
  { graph, world }: GraphFacts,
  facts: StateFacts,
  state: string,
  end: string,
  at: Place,
  found: Found,
  about: string,
): Told {
  const means = world.catalogs.states.get(state)?.entry.means;
  const way = withStates(graph, facts, found, "may");
  const besides = way.at(-1)?.states?.filter((other) => other !== state) ?? [];
  const clearing = meansWords(bestMeans("clear", state, besides, graph, world));
  const clear = clearing ? `use ${clearing} on this way` : "clear it on this way";
  const declare = "say under `leaves:` why it stays";
  // Who hands over leaves things off on purpose, as a rule; who ends in a good state has forgotten.
  const isHandOver = graph.procedure.steps.get(about)?.stopKind === "hand-over";
  return {
    at,
    message: `the visit can end at ${end} with \`${state}\` still on`,
    ...(means ? { meaning: plainText(means) } : {}),
    way,
    hint: isHandOver
      ? `add \`${state}:\` with the reason under \`leaves:\` at \`${about}\`, or ${clear}`
      : `${clear}, or ${declare}`,
    about,
  };
}
