/** The compiled tree as the walk wants it: see `walk/plan.ts`. */
import type {
  Branch,
  CompiledBase,
  CompiledReading,
  CompiledStep,
  CompiledTree,
  CompiledValue,
  FoundStep,
  MeasureStep,
  Target,
} from "../../../compiler/model/compiled.ts";
import { convert, sameDimension, unitOf } from "../../../compiler/model/units.ts";
import type { Bounds } from "../measure/field.ts";
import { marked } from "../measure/units.ts";
import type { Plan, PlanBranch, PlanStep, PlanTarget } from "../walk/plan.ts";
import { plain } from "./html.ts";
import { pairsFor } from "./units.ts";

/** A tree or one of its routines, as a page and a plan see it. */
export interface Procedure {
  /** Id of the routine; nothing for the tree itself. */
  readonly routine?: string;
  readonly start: string;
  readonly steps: readonly CompiledStep[];
  /** What a target may name beside steps: the ways to leave the procedure. */
  readonly outcomes: ReadonlySet<string>;
}

/** The tree, then its routines in the order of first use. */
export function proceduresOf(base: CompiledBase, tree: CompiledTree): Procedure[] {
  const procedures: Procedure[] = [{ start: tree.start, steps: tree.steps, outcomes: new Set(["done"]) }];
  for (const id of tree.routines) {
    const routine = base.routines[id];
    if (routine === undefined) continue;
    const outcomes = new Set(Object.keys(routine.outcomes));
    procedures.push({ routine: id, start: routine.start, steps: routine.steps, outcomes });
  }
  return procedures;
}

/** Key of a step on the page and in the plan. */
export function keyOf(procedure: Procedure, step: string): string {
  return procedure.routine === undefined ? step : `${procedure.routine}__${step}`;
}

/** Key of a target, or `=<outcome>`. A step wins over an outcome of the same name, as steps are what authors point at. */
export function placeOf(procedure: Procedure, to: string): string {
  const isOutcome = procedure.outcomes.has(to) && !procedure.steps.some((step) => step.id === to);
  return isOutcome ? `=${to}` : keyOf(procedure, to);
}

export function planOf(base: CompiledBase, tree: CompiledTree): Plan {
  const steps: Record<string, PlanStep> = {};
  const states = new Set<string>();
  const parts = new Set<string>();
  const units: string[] = [];
  for (const procedure of proceduresOf(base, tree)) {
    for (const step of procedure.steps) {
      steps[keyOf(procedure, step.id)] = planStep(base, tree, procedure, step);
      for (const state of [...step.needs, ...step.sets, ...step.clears]) states.add(state);
      for (const part of step.parts) parts.add(part);
      if (step.kind !== "measure") continue;
      units.push(...step.readings.map(({ unit }) => unit), step.value.unit);
    }
  }
  const back = Object.fromEntries(
    [...states].filter((id) => base.states[id]?.mustClear).map((id) => [id, routinesBack(base, tree, id)]),
  );
  return {
    base: base.base,
    tree: tree.id,
    start: tree.start,
    families: tree.serves,
    steps,
    units: pairsFor(units),
    states: Object.fromEntries([...states].map((id) => [id, plain(base.states[id]?.title ?? id)])),
    parts: Object.fromEntries([...parts].map((id) => [id, plain(base.parts[id]?.title ?? id)])),
    symptom: plain(base.symptoms[tree.symptom]?.title ?? tree.symptom),
    back,
    needs: Object.fromEntries(
      Object.values(back).flatMap((ids) => ids.map((id) => [id, base.routines[id]?.needs ?? []])),
    ),
    ...(tree.evidence.length > 0 && {
      evidence: tree.evidence.map((one) => ({ ...one, families: one.families.map((id) => tree.serves.indexOf(id)) })),
    }),
  };
}

/**
 * The tree's routines that put a state back. One that the tree doesn't use may be for other equipment; one that brings
 * the state about itself is a repair from its beginning; and one that brings about something else that must be put back
 * is taken only where there is no plainer one.
 */
export function routinesBack(base: CompiledBase, tree: CompiledTree, state: string): string[] {
  const clearing = tree.routines.filter((id) => base.states[state]?.clearedBy.includes(id));
  const plain = clearing.filter((id) => ![...setBy(base, id)].some((one) => base.states[one]?.mustClear));
  return plain.length > 0 ? plain : clearing.filter((id) => !setBy(base, id).has(state));
}

/** All states that a routine sets on some way, by way of other routines too. */
function setBy(base: CompiledBase, routine: string): ReadonlySet<string> {
  const used = new Set([routine]);
  const states = new Set<string>();
  for (const id of used)
    for (const step of base.routines[id]?.steps ?? []) {
      if (step.kind === "use") used.add(step.routine);
      for (const state of step.sets) states.add(state);
    }
  return states;
}

