/** What to take from the van: tools and parts of the checks, and those of the repairs by how likely each is. */
import type { Procedure, Ref, Step, World } from "../model/base.ts";
import type { CompiledBring } from "../model/compiled.ts";
import type { Tree } from "../model/format.ts";

/**
 * A repair is a `found` step, its remedy and its proof, with all routines that these use. Everything else of the tree is
 * done on the way to a cause. A cause that no step concludes adds to the whole alone.
 */
export function bringOf(tree: Procedure, world: World): CompiledBring[] {
  const steps = [...tree.steps.values()];
  const checks = thingsOf(
    steps.filter(({ kind, of }) => kind !== "found" && of === undefined),
    world,
  );
  const repairs = new Map<string, Set<string>>();
  for (const found of steps) {
    if (found.kind !== "found" || !found.cause) continue;
    for (const thing of thingsOf([found, ...steps.filter(({ of }) => of === found.id)], world)) {
      const causes = repairs.get(thing) ?? new Set();
      repairs.set(thing, causes.add(found.cause.id));
    }
  }
  const likelihoods = (tree.data as Tree).causes ?? {};
  const weight = (cause: string) => likelihoods[cause]?.likelihood ?? 0;
  const sum = (causes: Iterable<string>) => [...causes].reduce((total, cause) => total + weight(cause), 0);
  const all = sum(Object.keys(likelihoods));
  const rows = [...new Set([...checks, ...repairs.keys()])].map((thing): CompiledBring => {
    const [kind, id] = thing.split("/") as ["tool" | "part", string];
    const causes = [...(repairs.get(thing) ?? [])].sort((one, other) => weight(other) - weight(one));
    return { kind, id, always: checks.has(thing), share: all === 0 ? 0 : sum(causes) / all, causes };
  });
  // Sorting keeps the order of mention among equals.
  return rows.sort((one, other) =>
    one.always || other.always ? Number(other.always) - Number(one.always) : other.share - one.share,
  );
}

/** `tool/<id>` and `part/<id>` of steps and of all routines that they use, in the order of first mention. */
function thingsOf(steps: readonly Step[], world: World): ReadonlySet<string> {
  const things = new Set<string>();
  const routines = new Set<string>();
  const add = (kind: string, refs: readonly Ref[]) => {
    for (const { id } of refs) things.add(`${kind}/${id}`);
  };
  const visit = ({ tools, parts, routine }: Step): void => {
    add("tool", tools);
    add("part", parts);
    if (!routine || routines.has(routine.id)) return;
    routines.add(routine.id);
    for (const step of world.routines.get(routine.id)?.steps.values() ?? []) visit(step);
  };
  steps.forEach(visit);
  return things;
}
