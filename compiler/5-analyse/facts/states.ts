/**
 * Which states hold before each step.
 *
 * Assumptions: nothing but the steps changes a state; a state holds from the step that sets it until one that clears
 * it; a visit begins with none. `must` says what holds on every way, `may` what holds on some way. A routine is summed up
 * once per family as what it does to each state on the way to each outcome and to each `stop` inside it, so a routine
 * costs the same however often and however deep it is used.
 */
import { specialise } from "../../4-specialise/specialise.ts";
import type { Procedure, Step, World } from "../../model/base.ts";
import type { Edge, Graph } from "../../model/graph.ts";
import type { Place } from "../../model/source.ts";
import { type Bits, compose, emptyBits, type FlowEdge, flow, fullBits, hasBit, setBit, type Transfer } from "./flow.ts";

/** What a way does to the states: in every case (`must`) and at most (`may`). */
interface StateChange {
  readonly must: Transfer;
  readonly may: Transfer;
}

/** A `stop` inside a routine, seen from where the routine begins. */
export interface InnerStop {
  /** The routine that holds it. */
  readonly routine: Procedure;
  readonly step: Step;
  readonly change: StateChange;
}

export interface StateFacts {
  /** Number of a state, the same throughout a world; undefined for one that is not in the catalog. */
  bit(state: string): number | undefined;
  readonly states: readonly string[];
  /** States that hold when the procedure begins. */
  readonly entry: readonly string[];
  /** States that hold on every way to the node; undefined for a node that no way reaches. */
  mustBefore(node: number): Bits | undefined;
  mayBefore(node: number): Bits | undefined;
  /**
   * What leaving the node by its edge does; by index into the node's edges. Undefined where nobody can go along it: it
   * leads nowhere, or hangs on an outcome that the routine does not have for this family.
   */
  change(node: number, edge: number): StateChange | undefined;
  /** Stops inside the routine that the node uses; empty for other nodes. */
  innerStops(node: number): readonly InnerStop[];
  /** States that the routine which the node uses wants to find: those it declares, and those its own steps rely on. */
  neededInside(node: number): ReadonlyMap<string, Place>;
}

interface Summary {
  readonly needs: ReadonlyMap<string, Place>;
  readonly outcomes: ReadonlyMap<string, StateChange>;
  readonly stops: readonly InnerStop[];
}

const kept = new WeakMap<Graph, StateFacts>();

export function stateFacts(graph: Graph, world: World): StateFacts {
  let facts = kept.get(graph);
  if (!facts) {
    facts = work(graph, world);
    kept.set(graph, facts);
  }
  return facts;
}

function work(graph: Graph, world: World): StateFacts {
  const index = indexOf(world);
  const changes = graph.nodes.map(({ step, edges }) => edges.map((edge) => edgeChange(step, edge, graph, world)));
  const entry = emptyBits(index.size);
  const entryStates = entryNeeds(graph, world);
  for (const state of entryStates) add(entry, index, state);
  const must = flow("must", graph.nodes.length, flowEdges(graph, changes, "must"), graph.start, entry);
  const may = flow("may", graph.nodes.length, flowEdges(graph, changes, "may"), graph.start, entry);
  return {
    states: index.ids,
    entry: entryStates,
    bit: (state) => index.of.get(state),
    mustBefore: (node) => must[node],
    mayBefore: (node) => may[node],
    change: (node, edge) => changes[node]?.[edge],
    innerStops(node) {
      const step = graph.nodes[node]?.step;
      const summary = step?.routine && summaryOf(step.routine.id, graph.families[0] ?? "", world);
      if (!step || !summary) return [];
      const own = stepTransfer(step, index);
      return summary.stops.map((stop) => ({ ...stop, change: after({ must: own, may: own }, stop.change) }));
    },
    neededInside(node) {
      const routine = graph.nodes[node]?.step?.routine;
      return (routine && summaryOf(routine.id, graph.families[0] ?? "", world)?.needs) ?? noNeeds;
    },
  };
}

const noNeeds: ReadonlyMap<string, Place> = new Map();

