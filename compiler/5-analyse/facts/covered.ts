/** What the catalog, the table of causes and the tree don't have in common. */
import type { Entry, Procedure, Step, World } from "../../model/base.ts";
import type { Graph } from "../../model/graph.ts";
import type { Place } from "../../model/source.ts";
import { causeFacts } from "./causes.ts";

const kept = new WeakMap<World, ReadonlyMap<string, readonly Entry<"causes">[]>>();
/** By symptom: the causes that can produce it. */
function causesOf(world: World): ReadonlyMap<string, readonly Entry<"causes">[]> {
  let bySymptom = kept.get(world);
  if (!bySymptom) {
    const made = new Map<string, Entry<"causes">[]>();
    for (const cause of world.catalogs.causes.values())
      for (const symptom of cause.entry.symptoms) {
        const list = made.get(symptom);
        if (list) list.push(cause);
        else made.set(symptom, [cause]);
      }
    bySymptom = made;
    kept.set(world, bySymptom);
  }
  return bySymptom;
}

/**
 * Causes that the catalog lists for a tree's symptom, and that stand neither in its table nor at a `found` step that some
 * equipment comes to. None for a tree with unknown names in it: nobody knows what it names.
 */
export function causesNotNamed(
  { file, causes, incomplete }: Procedure,
  graphs: readonly Graph[],
  world: World,
): Entry<"causes">[] {
  if (file.kind !== "tree" || incomplete) return [];
  const expected = (causesOf(world).get(file.data.symptom) ?? []).filter(({ id }) => !causes.has(id));
  if (expected.length === 0) return [];
  const named = new Set(
    graphs.flatMap((graph) => {
      const { reachable } = causeFacts(graph, world);
      return graph.nodes.flatMap(({ index, step }) => (reachable[index] && step?.cause ? [step.cause.id] : []));
    }),
  );
  return expected.filter(({ id }) => !named.has(id));
}

/**
 * Answers of checks that some cause comes to, which none of them takes, and behind which a cause is named all the same.
 * None where the equipment has no cause, or the tree has unknown names in it.
 */
export function answersWithoutCause(
  graph: Graph,
  world: World,
): { readonly step: Step; readonly answer: string; readonly at: Place }[] {
  if (graph.procedure.causes.size === 0 || graph.procedure.incomplete) return [];
  const facts = causeFacts(graph, world);
  const walks = facts.causes.map((cause) => facts.walk(cause));
  if (walks.some(({ isComplete }) => !isComplete)) return [];
  return facts.checks.flatMap(({ node, step, answers }) => {
    if (!walks.some(({ visited }) => visited.has(node))) return [];
    return answers.flatMap((answer) => {
      const edges = graph.nodes[node]?.edges.filter(({ branch }) => branch.id === answer) ?? [];
      if (edges.some(({ branch }) => walks.some(({ taken }) => taken.has(branch)))) return [];
      const at = edges[0]?.branch.at ?? step.at;
      return edges.some(({ to }) => to >= 0 && facts.leading[to]) ? [{ step, answer, at }] : [];
    });
  });
}
