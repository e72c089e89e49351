/**
 * Where a reader stands after the answers given so far. Pure: no page, no clock, no storage. A walk is its history and
 * nothing else, so going back is leaving out the last entry, and a reload is a replay.
 */
import type { Unsure } from "../../../compiler/model/compiled.ts";
import { evaluate, holdsValue } from "../../../compiler/model/formula.ts";
import { type Plan, type PlanBranch, type PlanRange, type PlanStep, type PlanTarget, routineOf } from "./plan.ts";

/** The first entry of every history: which equipment it is. */
export const EQUIPMENT = "=equipment";
/** The place after the proof: the fault is gone. */
export const DONE = "=done";
/** The answers to the question for a licence; no step has answers with such ids. */
export const LICENSED = "=licensed";
export const UNLICENSED = "=unlicensed";

/** The answer of a reader who is not sure; every check takes it. */
export const UNSURE = "=unsure";

export interface Entry {
  /** Key of the step, or `EQUIPMENT`. */
  readonly step: string;
  /**
   * The branch taken: an answer's or a range's id; the family for `EQUIPMENT`; `LICENSED` or `UNLICENSED` where the step
   * asks for a licence; `UNSURE`; nothing where there is one way on.
   */
  readonly answer?: string;
  /** What was read, by the reading's id, in the reading's unit. */
  readonly readings?: Readonly<Record<string, number>>;
}

export interface Place {
  /** Place of the chosen equipment in the plan's families. */
  readonly family: number;
  /** Key of the step on which the reader stands; `EQUIPMENT` before the first entry; `DONE` after the proof. */
  readonly at: string;
  /** Keys of the `use` steps whose routines the reader is inside, outermost first. */
  readonly calls: readonly string[];
  /** How often each bounded repeat was taken. */
  readonly counts: Readonly<Record<string, number>>;
  /** States that hold now, in the order in which they came to be. */
  readonly states: readonly string[];
  /** What was read so far, by `<key>.<reading>`; the last of several readings at one step. */
  readonly read: Readonly<Record<string, number>>;
  /** Licences that were asked for, and whether the reader holds them: nobody is asked twice on one visit. */
  readonly licences: Readonly<Record<string, boolean>>;
  /** The licence that the step asks for before it shows anything else. */
  readonly asks?: string;
  /** Keys of the steps that were passed over on the way here, for want of a licence. */
  readonly withheld: readonly string[];
  /** By key: the last answer to each check, and the outcome of each routine used, as evidence for the causes. */
  readonly seen: Readonly<Record<string, string>>;
  /** The step is asked in place of one of which the reader was not sure. */
  readonly doubt?: Doubt;
  /** The reader was not sure, and no check decides: somebody has to be called. The place is still at the check. */
  readonly handsOver?: true;
  /** Nothing follows: an end of the tree. */
  readonly ended: boolean;
}

interface Doubt {
  /** Key of the check that is in doubt. */
  readonly of: string;
  /** What the answer to the check that is asked instead leads to. */
  readonly now: Extract<Unsure, { readonly ask: string }>;
  /** What was answered instead so far: it is not asked again when the way leads there. */
  readonly given: Readonly<Record<string, string>>;
}

/** A history that doesn't fit the plan: the entry (counted from 0) at which it stops fitting. */
export interface Misfit {
  readonly misfit: number;
  readonly because: string;
}

export function isMisfit(result: Place | Misfit): result is Misfit {
  return "misfit" in result;
}

const BEGINNING: Place = {
  family: -1,
  at: EQUIPMENT,
  calls: [],
  counts: {},
  states: [],
  read: {},
  seen: {},
  licences: {},
  withheld: [],
  ended: false,
};

/** More silent moves than this between two steps can't come from a sound base; it stops a page from hanging. */
const MOST_SILENT_MOVES = 1000;

/** Walks the whole history from the beginning. Same plan and history, same place. */
export function replay(plan: Plan, history: readonly Entry[]): Place | Misfit {
  let place = BEGINNING;
  for (const [index, entry] of history.entries()) {
    const next = advance(plan, place, entry);
    if (typeof next === "string") return { misfit: index, because: next };
    place = next;
  }
  return place;
}

