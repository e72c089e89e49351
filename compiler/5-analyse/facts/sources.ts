/** Where something that holds before a node comes from: the last places on the ways there that brought it about. */
import type { Graph } from "../../model/graph.ts";

export interface Sources {
  /** Indexes of the nodes that brought it about, in the order of the file. */
  readonly nodes: readonly number[];
  /** Whether some way carries it from the beginning. */
  readonly fromStart: boolean;
}

/** @param change Whether leaving a node by an edge brings it about, and whether it keeps it. */
export function sourcesOf(
  graph: Graph,
  node: number,
  reachable: Uint8Array,
  change: (node: number, edge: number) => { readonly gives: boolean; readonly keeps: boolean },
): Sources {
  const arriving: { from: number; edge: number }[][] = graph.nodes.map(() => []);
  for (const { index: from, edges } of graph.nodes)
    if (reachable[from]) for (const [edge, { to }] of edges.entries()) arriving[to]?.push({ from, edge });
  const found = new Set<number>();
  const seen = new Set([node]);
  for (const at of seen)
    for (const { from, edge } of arriving[at] ?? []) {
      const { gives, keeps } = change(from, edge);
      if (gives) found.add(from);
      else if (keeps) seen.add(from);
    }
  return { nodes: [...found].sort((a, b) => a - b), fromStart: seen.has(graph.start) };
}
