/** Which routines bring a state about, or end it. */
import type { World } from "../../model/base.ts";

const kept = new WeakMap<World, Map<string, readonly string[]>>();

/**
 * Routines with a single outcome that have a step which does so, in the order of their names: candidates to name in a
 * hint, not a proof.
 */
export function routinesThat(what: "sets" | "clears", state: string, world: World): readonly string[] {
  let byState = kept.get(world);
  if (!byState) {
    byState = new Map();
    kept.set(world, byState);
  }
  const key = `${what} ${state}`;
  let names = byState.get(key);
  if (!names) {
    names = [...world.routines.values()]
      .filter(({ outcomes }) => outcomes.size === 1)
      .filter(({ steps }) => [...steps.values()].some((step) => step[what].some(({ id }) => id === state)))
      .map(({ id }) => id)
      .sort();
    byState.set(key, names);
  }
  return names;
}