/** One entry further, or the reason why the entry doesn't fit here. */
export function advance(plan: Plan, from: Place, entry: Entry): Place | string {
  const { asks, ...rest } = from;
  const place: Place = { ...rest, withheld: [] };
  if (entry.step !== place.at) return `the walk stands at ${place.at}, not at ${entry.step}`;
  if (asks !== undefined) {
    if (entry.answer !== LICENSED && entry.answer !== UNLICENSED) return `${place.at} asks for a licence first`;
    const licences = { ...place.licences, [asks]: entry.answer === LICENSED };
    return arrive(plan, { ...place, licences }, place.at);
  }
  if (place.at === EQUIPMENT) {
    const family = plan.families.indexOf(entry.answer ?? "");
    return family < 0 ? "the equipment is not served here" : arrive(plan, { ...place, family }, plan.start);
  }
  const step = plan.steps[place.at];
  if (step === undefined || place.ended || place.handsOver) return `nothing follows ${place.at}`;
  if (entry.answer === UNSURE && isCheck(step)) return unsure(plan, place);
  switch (step.kind) {
    case "look": {
      const branch = open(step.answers, place.family).find((one) => one.id === entry.answer);
      if (branch === undefined) return `${place.at} has no answer ${entry.answer ?? ""}`;
      return answered(plan, place, branch.id);
    }
    case "measure": {
      const readings = entry.readings ?? {};
      for (const [id, [lowest, highest]] of Object.entries(step.readings)) {
        const reading = readings[id];
        if (reading === undefined || !(reading >= lowest && reading <= highest)) return `${id} can't be read like that`;
      }
      const value = computed(step, place, readings);
      const range = value === undefined ? undefined : rangeOf(step.ranges, value, place.family);
      if (range === undefined) return `no range of ${place.at} holds this value`;
      if (range.id !== entry.answer) return `the value now falls into ${range.id}, not into ${entry.answer ?? ""}`;
      const read = { ...place.read };
      for (const id of Object.keys(step.readings)) read[`${place.at}.${id}`] = readings[id] as number;
      return answered(plan, { ...place, read }, range.id);
    }
    case "do":
      return follow(plan, leave(place, step), step.next, "");
    case "found":
      return step.next === undefined ? "nothing follows" : follow(plan, leave(place, step), step.next, "");
    case "use":
      return arrive(plan, { ...place, calls: [...place.calls, place.at] }, step.start);
    default:
      return `${place.at} takes no answer`;
  }
}

type Check = PlanStep & { readonly kind: "look" | "measure" };

export function isCheck(step: PlanStep | undefined): step is Check {
  return step?.kind === "look" || step?.kind === "measure";
}

/** The answers, ranges or outcomes of a step that has several. */
export function branchesOf(step: PlanStep | undefined): readonly PlanBranch[] {
  return step === undefined
    ? []
    : "answers" in step
      ? step.answers
      : "ranges" in step
        ? step.ranges
        : "outcomes" in step
          ? step.outcomes
          : [];
}

/** What the plan knows of the causes for the reader's equipment. */
export function evidenceOf(plan: Plan, place: Place) {
  return plan.evidence?.find(({ families }) => families.includes(place.family));
}

/** Goes on by an answer to the check at which the reader stands; or settles the doubt for which it was asked. */
function answered(plan: Plan, from: Place, answer: string): Place | string {
  const { doubt, ...rest } = from;
  const place = { ...rest, seen: { ...from.seen, [from.at]: answer } };
  if (doubt === undefined) return by(plan, place, answer);
  return settle(plan, place, doubt.of, { ...doubt.given, [place.at]: answer }, doubt.now.answers[answer]);
}

function unsure(plan: Plan, from: Place): Place | string {
  const { doubt, ...rest } = from;
  // An answer that was given here before is in doubt too.
  const { [from.at]: _, ...seen } = from.seen;
  const place = { ...rest, seen };
  if (doubt === undefined) return settle(plan, place, from.at, {}, evidenceOf(plan, place)?.unsure[from.at]);
  return settle(plan, place, doubt.of, doubt.given, doubt.now.unsure);
}

