/**
 * Shortest ways through a graph, as a reader could really take them: a bounded repeat is taken no more often than it
 * allows, and its `else` only when that is used up.
 */
import type { WayStep } from "../../model/complaint.ts";
import type { Edge, Graph } from "../../model/graph.ts";

/** Far above any real procedure; a search that comes here gives up rather than hang. */
const MAX_VISITED = 100_000;

/** Where a reader stands, and how it came to that. */
export interface Visit {
  readonly node: number;
  readonly state: number;
  /** How often each repeat was taken, by its index; shared until changed. */
  readonly taken: readonly number[];
  readonly parent: Visit | undefined;
  readonly edge: Edge | undefined;
}

export interface Found {
  readonly way: readonly WayStep[];
  /** Indexes of the nodes on the way, start and goal included. */
  readonly nodes: readonly number[];
  /** The edges between them, one fewer. */
  readonly edges: readonly Edge[];
}

/**
 * @param state A small number carried along, such as "is the caution given"; `advance` gives its value behind an edge,
 * or undefined where the way may not go on.
 * @returns The shortest way from the start to a node and state for which `isGoal` holds; undefined if no reader can come there.
 */
export function shortestWay(
  graph: Graph,
  initial: number,
  isGoal: (node: number, state: number) => boolean,
  advance: (node: number, edge: Edge, state: number) => number | undefined = (_node, _edge, state) => state,
): Found | undefined {
  if (graph.start < 0) return undefined;
  const repeats = repeatsOf(graph);
  const first: Visit = { node: graph.start, state: initial, taken: repeats.none, parent: undefined, edge: undefined };
  const queue: Visit[] = [first];
  const seen = new Set<string>([keyOf(first)]);
  for (const visit of queue) {
    if (isGoal(visit.node, visit.state)) return wayTo(graph, visit);
    if (seen.size > MAX_VISITED) return undefined;
    for (const edge of graph.nodes[visit.node]?.edges ?? []) {
      if (edge.to < 0) continue;
      const taken = takenBehind(edge, visit.taken, repeats);
      if (!taken) continue;
      const state = advance(visit.node, edge, visit.state);
      if (state === undefined) continue;
      const next: Visit = { node: edge.to, state, taken, parent: visit, edge };
      const key = keyOf(next);
      if (seen.has(key)) continue;
      seen.add(key);
      queue.push(next);
    }
  }
  return undefined;
}

function keyOf({ node, state, taken }: Visit): string {
  return `${node} ${state} ${taken.join()}`;
}

export interface Repeats {
  /** Number of a repeat, by its branch. */
  readonly index: ReadonlyMap<object, number>;
  /** How often each was taken at the start of a visit. */
  readonly none: readonly number[];
}

/** How often each repeat was taken behind an edge; undefined where the edge can't be taken, or not yet. */
export function takenBehind(edge: Edge, taken: readonly number[], { index }: Repeats): readonly number[] | undefined {
  if (edge.kind !== "again" && edge.kind !== "else") return taken;
  const repeat = index.get(edge.branch) ?? 0;
  const used = taken[repeat] ?? 0;
  const limit = edge.branch.again?.atMost ?? 0;
  if (edge.kind === "else") return used < limit ? undefined : taken;
  return used < limit ? taken.with(repeat, used + 1) : undefined;
}

/** The repeats of a graph by number, and none of them taken. */
export function repeatsOf(graph: Graph): Repeats {
  const index = new Map<object, number>();
  for (const node of graph.nodes)
    for (const { branch } of node.edges) if (branch.again && !index.has(branch)) index.set(branch, index.size);
  return { index, none: new Array<number>(index.size).fill(0) };
}

export function wayTo(graph: Graph, goal: Visit): Found {
  const visits: Visit[] = [];
  for (let visit: Visit | undefined = goal; visit; visit = visit.parent) visits.push(visit);
  visits.reverse();
  return {
    nodes: visits.map(({ node }) => node),
    edges: visits.flatMap(({ edge }) => edge ?? []),
    way: visits.map(({ node }, i) => wayStep(graph, node, visits[i + 1]?.edge, visits[i]?.edge)),
  };
}

/** One step of a way. An end has no place of its own: it stands where the branch leads to it. */
export function wayStep(graph: Graph, node: number, leaving: Edge | undefined, arriving?: Edge): WayStep {
  const { id, step } = graph.nodes[node] ?? { id: "", step: undefined };
  const at = step?.at ?? arriving?.branch.at ?? graph.procedure.at;
  if (leaving === undefined || leaving.branch.id === "then") return { step: id, at };
  const answer = leaving.kind === "else" ? `${leaving.branch.id} (again)` : leaving.branch.id;
  return { step: id, answer, at };
}