/** What holds when a procedure begins: nothing for a tree; for a routine what it needs, since whoever uses it is held to that. */
function entryNeeds(graph: Graph, world: World): readonly string[] {
  const { kind, id } = graph.procedure;
  if (kind === "tree") return [];
  return [...(summaryOf(id, graph.families[0] ?? "", world)?.needs.keys() ?? [])];
}

interface Index {
  readonly of: ReadonlyMap<string, number>;
  readonly ids: readonly string[];
  readonly size: number;
}
const indexes = new WeakMap<World, Index>();
function indexOf(world: World): Index {
  let index = indexes.get(world);
  if (!index) {
    const ids = [...world.catalogs.states.keys()];
    index = { ids, of: new Map(ids.map((id, i) => [id, i])), size: ids.length };
    indexes.set(world, index);
  }
  return index;
}
function add(bits: Bits, index: Index, state: string): void {
  const bit = index.of.get(state);
  if (bit !== undefined) setBit(bits, bit);
}

function flowEdges(
  graph: Graph,
  changes: readonly (readonly (StateChange | undefined)[])[],
  mode: "must" | "may",
): FlowEdge[] {
  return graph.nodes.flatMap(({ index: from, edges }) =>
    edges.flatMap(({ to }, i) => {
      const change = changes[from]?.[i];
      return to >= 0 && change ? [{ from, to, ...change[mode] }] : [];
    }),
  );
}

function edgeChange(step: Step | undefined, edge: Edge, graph: Graph, world: World): StateChange | undefined {
  if (edge.to < 0) return undefined;
  const index = indexOf(world);
  if (!step || edge.kind === "unlicensed") {
    const nothing = { keep: fullBits(index.size), gain: emptyBits(index.size) };
    return { must: nothing, may: nothing };
  }
  const own = stepTransfer(step, index);
  const change = { must: own, may: own };
  const summary = step.routine && summaryOf(step.routine.id, graph.families[0] ?? "", world);
  if (!summary) return change;
  const inside = summary.outcomes.get(edge.branch.id);
  return inside && after(change, inside);
}

function stepTransfer(step: Step, index: Index): Transfer {
  const keep = fullBits(index.size);
  const gain = emptyBits(index.size);
  for (const { id } of step.clears) {
    const bit = index.of.get(id);
    if (bit !== undefined) keep[bit >>> 5] = (keep[bit >>> 5] as number) & ~(1 << (bit & 31));
  }
  for (const { id } of step.sets) add(gain, index, id);
  return { keep, gain };
}

function after(first: StateChange, second: StateChange): StateChange {
  return { must: compose(first.must, second.must), may: compose(first.may, second.may) };
}

const summaries = new WeakMap<World, Map<string, Summary | undefined>>();

/** Undefined for a routine that is not known, and while it is being summed up itself (a routine that uses itself). */
function summaryOf(routine: string, family: string, world: World): Summary | undefined {
  let byRoutine = summaries.get(world);
  if (!byRoutine) {
    byRoutine = new Map();
    summaries.set(world, byRoutine);
  }
  const key = `${routine} ${family}`;
  if (byRoutine.has(key)) return byRoutine.get(key);
  byRoutine.set(key, undefined);
  const summary = summarise(routine, family, world);
  byRoutine.set(key, summary);
  return summary;
}

