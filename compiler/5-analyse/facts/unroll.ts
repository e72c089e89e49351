/**
 * All ways through a graph at once, as readers could really take them, and how long they take.
 *
 * A position is a node, a small number carried along, and how often those repeats were taken that can still be met from
 * there; so ways that have the same before them share a position. Without repeats there are no more positions than nodes
 * times numbers carried; a chain of repeats adds up, and only repeats inside each other multiply.
 */
import type { Edge, Graph } from "../../model/graph.ts";
import { Kept } from "../../model/kept.ts";
import { reachableFrom } from "./reach.ts";
import { repeatsOf, takenBehind, type Visit } from "./ways.ts";

/** Far above any real procedure; who comes here gives up rather than hang. */
const MAX_POSITIONS = 50_000;

export interface Position extends Visit {
  readonly index: number;
  readonly parent: Position | undefined;
  readonly ways: readonly Way[];
}
interface Way {
  readonly edge: Edge;
  /** Index of the position it leads to. */
  readonly to: number;
}
/** An edge that may be taken from a node, and the number carried behind it. */
export interface Choice {
  readonly edge: Edge;
  readonly state: number;
}
export interface Unrolled {
  /** In the order of their distance from the start, so that `parent` leads back by a shortest way. */
  readonly positions: readonly Position[];
  /** False when there were too many; then some are missing. */
  readonly isComplete: boolean;
}
type Start = Pick<Visit, "node" | "state" | "taken">;

/** @param choices What a reader may do at a node; a repeat and its `else` are both given, and counted here. */
export function unroll(
  graph: Graph,
  starts: readonly Start[] | undefined,
  choices: (node: number, state: number) => readonly Choice[],
): Unrolled {
  const repeats = repeatsOf(graph);
  const open = openRepeats(graph, repeats.index);
  const seen = new Map<number | string, Position>();
  const positions: Position[] = [];
  const add = (start: Start, parent: Position | undefined, edge: Edge | undefined): number => {
    const { node, state, taken } = start;
    const counted = open?.[node];
    const plain = node + graph.nodes.length * state;
    const key = counted?.length ? `${plain} ${counted.map((repeat) => taken[repeat]).join()}` : plain;
    const kept = seen.get(key);
    if (kept) return kept.index;
    const position: Position = { node, state, taken, parent, edge, index: positions.length, ways: [] };
    seen.set(key, position);
    positions.push(position);
    return position.index;
  };
  if (starts) for (const start of starts) add(start, undefined, undefined);
  else if (graph.start >= 0) add({ node: graph.start, state: 0, taken: repeats.none }, undefined, undefined);
  for (const position of positions) {
    if (positions.length > MAX_POSITIONS) return { positions, isComplete: false };
    const ways = position.ways as Way[];
    for (const { edge, state } of choices(position.node, position.state)) {
      if (edge.to < 0) continue;
      const taken = takenBehind(edge, position.taken, repeats);
      if (!taken) continue;
      ways.push({ edge, to: add({ node: edge.to, state, taken }, position, edge) });
    }
  }
  return { positions, isComplete: true };
}

const keptOpen = new Kept<Graph, readonly (readonly number[])[]>();
/** By node, the repeats that can still be met from there; undefined where there are none at all. */
function openRepeats(graph: Graph, index: ReadonlyMap<object, number>): readonly (readonly number[])[] | undefined {
  if (index.size === 0) return undefined;
  let open = keptOpen.get(graph);
  if (!open) {
    const into: number[][] = graph.nodes.map(() => []);
    for (const { index: from, edges } of graph.nodes) for (const { to } of edges) if (to >= 0) into[to]?.push(from);
    const meeting: number[][] = graph.nodes.map(() => []);
    for (const { index: node, edges } of graph.nodes)
      for (const branch of new Set(edges.map((edge) => edge.branch))) {
        const repeat = index.get(branch);
        if (repeat === undefined) continue;
        reachableFrom(into, node).forEach((can, from) => {
          if (can) meeting[from]?.push(repeat);
        });
      }
    open = meeting;
    keptOpen.set(graph, open);
  }
  return open;
}

export interface Minutes {
  readonly mean: number;
  readonly worst: number;
}
/** Of one position. */
export interface Timing {
  /** Of all readers, the part that comes here. */
  readonly share: number;
  /** When they do, on average over them, and at the latest. */
  readonly minutes: Minutes;
}

/**
 * When readers come to each position, each of the ways on being as likely as the others.
 *
 * @param minutesOf What leaving a position by one of its ways takes.
 * @param leaving How many besides its ways leave a position, each like one of them.
 * @returns By position; undefined where the ways go round without a limit, or there are too many.
 */
export function timing(
  { positions, isComplete }: Unrolled,
  minutesOf: (position: Position, edge: Edge) => Minutes,
  leaving: (position: Position) => number,
): readonly Timing[] | undefined {
  if (!isComplete) return undefined;
  const arriving = new Uint32Array(positions.length);
  for (const { ways } of positions) for (const { to } of ways) arriving[to] = (arriving[to] as number) + 1;
  const starts = positions.filter(({ parent }) => parent === undefined).length;
  const share = new Float64Array(positions.length);
  const sum = new Float64Array(positions.length);
  const worst = new Float64Array(positions.length);
  const ready = positions.filter(({ index }) => arriving[index] === 0);
  for (const { index, parent } of positions) if (!parent) share[index] = 1 / starts;
  let done = 0;
  for (const position of ready) {
    done += 1;
    const { index, ways } = position;
    const each = 1 / (ways.length + leaving(position));
    for (const { edge, to } of ways) {
      const took = minutesOf(position, edge);
      const part = (share[index] as number) * each;
      share[to] = (share[to] as number) + part;
      sum[to] = (sum[to] as number) + (sum[index] as number) * each + part * took.mean;
      worst[to] = Math.max(worst[to] as number, (worst[index] as number) + took.worst);
      arriving[to] = (arriving[to] as number) - 1;
      if (arriving[to] === 0) ready.push(positions[to] as Position);
    }
  }
  if (done < positions.length) return undefined;
  return positions.map((_, i) => ({
    share: share[i] as number,
    minutes: {
      mean: (share[i] as number) > 0 ? (sum[i] as number) / (share[i] as number) : 0,
      worst: worst[i] as number,
    },
  }));
}
