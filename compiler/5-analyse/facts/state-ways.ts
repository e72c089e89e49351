/** Shortest ways on which a state is missing or left on, with what holds after each step. */
import type { WayStep } from "../../model/complaint.ts";
import type { Edge, Graph } from "../../model/graph.ts";
import { applied, emptyBits, setBit } from "./flow.ts";
import { holdsAfter, type StateFacts, statesIn } from "./states.ts";
import { type Found, shortestWay } from "./ways.ts";

/**
 * @param mode `must`: the state counts where it holds for certain; `may`: where it may hold.
 * @param isGoal Asked with the node, and whether the state holds before it.
 * @param last The edge by which the way must come there; left out: by any.
 */
export function stateWay(
  graph: Graph,
  facts: StateFacts,
  state: string,
  mode: "must" | "may",
  isGoal: (node: number, held: boolean) => boolean,
  last?: Edge,
): Found | undefined {
  const bit = facts.bit(state);
  if (bit === undefined) return undefined;
  const HELD = 1;
  const BY_LAST = 2;
  return shortestWay(
    graph,
    facts.entry.includes(state) ? HELD : 0,
    (node, now) => isGoal(node, (now & HELD) !== 0) && (last === undefined || (now & BY_LAST) !== 0),
    (node, edge, now) => {
      const change = facts.change(node, graph.nodes[node]?.edges.indexOf(edge) ?? -1)?.[mode];
      return change && (holdsAfter(change, bit, (now & HELD) !== 0) ? HELD : 0) | (edge === last ? BY_LAST : 0);
    },
  );
}

/** The way with the states that hold once each step is done; at its last step, those that hold on arriving there. */
export function withStates(graph: Graph, facts: StateFacts, found: Found, mode: "must" | "may"): WayStep[] {
  let now = emptyBits(facts.states.length);
  for (const id of facts.entry) {
    const bit = facts.bit(id);
    if (bit !== undefined) setBit(now, bit);
  }
  return found.way.map((step, i) => {
    const edge = found.edges[i];
    const node = found.nodes[i] ?? 0;
    const change = edge && facts.change(node, graph.nodes[node]?.edges.indexOf(edge) ?? -1)?.[mode];
    if (change) now = applied(change, now);
    return { ...step, states: statesIn(now, facts) };
  });
}
