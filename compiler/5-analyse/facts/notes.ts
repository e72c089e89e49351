/**
 * Which cautions a reader has been given before each step, whatever way led there.
 *
 * A caution counts from the step that carries it, until a step ends a state that raises its hazard: once a valve is
 * closed up again, opening it another time needs the caution again. A routine is summed up once per family as what it
 * keeps and what it gives on the way to each outcome; it must carry the cautions for its own work itself.
 */
import type { Procedure, Step, World } from "../../model/base.ts";
import type { Graph } from "../../model/graph.ts";
import {
  type Bits,
  type Change,
  type Changes,
  changeOf,
  clearBit,
  compose,
  emptyBits,
  flow,
  fullBits,
  hasBit,
  setBit,
  type Transfer,
} from "./flow.ts";
import { summaries } from "./summaries.ts";

/** Numbers of the hazards, by id; the same throughout a world. */
interface Index {
  readonly of: ReadonlyMap<string, number>;
  readonly size: number;
  readonly nothing: Change;
  /** What each step does itself; steps belong to one world. */
  readonly steps: WeakMap<Step, StepChange>;
  readonly noStep: StepChange;
}

export interface GivenNotes {
  /** Whether on every way to the node the caution has been given and not been undone, the node's own notes included. */
  has(node: number, hazard: string): boolean;
  /** What becomes of one caution along an edge: given, lost, or as before. Undefined where nobody can go along it. */
  after(node: number, edgeIndex: number, hazard: string, given: boolean): boolean | undefined;
  readonly entry: (hazard: string) => boolean;
  /** Whether leaving the node by its edge gives the caution, and whether it keeps one given before. */
  change(node: number, edgeIndex: number, hazard: string): { readonly gives: boolean; readonly keeps: boolean };
  /** Whether the node carries the caution itself. */
  here(node: number, hazard: string): boolean;
}

export function givenNotes(graph: Graph, world: World): GivenNotes {
  const index = indexOf(world);
  const changes = noteChanges(graph, world, index);
  const entry = entryNotes(graph.procedure, index);
  const before = flow("must", graph, changes, entry);
  return {
    has(node, hazard) {
      const bit = index.of.get(hazard);
      const set = before[node];
      if (bit === undefined || set === undefined) return true;
      return hasBit(set, bit) || notesHere(graph.nodes[node]?.step, hazard);
    },
    after(node, edgeIndex, hazard, given) {
      const bit = index.of.get(hazard);
      const change = changeOf(graph, changes, node, edgeIndex);
      if (change === undefined) return undefined;
      return bit === undefined ? given : hasBit(change.must.gain, bit) || (given && hasBit(change.must.keep, bit));
    },
    change(node, edgeIndex, hazard) {
      const bit = index.of.get(hazard);
      const change = changeOf(graph, changes, node, edgeIndex);
      if (bit === undefined || !change) return { gives: false, keeps: false };
      return { gives: hasBit(change.must.gain, bit), keeps: hasBit(change.must.keep, bit) };
    },
    here: (node, hazard) => notesHere(graph.nodes[node]?.step, hazard),
    entry: (hazard) => graph.procedure.notes.some((note) => note.hazard.id === hazard),
  };
}

/** Whether the step carries the caution itself. */
export function notesHere(step: Step | undefined, hazard: string): boolean {
  return step?.notes.some((note) => note.hazard.id === hazard) === true;
}

const indexes = new WeakMap<World, Index>();
function indexOf(world: World): Index {
  let index = indexes.get(world);
  if (!index) {
    const of = new Map([...world.catalogs.hazards.keys()].map((id, i) => [id, i]));
    const nothing = same({ keep: fullBits(of.size), gain: emptyBits(of.size) });
    index = { of, size: of.size, nothing, steps: new WeakMap(), noStep: { given: nothing, ended: nothing } };
    indexes.set(world, index);
  }
  return index;
}

function entryNotes(procedure: Procedure, index: Index): Bits {
  const bits = emptyBits(index.size);
  for (const { hazard } of procedure.notes) add(bits, index, hazard.id);
  return bits;
}
function add(bits: Bits, index: Index, hazard: string): void {
  const bit = index.of.get(hazard);
  if (bit !== undefined) setBit(bits, bit);
}

function noteChanges({ nodes, families }: Graph, world: World, index: Index): Changes {
  return nodes.map(({ step, edges }) => {
    if (!step) return index.nothing;
    const { given, ended } = stepChange(step, world, index);
    const own = compound(given, ended, index);
    const isUse = step.kind === "use" && step.routine && world.routines.has(step.routine.id);
    if (!isUse && !step.unlicensed) return own;
    return edges.map(({ kind, branch }) => {
      // Whoever may not do the step has read its cautions, and ends no state.
      if (kind === "unlicensed") return given;
      if (!isUse || !step.routine) return own;
      const inside = routineChanges(step.routine.id, families[0] ?? "", world).get(branch.id);
      return inside && compound(compound(given, inside, index), ended, index);
    });
  });
}

function compound(first: Change, second: Change, { nothing }: Index): Change {
  if (first === nothing) return second;
  return second === nothing ? first : same(compose(first.must, second.must));
}

/** Cautions are only asked for by must. */
function same(transfer: Transfer): Change {
  return { must: transfer, may: transfer };
}

/** A step's cautions are read before it; what it ends, it has ended after it. */
interface StepChange {
  readonly given: Change;
  readonly ended: Change;
}

function stepChange(step: Step, world: World, index: Index): StepChange {
  if (step.notes.length === 0 && step.clears.length === 0) return index.noStep;
  let change = index.steps.get(step);
  if (!change) {
    const gain = emptyBits(index.size);
    for (const { hazard } of step.notes) add(gain, index, hazard.id);
    const keep = fullBits(index.size);
    for (const { id } of step.clears)
      for (const hazard of world.catalogs.states.get(id)?.entry.raises ?? []) {
        const bit = index.of.get(hazard);
        if (bit !== undefined) clearBit(keep, bit);
      }
    const { keep: all, gain: none } = index.nothing.must;
    change = {
      given: step.notes.length === 0 ? index.nothing : same({ keep: all, gain }),
      ended: step.clears.length === 0 ? index.nothing : same({ keep, gain: none }),
    };
    index.steps.set(step, change);
  }
  return change;
}

/** What a routine does to the set of cautions on its way to each outcome; an outcome that no way leads to is not there. */
const routineChanges = summaries<ReadonlyMap<string, Change>>(new Map(), summarise);

function summarise(graph: Graph, world: World): ReadonlyMap<string, Change> {
  const { procedure } = graph;
  const outcomes = new Map<string, Change>();
  const index = indexOf(world);
  const changes = noteChanges(graph, world, index);
  const fromNothing = flow("must", graph, changes, entryNotes(procedure, index));
  const fromAll = flow("must", graph, changes, fullBits(index.size));
  for (const outcome of procedure.outcomes.keys()) {
    const end = graph.nodes.findIndex(({ id, step }) => step === undefined && id === outcome);
    const gain = fromNothing[end];
    const keep = fromAll[end];
    if (gain && keep) outcomes.set(outcome, same({ keep, gain }));
  }
  return outcomes;
}
