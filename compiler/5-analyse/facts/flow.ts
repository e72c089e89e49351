/**
 * Sets of small numbers that flow along the edges of a graph.
 *
 * `must`: a member is in the set before a node if it is on every way there. `may`: if it is on some way there.
 * Both are the usual fixpoints; the result does not depend on the order in which the nodes stand in the file.
 */
import type { Edge, Graph, GraphNode } from "../../model/graph.ts";

export type Bits = Uint32Array;

export function emptyBits(size: number): Bits {
  return new Uint32Array(Math.max(1, (size + 31) >>> 5));
}
export function fullBits(size: number): Bits {
  const bits = emptyBits(size);
  for (let i = 0; i < size; i++) setBit(bits, i);
  return bits;
}
export function setBit(bits: Bits, i: number): void {
  bits[i >>> 5] = (bits[i >>> 5] as number) | (1 << (i & 31));
}
export function clearBit(bits: Bits, i: number): void {
  bits[i >>> 5] = (bits[i >>> 5] as number) & ~(1 << (i & 31));
}
export function hasBit(bits: Bits, i: number): boolean {
  return ((bits[i >>> 5] as number) & (1 << (i & 31))) !== 0;
}

/** What becomes of a set: members not in `keep` are lost, then those in `gain` are added. */
export interface Transfer {
  readonly keep: Bits;
  readonly gain: Bits;
}
/** What going along an edge does, to what holds for certain and to what may hold. */
export interface Change {
  readonly must: Transfer;
  readonly may: Transfer;
}
/**
 * By node: one change for all its edges, or one for each edge, undefined where nobody can go along it. Edges that lead
 * nowhere are left out anyhow.
 */
export type Changes = readonly (Change | readonly (Change | undefined)[])[];

/** What going along an edge does; undefined where nobody can. */
export function changeOf({ nodes }: Graph, changes: Changes, node: number, edge: number): Change | undefined {
  const here = changes[node];
  if (here === undefined || (nodes[node]?.edges[edge]?.to ?? -1) < 0) return undefined;
  return isOne(here) ? here : here[edge];
}
function isOne(here: Change | readonly (Change | undefined)[]): here is Change {
  return !Array.isArray(here);
}

/** The set behind a change. */
export function applied({ keep, gain }: Transfer, set: Bits): Bits {
  return set.map((word, w) => (word & (keep[w] as number)) | (gain[w] as number));
}

/** One change, then another. */
export function compose(first: Transfer, second: Transfer): Transfer {
  return {
    keep: first.keep.map((word, i) => word & (second.keep[i] as number)),
    gain: first.gain.map((word, i) => (word & (second.keep[i] as number)) | (second.gain[i] as number)),
  };
}

/** @returns The set before each node; undefined for nodes that no way from the start reaches. */
export function flow(mode: "must" | "may", graph: Graph, changes: Changes, entry: Bits): (Bits | undefined)[] {
  const { nodes, start } = graph;
  const before: (Bits | undefined)[] = new Array(nodes.length).fill(undefined);
  if (start < 0) return before;
  before[start] = entry.slice();
  const waiting = [start];
  const isWaiting = new Uint8Array(nodes.length);
  isWaiting[start] = 1;
  // Breadth first from the start is near the order of the steps; every set only shrinks (must) or grows (may), so it ends.
  for (let head = 0; head < waiting.length; head++) {
    const node = waiting[head] as number;
    isWaiting[node] = 0;
    const set = before[node] as Bits;
    const { edges } = nodes[node] as GraphNode;
    for (let i = 0; i < edges.length; i++) {
      const { to } = edges[i] as Edge;
      const change = changeOf(graph, changes, node, i);
      if (!change) continue;
      const { keep, gain } = change[mode];
      const target = before[to];
      let changed = false;
      if (target === undefined) {
        const fresh = new Uint32Array(set.length);
        for (let w = 0; w < set.length; w++)
          fresh[w] = ((set[w] as number) & (keep[w] as number)) | (gain[w] as number);
        before[to] = fresh;
        changed = true;
      } else
        for (let w = 0; w < set.length; w++) {
          const arriving = ((set[w] as number) & (keep[w] as number)) | (gain[w] as number);
          const old = target[w] as number;
          const met = (mode === "must" ? old & arriving : old | arriving) >>> 0;
          if (met !== old) {
            target[w] = met;
            changed = true;
          }
        }
      if (changed && !isWaiting[to]) {
        isWaiting[to] = 1;
        waiting.push(to);
      }
    }
  }
  return before;
}
