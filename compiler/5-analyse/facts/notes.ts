/**
 * Which cautions a reader has been given before each step, whatever way led there.
 *
 * A caution counts from the step that carries it, until a step ends a state that raises its hazard: once a valve is
 * closed up again, opening it another time needs the caution again. A routine is summed up once per family as what it
 * keeps and what it gives on the way to each outcome; it must carry the cautions for its own work itself.
 */

import { specialise } from "../../4-specialise/specialise.ts";
import type { Procedure, Step, World } from "../../model/base.ts";
import type { Graph } from "../../model/graph.ts";
import { type Bits, compose, emptyBits, type FlowEdge, flow, fullBits, hasBit, setBit, type Transfer } from "./flow.ts";

/** Numbers of the hazards, by id; the same throughout a world. */
interface Index {
  readonly of: ReadonlyMap<string, number>;
  readonly size: number;
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
  const edges = noteEdges(graph, world, index);
  const entry = entryNotes(graph.procedure, index);
  const before = flow("must", graph.nodes.length, edges.flat(), graph.start, entry);
  return {
    has(node, hazard) {
      const bit = index.of.get(hazard);
      const set = before[node];
      if (bit === undefined || set === undefined) return true;
      return hasBit(set, bit) || notesHere(graph.nodes[node]?.step, hazard);
    },
    after(node, edgeIndex, hazard, given) {
      const bit = index.of.get(hazard);
      const edge = edges[node]?.[edgeIndex];
      if (edge?.isOpen === false) return undefined;
      if (bit === undefined || edge === undefined) return given;
      return hasBit(edge.gain, bit) || (given && hasBit(edge.keep, bit));
    },
    change(node, edgeIndex, hazard) {
      const bit = index.of.get(hazard);
      const edge = edges[node]?.[edgeIndex];
      if (bit === undefined || !edge?.isOpen) return { gives: false, keeps: false };
      return { gives: hasBit(edge.gain, bit), keeps: hasBit(edge.keep, bit) };
    },
    here: (node, hazard) => notesHere(graph.nodes[node]?.step, hazard),
    entry: (hazard) => graph.procedure.notes.some((note) => note.hazard.id === hazard),
  };
}

function notesHere(step: Step | undefined, hazard: string): boolean {
  return step?.notes.some((note) => note.hazard.id === hazard) === true;
}

const indexes = new WeakMap<World, Index>();
function indexOf(world: World): Index {
  let index = indexes.get(world);
  if (!index) {
    const of = new Map([...world.catalogs.hazards.keys()].map((id, i) => [id, i]));
    index = { of, size: of.size };
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

interface NoteEdge extends FlowEdge {
  /** False where the edge leads nowhere, or hangs on an outcome that the routine does not have for this family. */
  readonly isOpen: boolean;
}

/** By node, in the order of its edges; those that are not open have `to` at the node itself and change nothing. */
function noteEdges(graph: Graph, world: World, index: Index): NoteEdge[][] {
  const family = graph.families[0] ?? "";
  const full = fullBits(index.size);
  const empty = emptyBits(index.size);
  return graph.nodes.map(({ index: from, step, edges }) => {
    const own = step ? stepTransfer(step, world, index, full, empty) : { keep: full, gain: empty };
    return edges.map((edge): NoteEdge => {
      const closed = { from, to: from, keep: full, gain: empty, isOpen: false };
      if (edge.to < 0) return closed;
      // Whoever may not do the step has read its cautions, and ends no state.
      if (edge.kind === "unlicensed") return { from, to: edge.to, keep: full, gain: own.gain, isOpen: true };
      if (step?.kind !== "use" || !step.routine || !world.routines.has(step.routine.id))
        return { from, to: edge.to, ...own, isOpen: true };
      const inside = routineTransfer(step.routine.id, edge.branch.id, family, world);
      return inside ? { from, to: edge.to, ...compose(own, inside), isOpen: true } : closed;
    });
  });
}

function stepTransfer(step: Step, world: World, index: Index, full: Bits, empty: Bits): Transfer {
  if (step.notes.length === 0 && step.clears.length === 0) return { keep: full, gain: empty };
  const keep = full.slice();
  const gain = emptyBits(index.size);
  for (const { hazard } of step.notes) add(gain, index, hazard.id);
  for (const { id } of step.clears)
    for (const hazard of world.catalogs.states.get(id)?.entry.raises ?? []) {
      const bit = index.of.get(hazard);
      if (bit === undefined) continue;
      keep[bit >>> 5] = (keep[bit >>> 5] as number) & ~(1 << (bit & 31));
      gain[bit >>> 5] = (gain[bit >>> 5] as number) & ~(1 << (bit & 31));
    }
  return { keep, gain };
}

const summaries = new WeakMap<World, Map<string, ReadonlyMap<string, Transfer>>>();

/** What a routine does to the set of cautions on its way to an outcome. Undefined where no way leads there. */
function routineTransfer(routine: string, outcome: string, family: string, world: World): Transfer | undefined {
  let byRoutine = summaries.get(world);
  if (!byRoutine) {
    byRoutine = new Map();
    summaries.set(world, byRoutine);
  }
  const key = `${routine} ${family}`;
  let summary = byRoutine.get(key);
  if (!summary) {
    byRoutine.set(key, new Map());
    summary = summarise(routine, family, world);
    byRoutine.set(key, summary);
  }
  return summary.get(outcome);
}

function summarise(routine: string, family: string, world: World): ReadonlyMap<string, Transfer> {
  const procedure = world.routines.get(routine);
  const graph = procedure && specialise(procedure, [family], world)[0];
  const transfers = new Map<string, Transfer>();
  if (!graph) return transfers;
  const index = indexOf(world);
  const edges = noteEdges(graph, world, index).flat();
  const fromNothing = flow("must", graph.nodes.length, edges, graph.start, entryNotes(procedure, index));
  const fromAll = flow("must", graph.nodes.length, edges, graph.start, fullBits(index.size));
  for (const outcome of procedure.outcomes.keys()) {
    const end = graph.nodes.findIndex(({ id, step }) => step === undefined && id === outcome);
    const gain = fromNothing[end];
    const keep = fromAll[end];
    if (gain && keep) transfers.set(outcome, { keep, gain });
  }
  return transfers;
}
