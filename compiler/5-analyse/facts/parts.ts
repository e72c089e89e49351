/** What trees use: catalog entries and routines, by way of others too, as `section/id`. */
import type { World } from "../../model/base.ts";

const kept = new WeakMap<World, Map<string, readonly string[]>>();

/** An entry or routine, and everything that is named from it on. */
export function reachedFrom(name: string, world: World): readonly string[] {
  let known = kept.get(world);
  if (!known) {
    known = new Map();
    kept.set(world, known);
  }
  let names = known.get(name);
  if (!names) {
    const seen = new Set([name]);
    // A cause that mentions a symptom does not make it one that is treated.
    for (const one of seen)
      for (const next of world.mentions.get(one) ?? []) if (!next.startsWith("symptoms/")) seen.add(next);
    names = [...seen];
    known.set(name, names);
  }
  return names;
}

/** What a tree says of itself that tells what it uses. */
export interface TreeUse {
  readonly serves: readonly string[];
  readonly mentions: Iterable<string>;
}

/**
 * What pages of these trees show. Of the equipment those families that a tree serves: a routine may name others. The
 * areas of all that is shown are among it, as `areas/id`.
 */
export function partsOf(trees: readonly TreeUse[], world: World): ReadonlySet<string> {
  const parts = new Set<string>();
  for (const { serves, mentions } of trees) {
    for (const name of mentions)
      for (const reached of reachedFrom(name, world)) if (!reached.startsWith("equipment/")) parts.add(reached);
    for (const family of serves) parts.add(`equipment/${family}`);
  }
  const { symptoms, equipment } = world.catalogs;
  for (const { id, entry } of symptoms.values()) if (parts.has(`symptoms/${id}`)) parts.add(`areas/${entry.area}`);
  for (const { id, entry } of equipment.values()) if (parts.has(`equipment/${id}`)) parts.add(`areas/${entry.area}`);
  return parts;
}
