/** Where each part is wanted: by the remedy of which cause, in which tree. */
import type { CompiledBase, CompiledStep, CompiledTree } from "../../../compiler/model/compiled.ts";

/** Cause ids whose remedy uses the part; empty where a tree uses it only on the way. */
export type PartUses = ReadonlyMap<CompiledTree, ReadonlySet<string>>;

/** Part id to its uses, in the order of the catalog; parts that no tree uses are left out. */
export function usesOfParts(base: CompiledBase): ReadonlyMap<string, PartUses> {
  const inRoutines = new Map<string, ReadonlySet<string>>();
  const uses = new Map<string, Map<CompiledTree, Set<string>>>(
    Object.keys(base.parts).map((part) => [part, new Map()]),
  );
  for (const tree of base.trees) {
    for (const part of tree.parts) uses.get(part)?.set(tree, new Set());
    const causeOf = new Map(tree.steps.flatMap((step) => (step.kind === "found" ? [[step.id, step.cause]] : [])));
    for (const step of tree.steps) {
      const cause = causeOf.get(step.of ?? step.id);
      if (cause === undefined) continue;
      for (const part of partsOf(step)) uses.get(part)?.get(tree)?.add(cause);
    }
  }
  return new Map([...uses].filter(([, trees]) => trees.size > 0));

  function partsOf(step: CompiledStep): readonly string[] {
    return step.kind === "use" ? [...step.parts, ...partsOfRoutine(step.routine)] : step.parts;
  }
  function partsOfRoutine(id: string): ReadonlySet<string> {
    const known = inRoutines.get(id);
    if (known !== undefined) return known;
    const routine = base.routines[id];
    const parts = new Set<string>(routine?.steps.flatMap(partsOf));
    inRoutines.set(id, parts);
    return parts;
  }
}