function settle(
  plan: Plan,
  place: Place,
  of: string,
  given: Readonly<Record<string, string>>,
  way: Unsure | undefined,
): Place | string {
  if (way === undefined) return { ...place, handsOver: true };
  if ("ask" in way) return arrive(plan, { ...place, doubt: { of, now: way, given } }, way.ask);
  if ("own" in way) return by(plan, place, given[place.at] ?? "");
  let next = by(plan, { ...place, at: of }, way.take);
  const left = { ...given };
  while (typeof next !== "string") {
    const answer = left[next.at];
    if (answer === undefined || next.asks !== undefined) break;
    delete left[next.at];
    next = by(plan, next, answer);
  }
  return next;
}

/** Follows a branch of the check at which the place stands. */
function by(plan: Plan, place: Place, answer: string): Place | string {
  const step = plan.steps[place.at];
  const branch = branchesOf(step).find((one) => one.id === answer);
  if (step === undefined || branch === undefined) return `${place.at} has no answer ${answer}`;
  return follow(plan, leave(place, step), branch.to, branch.id);
}

/** The answers or ranges that the family can give. */
export function open<B extends PlanBranch>(branches: readonly B[], family: number): readonly B[] {
  return branches.filter((one) => one.families === undefined || one.families.includes(family));
}

/**
 * The value of readings, in the value's unit.
 *
 * @returns undefined when a reading is missing or the formula has no value.
 */
export function computed(
  step: PlanStep & { readonly kind: "measure" },
  place: Place,
  readings: Readonly<Record<string, number>>,
): number | undefined {
  const result = evaluate(
    step.value,
    (name) => readings[name] ?? place.read[name] ?? step.facts?.[name]?.[place.family] ?? Number.NaN,
  );
  // Twelve digits: 57 of 100 is 57 %, not 56.99999999999999 %.
  return Number.isFinite(result) ? Number(result.toPrecision(12)) : undefined;
}

export function rangeOf(ranges: readonly PlanRange[], value: number, family: number): PlanRange | undefined {
  return open(ranges, family).find((one) => {
    const ends = one.ends ? one.ends[family] : one;
    return ends != null && holdsValue(ends, value);
  });
}

/** The place with the step's own changes made: what it clears and what it sets. What held before stays where it was. */
function leave(place: Place, step: PlanStep): Place {
  const { sets = [], clears = [] } = step;
  if (sets.length === 0 && clears.length === 0) return place;
  const kept = place.states.filter((state) => !clears.includes(state) || sets.includes(state));
  return { ...place, states: [...kept, ...sets.filter((state) => !kept.includes(state))] };
}

/** What to do before leaving early. */
export interface WayBack {
  /** What it puts back, the last that came to be first. */
  readonly states: readonly string[];
  /** The routine that does it; absent: what is left to do of the work under way. */
  readonly routine?: string;
}

/**
 * How everything that must not be left behind is put back: in the reverse of the order in which it came to be, since
 * each change may rest on those before it. A routine that puts back several states stands where the first of them does,
 * so that it undoes nothing on which a later one still rests.
 *
 * A routine that wants more to be true than is counts only for what no step of the tree itself puts back. Of several,
 * one that can begin now goes first; then the one that puts back most of what holds; then the one that does least
 * besides.
 */
export function waysBack(plan: Plan, place: Place): WayBack[] {
  const held = place.states.filter((state) => plan.back[state] !== undefined);
  const endedBy = (routine: string, states: readonly string[]) =>
    states.filter((one) => plan.back[one]?.includes(routine) && clearsFor(plan, routine, one, place.family));
  const cost = (routine: string, states: readonly string[]) => [
    Math.min(1, unmetNeeds(plan, place, routine).length),
    -endedBy(routine, states).length,
    endedBy(routine, Object.keys(plan.back)).length,
  ];
  const ways: WayBack[] = [];
  let left = held;
  for (;;) {
    const byRoutine = left.filter((state) => !clearsFor(plan, "", state, place.family));
    const [first, ...others] = Object.keys(plan.needs).filter(
      (routine) => endedBy(routine, unmetNeeds(plan, place, routine).length === 0 ? left : byRoutine).length > 0,
    );
    if (first === undefined) break;
    const routine = others.reduce((best, one) => (isLess(cost(one, left), cost(best, left)) ? one : best), first);
    const states = endedBy(routine, left);
    ways.push({ states: [...states].reverse(), routine });
    left = left.filter((state) => !states.includes(state));
  }
  ways.push(...left.map((state) => ({ states: [state] })));
  const since = (way: WayBack) => held.indexOf(way.states.at(-1) ?? "");
  return ways.sort((one, other) => since(other) - since(one));
}

