/** Where each part is wanted: by the remedy of which cause, in which tree. */
import type { CompiledBase, CompiledTree } from "../../../compiler/model/compiled.ts";

/** Cause ids whose remedy uses the part; empty where a tree uses it only on the way. */
export type PartUses = ReadonlyMap<CompiledTree, ReadonlySet<string>>;

/** Part id to its uses, in the order of the catalog; parts that no tree uses are left out. */
export function usesOfParts(base: CompiledBase): ReadonlyMap<string, PartUses> {
  const uses = new Map<string, Map<CompiledTree, ReadonlySet<string>>>(
    Object.keys(base.parts).map((part) => [part, new Map()]),
  );
  for (const tree of base.trees)
    for (const { kind, id, causes } of tree.bring) if (kind === "part") uses.get(id)?.set(tree, new Set(causes));
  return new Map([...uses].filter(([, trees]) => trees.size > 0));
}
