/** Which licence a step asks for, and by which outcomes a routine lets go of a reader who doesn't hold it. */
import type { Ref, Step, World } from "../../model/base.ts";
import type { Graph } from "../../model/graph.ts";
import { stateFacts } from "./states.ts";
import { summaries } from "./summaries.ts";

export interface Asked {
  readonly licence: string;
  /** The tool, part or state that asks for it; the step's own word where it says so itself. */
  readonly by: Ref;
  readonly isDeclared: boolean;
}

const askedBy = new WeakMap<Step, readonly Asked[]>();

/** Every licence that a step asks for; once each, the step's own word first. Steps belong to one world. */
export function licencesAsked(step: Step, world: World): readonly Asked[] {
  let asked = askedBy.get(step);
  if (!asked) {
    asked = collect(step, world);
    askedBy.set(step, asked);
  }
  return asked;
}

function collect(step: Step, world: World): readonly Asked[] {
  const { tools, parts, states } = world.catalogs;
  const asked: Asked[] = step.licence ? [{ licence: step.licence.id, by: step.licence, isDeclared: true }] : [];
  const add = (licence: string | undefined, by: Ref): void => {
    if (licence !== undefined && !asked.some((one) => one.licence === licence))
      asked.push({ licence, by, isDeclared: false });
  };
  for (const ref of step.tools) add(tools.get(ref.id)?.entry.licence, ref);
  for (const ref of step.parts) add(parts.get(ref.id)?.entry.licence, ref);
  for (const ref of step.sets) add(states.get(ref.id)?.entry.licence, ref);
  return asked.length === 0 ? nothing : asked;
}
const nothing: readonly Asked[] = [];

/** By outcome of a routine: the licences whose lack can be why the routine ends so. */
const unlicensedOutcomes = summaries<ReadonlyMap<string, ReadonlySet<string>>>(new Map(), outcomesOf);

function outcomesOf(graph: Graph, world: World): ReadonlyMap<string, ReadonlySet<string>> {
  const outcomes = new Map<string, Set<string>>();
  const states = stateFacts(graph, world);
  for (const { from, edge, licence } of turnedAway(graph, world)) {
    const seen = new Set<number>();
    const waiting = [graph.nodes[from]?.edges[edge]?.to ?? -1];
    for (const at of waiting) {
      const node = graph.nodes[at];
      if (!node || seen.has(at)) continue;
      seen.add(at);
      if (!node.step) {
        const licences = outcomes.get(node.id);
        if (licences) licences.add(licence);
        else outcomes.set(node.id, new Set([licence]));
      }
      for (const [i, { to }] of node.edges.entries()) if (states.change(at, i)) waiting.push(to);
    }
  }
  return outcomes;
}

/**
 * The edges by which a reader without a licence goes on: the step's own `unlicensed`, or such an outcome of a routine.
 * Only those that somebody of this family can come to and go along.
 */
export function turnedAway(graph: Graph, world: World): { from: number; edge: number; licence: string }[] {
  const away: { from: number; edge: number; licence: string }[] = [];
  if (world.catalogs.licences.size === 0) return away;
  const states = stateFacts(graph, world);
  for (const { index: from, step, edges } of graph.nodes) {
    if (!step || !(step.licence || step.routine) || !states.mustBefore(from)) continue;
    const outcomes = step.routine && unlicensedOutcomes(step.routine.id, graph.families[0] ?? "", world);
    for (const [edge, { kind, branch }] of edges.entries()) {
      if (!states.change(from, edge)) continue;
      if (kind === "unlicensed") {
        if (step.licence) away.push({ from, edge, licence: step.licence.id });
      } else for (const licence of outcomes?.get(branch.id) ?? []) away.push({ from, edge, licence });
    }
  }
  return away;
}