/** What must hold before the routine begins, and doesn't. */
export function unmetNeeds(plan: Plan, place: Place, routine: string): string[] {
  return (plan.needs[routine] ?? []).filter((state) => !place.states.includes(state));
}

function isLess(one: readonly number[], other: readonly number[]): boolean {
  const differs = one.findIndex((value, index) => value !== other[index]);
  return differs >= 0 && (one[differs] ?? 0) < (other[differs] ?? 0);
}

/**
 * Whether a step of the routine, or of one that it uses, is for the family and ends the state.
 *
 * @param routine Empty for the steps of the tree itself, without what it uses.
 */
function clearsFor(plan: Plan, routine: string, state: string, family: number): boolean {
  return Object.entries(plan.steps).some(
    ([key, step]) =>
      routineOf(key) === routine &&
      step.families?.includes(family) !== false &&
      (step.clears?.includes(state) ||
        (routine !== "" && step.kind === "use" && clearsFor(plan, routineOf(step.start), state, family))),
  );
}

/**
 * The name under which a bounded repeat is counted: for its place in the walk, so that a routine used at two places has
 * its repeats at each of them.
 */
export function repeatName(place: Place, branch: string): string {
  return [...place.calls, place.at, branch].join(" ");
}

/** Takes a branch of the step at which the place stands, counting when it is a bounded repeat. */
function follow(plan: Plan, place: Place, target: PlanTarget, branch: string): Place | string {
  if (typeof target === "string") return arrive(plan, place, target);
  const [back, atMost, otherwise] = target;
  const name = repeatName(place, branch);
  const taken = (place.counts[name] ?? 0) + 1;
  if (taken > atMost) return arrive(plan, place, otherwise);
  return arrive(plan, { ...place, counts: { ...place.counts, [name]: taken } }, back);
}

/** Goes to a step, and on through all that the reader doesn't see: sorting, ends of routines, steps for others. */
function arrive(plan: Plan, from: Place, target: string, moves = 0): Place | string {
  if (moves > MOST_SILENT_MOVES) return `the way through ${target} never comes to a step`;
  if (target.startsWith("=")) {
    const call = from.calls.at(-1);
    if (call === undefined) return { ...from, at: target, ended: true };
    const use = plan.steps[call];
    if (use?.kind !== "use") return `${call} uses no routine`;
    const outcome = use.outcomes.find((one) => `=${one.id}` === target);
    if (outcome === undefined) return `${call} has no way on for ${target}`;
    const seen = { ...from.seen, [call]: outcome.id };
    const back = leave({ ...from, seen, at: call, calls: from.calls.slice(0, -1) }, use);
    return follow(plan, back, outcome.to, outcome.id);
  }
  const step = plan.steps[target];
  if (step === undefined) return `there is no step ${target}`;
  const place = { ...from, at: target };
  if (step.kind === "sort") {
    const to = step.to[from.family];
    return to == null
      ? `${target} has no way on for ${plan.families[from.family] ?? ""}`
      : arrive(plan, place, to, moves + 1);
  }
  const isForOthers = step.families !== undefined && !step.families.includes(from.family);
  if (isForOthers && step.kind === "do") return skip(plan, place, step.next, "", moves);
  if (isForOthers && step.kind === "use" && step.outcomes[0] !== undefined) {
    return skip(plan, place, step.outcomes[0].to, step.outcomes[0].id, moves);
  }
  if (step.licence !== undefined) {
    const [licence, without] = step.licence;
    const holds = place.licences[licence];
    if (holds === undefined) return { ...place, asks: licence };
    if (!holds) return skip(plan, { ...place, withheld: [...place.withheld, target] }, without, UNLICENSED, moves);
  }
  return { ...place, ended: step.kind === "stop" || (step.kind === "found" && step.next === undefined) };
}

/** Passes over a step that is for other equipment, or for other people: its changes are not made. */
function skip(plan: Plan, place: Place, target: PlanTarget, branch: string, moves: number): Place | string {
  return typeof target === "string" ? arrive(plan, place, target, moves + 1) : follow(plan, place, target, branch);
}
