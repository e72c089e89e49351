/**
 * Which states hold before each step.
 *
 * Assumptions: nothing but the steps changes a state; a state holds from the step that sets it until one that clears
 * it; a visit begins with none. `must` says what holds on every way, `may` what holds on some way. A routine is summed up
 * once per family as what it does to each state on the way to each outcome and to each `stop` inside it, so a routine
 * costs the same however often and however deep it is used.
 */
import type { Procedure, Step, World } from "../../model/base.ts";
import type { Graph } from "../../model/graph.ts";
import { Kept } from "../../model/kept.ts";
import type { Place } from "../../model/source.ts";
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

/** A `stop` inside a routine, seen from where the routine begins. */
export interface InnerStop {
  /** The routine that holds it. */
  readonly routine: Procedure;
  readonly step: Step;
  readonly change: Change;
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
  /** Whether some state may hold before the node that must be cleared at the end. */
  mayOwe(node: number): boolean;
  /**
   * What leaving the node by its edge does; by index into the node's edges. Undefined where nobody can go along it: it
   * leads nowhere, or hangs on an outcome that the routine does not have for this family.
   */
  change(node: number, edge: number): Change | undefined;
  /** Stops inside the routine that the node uses; empty for other nodes. */
  innerStops(node: number): readonly InnerStop[];
  /** States that the routine which the node uses wants to find: those it declares, and those its own steps rely on. */
  neededInside(node: number): ReadonlyMap<string, Place>;
}

interface Summary {
  readonly needs: ReadonlyMap<string, Place>;
  readonly outcomes: ReadonlyMap<string, Change>;
  readonly stops: readonly InnerStop[];
}

const kept = new Kept<Graph, StateFacts>();

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
  const family = graph.families[0] ?? "";
  const inside = graph.nodes.map(({ step }) => step?.routine && summaryOf(step.routine.id, family, world));
  const changes = stateChanges(graph, inside, index);
  const entry = emptyBits(index.ids.length);
  const entryStates = entryNeeds(graph, world);
  for (const state of entryStates) add(entry, index, state);
  const must = flow("must", graph, changes, entry);
  const may = flow("may", graph, changes, entry);
  return {
    states: index.ids,
    entry: entryStates,
    bit: (state) => index.of.get(state),
    mustBefore: (node) => must[node],
    mayBefore: (node) => may[node],
    mayOwe: (node) => may[node]?.some((word, w) => (word & (index.owed[w] as number)) !== 0) === true,
    change: (node, edge) => changeOf(graph, changes, node, edge),
    innerStops: (node) => inside[node]?.stops ?? noStops,
    neededInside: (node) => inside[node]?.needs ?? noNeeds,
  };
}

const noNeeds: ReadonlyMap<string, Place> = new Map();
const noStops: readonly InnerStop[] = [];

/** What holds when a procedure begins: nothing for a tree; for a routine what it needs, since whoever uses it is held to that. */
function entryNeeds(graph: Graph, world: World): readonly string[] {
  const { kind, id } = graph.procedure;
  if (kind === "tree") return [];
  return [...(summaryOf(id, graph.families[0] ?? "", world)?.needs.keys() ?? [])];
}

interface Index {
  readonly of: ReadonlyMap<string, number>;
  readonly ids: readonly string[];
  /** Those that must be cleared at the end. */
  readonly owed: Bits;
  readonly nothing: Change;
  /** Of a routine that can't be read: it may be the one that does all that is needed. One fault, one complaint. */
  readonly anything: Change;
  /** What each step does itself; steps belong to one world. */
  readonly steps: WeakMap<Step, Change>;
}
const indexes = new WeakMap<World, Index>();
function indexOf(world: World): Index {
  let index = indexes.get(world);
  if (!index) {
    const ids = [...world.catalogs.states.keys()];
    const identity = { keep: fullBits(ids.length), gain: emptyBits(ids.length) };
    const owed = emptyBits(ids.length);
    for (const [i, id] of ids.entries())
      if (world.catalogs.states.get(id)?.entry["must-clear"] !== false) setBit(owed, i);
    index = {
      ids,
      of: new Map(ids.map((id, i) => [id, i])),
      owed,
      nothing: { must: identity, may: identity },
      anything: {
        must: { keep: fullBits(ids.length), gain: fullBits(ids.length) },
        may: { keep: emptyBits(ids.length), gain: emptyBits(ids.length) },
      },
      steps: new WeakMap(),
    };
    indexes.set(world, index);
  }
  return index;
}
function add(bits: Bits, index: Index, state: string): void {
  const bit = index.of.get(state);
  if (bit !== undefined) setBit(bits, bit);
}

/** @param inside By node: the summary of the routine that it uses. */
function stateChanges({ nodes }: Graph, inside: readonly (Summary | undefined)[], index: Index): Changes {
  return nodes.map(({ index: node, step, edges }) => {
    if (!step) return index.nothing;
    const own = stepChange(step, index);
    const summary = inside[node];
    const isUse = step.kind === "use";
    if (!isUse && !step.unlicensed) return own;
    return edges.map(({ kind, branch }) => {
      if (kind === "unlicensed") return index.nothing;
      if (!isUse) return own;
      if (!summary) return index.anything;
      const change = summary.outcomes.get(branch.id);
      // A step's own states change after it, so behind the routine.
      return change && (own === index.nothing ? change : after(change, own));
    });
  });
}