function planStep(base: CompiledBase, tree: CompiledTree, procedure: Procedure, step: CompiledStep): PlanStep {
  // A routine may name families that this tree doesn't serve.
  const places = (families: readonly string[]) =>
    families.map((id) => tree.serves.indexOf(id)).filter((place) => place >= 0);
  const target = (to: Target): PlanTarget =>
    "again" in to
      ? [placeOf(procedure, to.again.to), to.again.atMost, placeOf(procedure, to.again.else)]
      : placeOf(procedure, to.to);
  const common = {
    ...(step.families && { families: places(step.families) }),
    ...(step.sets.length > 0 && { sets: step.sets }),
    ...(step.clears.length > 0 && { clears: step.clears }),
    ...(step.minutes !== undefined && { minutes: step.minutes }),
    ...(step.parts.length > 0 && { parts: step.parts }),
    ...(isProof(step) && step.of !== undefined && { proves: keyOf(procedure, step.of) }),
    ...(step.licence !== undefined && step.unlicensed && { licence: [step.licence, target(step.unlicensed)] as const }),
  };
  const branch = (one: Branch): PlanBranch => ({
    id: one.id,
    to: target(one),
    ...(one.families && { families: places(one.families) }),
  });
  switch (step.kind) {
    case "look":
      return { ...common, kind: "look", answers: step.answers.map(branch) };
    case "measure":
      return {
        ...common,
        kind: "measure",
        readings: Object.fromEntries(step.readings.map((one) => [one.id, boundsOf(base, step, one)])),
        ...planValue(base, tree, procedure, step.value),
        ranges: step.ranges.map((one) => ({
          ...branch(one),
          ...(one.from !== undefined && { from: one.from }),
          ...(one.below !== undefined && { below: one.below }),
          ...(one.byFamily && { ends: tree.serves.map((id) => one.byFamily?.[id] ?? null) }),
        })),
      };
    case "do":
      return { ...common, kind: "do", next: target(step.next) };
    case "sort":
      return { ...common, kind: "sort", to: tree.serves.map((id) => keyFor(procedure, step.byFamily[id])) };
    case "use": {
      const start = `${step.routine}__${base.routines[step.routine]?.start ?? ""}`;
      return { ...common, kind: "use", start, outcomes: step.outcomes.map(branch) };
    }
    case "found":
      return {
        ...common,
        kind: "found",
        cause: step.cause,
        ...(step.next && { next: target(step.next), ...mends(procedure, step) }),
      };
    case "stop":
      return { ...common, kind: "stop" };
    default:
      return step satisfies never;
  }
}

/** Behind a repair nothing is looked at or measured but its proof. */
function isProof({ kind }: CompiledStep): boolean {
  return kind === "look" || kind === "measure";
}

function keyFor(procedure: Procedure, to: string | undefined): string | null {
  return to === undefined ? null : placeOf(procedure, to);
}

function mends(procedure: Procedure, step: FoundStep): { mends?: true } {
  const next = step.next === undefined || "again" in step.next ? undefined : step.next.to;
  return procedure.steps.some((one) => one.id === next && one.of === step.id) ? { mends: true } : {};
}

function planValue(
  base: CompiledBase,
  tree: CompiledTree,
  procedure: Procedure,
  { code, facts, earlier }: CompiledValue,
) {
  const said = (name: string) => tree.serves.map((id) => base.families[id]?.facts[name.replace("equipment.", "")]);
  return {
    // What was read earlier is known to the walk by the key of its step.
    value: code.map((word) => (earlier && Object.hasOwn(earlier, word) ? keyOf(procedure, String(word)) : word)),
    ...(facts && {
      facts: Object.fromEntries(
        Object.entries(facts).map(([name, amounts]) => [name, tree.serves.map((id) => amounts[id] ?? null)]),
      ),
      said: Object.fromEntries(
        Object.keys(facts).map((name) => [
          name,
          said(name).map((fact) => (fact === undefined ? null : marked(String(fact)))),
        ]),
      ),
    }),
  };
}

/** The bounds of a reading, and what is usual: as the step says, else as the catalog formula does whose input it is. */
function boundsOf(base: CompiledBase, step: MeasureStep, { id, unit, between, typical }: CompiledReading): Bounds {
  const [low, high] = between;
  if (typical) return [low, high, ...typical];
  const input = base.formulas[step.value.formula ?? ""]?.inputs[id];
  const [from, to] = [unitOf(input?.unit ?? ""), unitOf(unit)];
  // A step may read the formula's input in a unit of its own.
  if (!input?.typical || !from || !to || !sameDimension(from.dimension, to.dimension)) return [low, high];
  const usual = (amount: number) => Math.min(high, Math.max(low, convert(amount, from, to)));
  return [low, high, usual(input.typical[0]), usual(input.typical[1])];
}
