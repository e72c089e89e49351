/** Which causes of a tree its checks tell apart, and which they don't; short enough to be sent between threads. */
import type { World } from "../../model/base.ts";
import type { Graph } from "../../model/graph.ts";
import type { Place } from "../../model/source.ts";
import { causeFacts } from "./causes.ts";

export interface CausePairs {
  /** In the order of the table; the families for which no check has the two show anything different. */
  readonly alike: readonly {
    readonly first: string;
    readonly second: string;
    readonly firstAt: Place;
    readonly at: Place;
    /** A check that leads to one of the two at once, and of which nothing is said of either. */
    readonly unsaid: string | undefined;
    readonly families: readonly string[];
    readonly allFamilies: boolean;
  }[];
  /** By `pairKey`: a check that tells the two apart, for some family. */
  readonly apart: readonly (readonly [pair: string, check: string])[];
}

/** One name for two causes, in whatever order they are given. */
export function pairKey(a: string, b: string): string {
  return a < b ? `${a} ${b}` : `${b} ${a}`;
}

/** @param served How many families the tree serves. */
export function causePairs(graphs: readonly Graph[], served: number, world: World): CausePairs {
  type Alike = CausePairs["alike"][number];
  const alike = new Map<string, Alike>();
  const apart = new Map<string, string>();
  for (const graph of graphs) {
    if (graph.procedure.causes.size < 2) continue;
    const facts = causeFacts(graph, world);
    for (const [i, first] of facts.causes.entries())
      for (const second of facts.causes.slice(i + 1)) {
        const key = pairKey(first.id, second.id);
        const check = facts.apart(first, second);
        if (check) {
          if (!apart.has(key)) apart.set(key, check.step.id);
          continue;
        }
        const unsaid = facts.checks.find(
          (check) =>
            [first, second].every((row) => facts.shown(row, check).length === check.answers.length) &&
            graph.nodes[check.node]?.edges.some(({ to }) => {
              const cause = graph.nodes[to]?.step?.cause?.id;
              return cause === first.id || cause === second.id;
            }),
        );
        const families = [...(alike.get(key)?.families ?? []), ...graph.families];
        alike.set(key, {
          first: first.id,
          second: second.id,
          firstAt: first.at,
          at: second.at,
          unsaid: alike.get(key)?.unsaid ?? unsaid?.step.id,
          families,
          allFamilies: families.length === served,
        });
      }
  }
  return { alike: [...alike.values()], apart: [...apart] };
}