function summarise(routine: string, family: string, world: World): Summary | undefined {
  const procedure = world.routines.get(routine);
  const graph = procedure && specialise(procedure, [family], world)[0];
  if (!graph) return undefined;
  const index = indexOf(world);
  const changes = graph.nodes.map(({ step, edges }) => edges.map((edge) => edgeChange(step, edge, graph, world)));
  // What comes out for nothing and for everything says, bit by bit, what is gained and what is kept.
  const run = (mode: "must" | "may", entry: Bits): (Bits | undefined)[] =>
    flow(mode, graph.nodes.length, flowEdges(graph, changes, mode), graph.start, entry);
  const none = emptyBits(index.size);
  const all = fullBits(index.size);
  const gained = { must: run("must", none), may: run("may", none) };
  const keeping = { must: run("must", all), may: run("may", all) };
  const changeAt = (node: number): StateChange | undefined => {
    const [mg, mk, yg, yk] = [gained.must[node], keeping.must[node], gained.may[node], keeping.may[node]];
    return mg && mk && yg && yk ? { must: { gain: mg, keep: mk }, may: { gain: yg, keep: yk } } : undefined;
  };
  const declared = emptyBits(index.size);
  for (const { id } of procedure.needs) add(declared, index, id);
  const trusting = run("must", declared);
  const needs = new Map(procedure.needs.map(({ id, at }) => [id, at]));
  const outcomes = new Map<string, StateChange>();
  const stops: InnerStop[] = [];
  for (const { index: node, step } of graph.nodes) {
    const inner = step?.routine && summaryOf(step.routine.id, family, world)?.needs;
    for (const [state, at] of [...(step?.needs.map((ref) => [ref.id, ref.at] as const) ?? []), ...(inner ?? [])]) {
      const bit = index.of.get(state);
      const [before, best] = [trusting[node], keeping.must[node]];
      // Not met although the routine's own needs hold, and would be if the routine were begun with it: so it is one more.
      if (bit !== undefined && before && best && !hasBit(before, bit) && hasBit(best, bit) && !needs.has(state))
        needs.set(state, at);
    }
  }
  for (const { index: node, id, step } of graph.nodes) {
    const change = changeAt(node);
    if (!change) continue;
    if (!step) outcomes.set(id, change);
    else if (step.kind === "stop") stops.push({ routine: procedure, step, change });
    else if (step.kind === "use" && step.routine) {
      const own = stepTransfer(step, index);
      const here = after(change, { must: own, may: own });
      for (const inner of summaryOf(step.routine.id, family, world)?.stops ?? [])
        stops.push({ ...inner, change: after(here, inner.change) });
    }
  }
  return { needs, outcomes, stops: joined(stops) };
}

/** A stop that is reached by several uses is one stop: what holds there by any of them. */
function joined(stops: readonly InnerStop[]): InnerStop[] {
  const byStep = new Map<Step, InnerStop>();
  for (const stop of stops) {
    const earlier = byStep.get(stop.step);
    byStep.set(
      stop.step,
      earlier
        ? {
            ...stop,
            change: {
              must: meet(earlier.change.must, stop.change.must, (a, b) => a & b),
              may: meet(earlier.change.may, stop.change.may, (a, b) => a | b),
            },
          }
        : stop,
    );
  }
  return [...byStep.values()];
}
function meet(a: Transfer, b: Transfer, by: (a: number, b: number) => number): Transfer {
  return {
    keep: a.keep.map((word, i) => by(word, b.keep[i] as number)),
    gain: a.gain.map((word, i) => by(word, b.gain[i] as number)),
  };
}

export interface Means {
  readonly routine: string;
  /** The outcome behind which it is so for certain; undefined where the routine has no other. */
  readonly outcome: string | undefined;
}

/** Routines that bring a state about, or end it, on every way to one of their outcomes; by name, one outcome each. */
export function meansTo(what: "set" | "clear", state: string, family: string, world: World): Means[] {
  const bit = indexOf(world).of.get(state);
  if (bit === undefined) return [];
  return [...world.routines.values()].flatMap(({ id, outcomes }) => {
    for (const [outcome, { must, may }] of summaryOf(id, family, world)?.outcomes ?? [])
      if (what === "set" ? hasBit(must.gain, bit) : !hasBit(may.keep, bit) && !hasBit(may.gain, bit))
        return [{ routine: id, outcome: outcomes.size === 1 ? undefined : outcome }];
    return [];
  });
}

/** For a hint: "`isolate` to its outcome `isolated`, or `shut-house`". */
export function meansWords(means: readonly Means[]): string {
  return means
    .map(({ routine, outcome }) => `\`${routine}\`${outcome ? ` to its outcome \`${outcome}\`` : ""}`)
    .join(" or ");
}

/** The states of a set, by id, in the order of the catalog. */
export function statesIn(bits: Bits | undefined, facts: StateFacts): string[] {
  return bits ? facts.states.filter((_, i) => hasBit(bits, i)) : [];
}

/** Whether one state holds behind an edge, given whether it held before. */
export function holdsAfter(change: Transfer, bit: number, held: boolean): boolean {
  return hasBit(change.gain, bit) || (held && hasBit(change.keep, bit));
}
