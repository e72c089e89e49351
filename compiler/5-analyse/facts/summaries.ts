/** What a routine comes to for one family, worked out once however often and deep it is used. */
import { specialise } from "../../4-specialise/specialise.ts";
import type { World } from "../../model/base.ts";
import type { Graph } from "../../model/graph.ts";

/**
 * @param unknown For a routine that can't be read, and while it is being summed up itself (a routine that uses itself).
 * @returns The summary of a routine, kept as long as its world.
 */
export function summaries<T>(
  unknown: T,
  summarise: (graph: Graph, world: World) => T,
): (routine: string, family: string, world: World) => T {
  const byWorld = new WeakMap<World, Map<string, T>>();
  return (routine, family, world) => {
    let kept = byWorld.get(world);
    if (!kept) {
      kept = new Map();
      byWorld.set(world, kept);
    }
    const key = `${routine} ${family}`;
    if (!kept.has(key)) {
      kept.set(key, unknown);
      const procedure = world.routines.get(routine);
      const graph = procedure && specialise(procedure, [family], world)[0];
      if (graph) kept.set(key, summarise(graph, world));
    }
    return kept.get(key) as T;
  };
}