function stepChange(step: Step, index: Index): Change {
  if (step.sets.length === 0 && step.clears.length === 0) return index.nothing;
  let change = index.steps.get(step);
  if (!change) {
    const keep = fullBits(index.ids.length);
    const gain = emptyBits(index.ids.length);
    for (const { id } of step.clears) {
      const bit = index.of.get(id);
      if (bit !== undefined) clearBit(keep, bit);
    }
    for (const { id } of step.sets) add(gain, index, id);
    const own = { keep, gain };
    change = { must: own, may: own };
    index.steps.set(step, change);
  }
  return change;
}

function after(first: Change, second: Change): Change {
  return { must: compose(first.must, second.must), may: compose(first.may, second.may) };
}

const summaryOf = summaries<Summary | undefined>(undefined, summarise);

function summarise(graph: Graph, world: World): Summary {
  const { procedure } = graph;
  const family = graph.families[0] ?? "";
  const index = indexOf(world);
  const uses = graph.nodes.map(({ step }) => step?.routine && summaryOf(step.routine.id, family, world));
  const changes = stateChanges(graph, uses, index);
  // What comes out for nothing and for everything says, bit by bit, what is gained and what is kept.
  const run = (mode: "must" | "may", entry: Bits): (Bits | undefined)[] => flow(mode, graph, changes, entry);
  const none = emptyBits(index.ids.length);
  const all = fullBits(index.ids.length);
  const gained = { must: run("must", none), may: run("may", none) };
  const keeping = { must: run("must", all), may: run("may", all) };
  const changeAt = (node: number): Change | undefined => {
    const [mg, mk, yg, yk] = [gained.must[node], keeping.must[node], gained.may[node], keeping.may[node]];
    return mg && mk && yg && yk ? { must: { gain: mg, keep: mk }, may: { gain: yg, keep: yk } } : undefined;
  };
  const declared = emptyBits(index.ids.length);
  for (const { id } of procedure.needs) add(declared, index, id);
  const trusting = run("must", declared);
  const needs = new Map(procedure.needs.map(({ id, at }) => [id, at]));
  const outcomes = new Map<string, Change>();
  const stops: InnerStop[] = [];
  for (const { index: node, step } of graph.nodes) {
    const inner = uses[node]?.needs;
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
    else for (const inner of uses[node]?.stops ?? []) stops.push({ ...inner, change: after(change, inner.change) });
  }
  return { needs, outcomes, stops: joined(stops) };
}

/**
 * A stop that is reached by several uses is one stop: what holds there by any of them. By name, so that the first that a
 * complaint finds is the same in whatever order the steps are written.
 */
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
  const name = ({ routine, step }: InnerStop): string => `${routine.id} ${step.id}`;
  return [...byStep.values()].sort((a, b) => (name(a) < name(b) ? -1 : 1));
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

/**
 * The means to name in a hint. What also undoes it somewhere inside (a change of cartridges isolates and restores) does
 * other work besides, and is left out where there is something better; then what settles most of what else is wanted is
 * kept, and of that what the procedure uses already.
 *
 * @param wanted States that are to be set, or cleared, besides.
 */
export function bestMeans(
  what: "set" | "clear",
  state: string,
  wanted: readonly string[],
  { procedure, families }: Graph,
  world: World,
): Means[] {
  const family = families[0] ?? "";
  const means = meansTo(what, state, family, world).filter(({ routine }) => routine !== procedure.id);
  const opposite = what === "set" ? "clears" : "sets";
  const besides = wanted.map((other) => new Set(meansTo(what, other, family, world).map(({ routine }) => routine)));
  const inUse = new Set([...procedure.steps.values()].flatMap(({ routine }) => (routine ? [routine.id] : [])));
  const straight = preferred(means, ({ routine }) => Number(!happensIn(routine, opposite, state, world)));
  const thorough = preferred(straight, ({ routine }) => besides.filter((routines) => routines.has(routine)).length);
  return preferred(thorough, ({ routine }) => Number(inUse.has(routine)));
}

/** Those of the highest score. */
function preferred(means: readonly Means[], score: (one: Means) => number): Means[] {
  const most = Math.max(0, ...means.map(score));
  return means.filter((one) => score(one) === most);
}

/** Whether a step of the routine, or of one that it uses, sets or clears the state. */
function happensIn(
  routine: string,
  what: "sets" | "clears",
  state: string,
  world: World,
  seen = new Set<string>(),
): boolean {
  if (seen.has(routine)) return false;
  seen.add(routine);
  return [...(world.routines.get(routine)?.steps.values() ?? [])].some(
    (step) =>
      step[what].some(({ id }) => id === state) ||
      (step.routine !== undefined && happensIn(step.routine.id, what, state, world, seen)),
  );
}

/** For a hint, the first few: "`isolate` to its outcome `isolated` or `shut-house`". */
export function meansWords(means: readonly Means[]): string {
  return means
    .slice(0, 3)
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
