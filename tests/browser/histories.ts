/** Answers that lead to every end of a tree, found with the walk's own engine over the plan that the page carries. */
import {
  advance,
  computed,
  type Entry,
  EQUIPMENT,
  isMisfit,
  LICENSED,
  open,
  type Place,
  rangeOf,
  replay,
  UNLICENSED,
} from "../../site/src/walk/engine.ts";
import type { Plan, PlanStep } from "../../site/src/walk/plan.ts";

export interface Ending {
  /** Key of the end; `=done` behind a proof is told apart by the proof. */
  readonly name: string;
  readonly history: readonly Entry[];
}

/** Far more places than the demo's trees have; reached only if the search runs in circles. */
const MAX_PLACES = 200_000;

/**
 * One shortest history for each end: each `stop`, each `found` without a way on, and `done` behind each proof; and one
 * for each question for a licence, with the answer no.
 */
export function endings(plan: Plan): Ending[] {
  const found = new Map<string, Ending>();
  const start = replay(plan, []);
  if (isMisfit(start)) throw new Error(start.because);
  const queue: { place: Place; history: readonly Entry[] }[] = [{ place: start, history: [] }];
  const seen = new Set<string>();
  for (const { place, history } of queue) {
    if (seen.size > MAX_PLACES) throw new Error(`${plan.tree}: too many places`);
    for (const entry of entriesAt(plan, place)) {
      const next = advance(plan, place, entry);
      if (typeof next === "string") throw new Error(`${plan.tree}: ${next}`);
      const longer = [...history, entry];
      if (next.ended) {
        const name = next.at === "=done" ? `done behind ${place.at}` : next.at;
        const lacking = longer.filter(({ answer }) => answer === UNLICENSED).map(({ step }) => `${step} unlicensed`);
        for (const what of [name, ...lacking]) if (!found.has(what)) found.set(what, { name, history: longer });
        continue;
      }
      // No end lies behind more than two repeats; following every mixture of them would go on for ever.
      if (Object.values(next.counts).filter((count) => count > 0).length > 2) continue;
      const key = JSON.stringify([next.family, next.at, next.calls, next.counts, next.licences]);
      if (seen.has(key)) continue;
      seen.add(key);
      queue.push({ place: next, history: longer });
    }
  }
  return [...found.values()];
}

/** Everything that can be answered where the reader stands. */
export function entriesAt(plan: Plan, place: Place): Entry[] {
  if (place.at === EQUIPMENT) return plan.families.map((answer) => ({ step: EQUIPMENT, answer }));
  if (place.asks !== undefined) return [LICENSED, UNLICENSED].map((answer) => ({ step: place.at, answer }));
  const step = plan.steps[place.at];
  if (!step) return [];
  if (step.kind === "look") return open(step.answers, place.family).map(({ id }) => ({ step: place.at, answer: id }));
  if (step.kind === "measure")
    return open(step.ranges, place.family).flatMap(({ id }) => {
      const readings = readingsFor(step, place, id);
      return readings ? [{ step: place.at, answer: id, readings }] : [];
    });
  return [{ step: place.at }];
}

type Measure = Extract<PlanStep, { kind: "measure" }>;

/** Readings that fall into the range: tried on a grid over the bounds, fine near the lower ends. */
function readingsFor(step: Measure, place: Place, range: string): Record<string, number> | undefined {
  const names = Object.keys(step.readings);
  const candidates = names.map((name) => {
    const [low, high] = step.readings[name] ?? [0, 0];
    const limits = step.ranges
      .flatMap((one) => one.ends?.[place.family] ?? one)
      .flatMap(({ from, below }) => [from, below])
      .filter((x) => x !== undefined);
    const steps = names.length === 1 ? [...limits, ...limits.map((x) => x * 0.999 - 1e-6)] : [];
    // Not from the very ends first: a later step may ask for less than was read here, or for more.
    return [0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.01, 0.005, 0.001, 0, 1]
      .map((part) => Number((low + (high - low) * part).toPrecision(4)))
      .concat(steps)
      .filter((x) => x >= low && x <= high);
  });
  const pick = (index: number, readings: Record<string, number>): Record<string, number> | undefined => {
    const name = names[index];
    if (name === undefined) {
      const value = computed(step, place, readings);
      return value !== undefined && rangeOf(step.ranges, value, place.family)?.id === range ? readings : undefined;
    }
    for (const candidate of candidates[index] ?? []) {
      const done = pick(index + 1, { ...readings, [name]: candidate });
      if (done) return done;
    }
    return undefined;
  };
  return pick(0, {});
}
