/**
 * Breaks the demo base's safety in every single place where it can be broken, one slip at a time, and asks whether the
 * compiler notices: a step left out or in the wrong place, a caution, state, proof or licence forgotten, a visit ended too
 * early, a weaker word, a step that one family skips.
 *
 * Whether a slip makes anything unsafe is decided without the compiler: a reader who tries everything (`outside/reader.ts`)
 * walks the changed tree for every family, and is unsafe where he lacks a needed state, leaves one behind, has not been
 * cautioned, works without the licence, or leaves a repair unproven. A slip that changes nothing for him is left alone.
 * For one that does, the compiler must complain by the very rules that he finds broken, and name the very states, hazards,
 * licences and causes. Nothing here is random. The demo base is large, so each run tries an even part of all slips, every
 * kind among them, and a slip in a routine in a few of its trees; `HEADWATER_TESTS=all` tries every slip everywhere.
 */
import { describe, expect, test } from "vitest";
import { Compiler, type Complaint, type RuleName } from "../compiler/index.ts";
import { DAY } from "./annotations.ts";
import { evenly } from "./evenly.ts";
import { baseOf, demoData, demoTexts, isProcedure, proceduresOf } from "./outside/demo.ts";
import {
  type BaseData,
  depthOf,
  everyPosition,
  isFor,
  layOut,
  outcomesOf,
  type Position,
  type ProcedureData,
  type StepData,
  stepAt,
} from "./outside/reader.ts";

// ---------------------------------------------------------------- what is unsafe

type Broken = ReadonlyMap<RuleName, ReadonlySet<string>>;

/** Everything that goes wrong for somebody who follows this tree, by the rule that is there to prevent it. */
function brokenIn(tree: ProcedureData, base: BaseData): Broken {
  const broken = new Map<RuleName, Set<string>>();
  const add = (rule: RuleName, what: string): void => {
    const kept = broken.get(rule);
    if (kept) kept.add(what);
    else broken.set(rule, new Set([what]));
  };
  for (const what of unproven(tree, base)) add("unproven-remedy", what);
  for (const family of tree.serves ?? []) {
    const options = { base, family, counted: "everywhere", mind: { cautions: true, licences: true } } as const;
    for (const position of everyPosition(tree, [], options)) {
      const step = stepAt(position, base);
      const { told, on, away, awayInside, frame } = position;
      const where = (): string => `at ${frame.procedure.routine ?? tree.tree}/${frame.at} for ${family}`;
      const data = step?.data ?? {};
      for (const state of [...(data.needs ?? []), ...(base.routines[data.use ?? ""]?.needs ?? [])])
        if (!on.includes(state)) add("need-not-met", `${state} ${where()}`);
      for (const hazard of step ? raisedBy(data, base) : [])
        if (!told.includes(hazard) && !data.safety?.some((note) => isOf(note, hazard)))
          add("missing-safety-note", `${hazard} ${where()}`);
      for (const licence of unsaid(data, base)) add("unlicensed-work", `${licence} ${where()}`);
      const end = endOf(position, tree, base);
      if (!end) continue;
      for (const state of on)
        if (base.states[state]?.["must-clear"] !== false && end.leaves?.[state] === undefined)
          add("state-left-behind", `${state} ${where()}`);
      for (const turned of [...away.map((one) => one.split(" ")[1] ?? ""), ...awayInside])
        if (end.kind !== "hand-over" || !base.contacts[end.call ?? ""]?.holds?.includes(turned))
          add("unlicensed-work", `${turned} turned away, ends ${where()}`);
    }
  }
  return broken;
}

const isOf = (note: NonNullable<StepData["safety"]>[number], hazard: string): boolean =>
  (typeof note === "string" ? note : note.hazard) === hazard;

/** The step that says what may stay behind where a visit ends; undefined while it goes on. */
function endOf(position: Position, tree: ProcedureData, base: BaseData): StepData | undefined {
  const step = stepAt(position, base);
  if (step?.exits.length === 0) return step.data;
  if (step || depthOf(position) > 0) return undefined;
  const { steps } = layOut(tree, base);
  const { leaves = {} } = steps.get(steps.get(position.last ?? "")?.of ?? "")?.data ?? {};
  return { leaves };
}

function unsaid({ licence, unlicensed, tools = [], parts = [], sets = [] }: StepData, base: BaseData): string[] {
  const asked = [
    ...tools.map((id) => base.tools[id]?.licence),
    ...parts.map((id) => base.parts[id]?.licence),
    ...sets.map((id) => base.states[id]?.licence),
  ].filter((one) => one !== undefined && one !== licence);
  return [...asked, licence !== undefined && unlicensed === undefined ? licence : undefined].filter(
    (one) => one !== undefined,
  );
}

function unproven(tree: ProcedureData, base: BaseData): string[] {
  const { steps } = layOut(tree, base);
  return [...steps.values()].flatMap(({ id, data }) => {
    if (data.found === undefined) return [];
    if (data.prove) {
      const proof = steps.get(`${id}--prove`)?.exits ?? [];
      const leads = proof.flatMap(({ to, again }) => (again ? [again.step, again.else] : [to]));
      return leads.every((to) => to === "done") ? [id] : [];
    }
    const next = steps.get(data.then ?? "")?.data;
    if (data.remedy === undefined) return next ? [] : [id];
    return next?.stop !== undefined && next.kind === "hand-over" ? [] : [id];
  });
}

const raised = new WeakMap<StepData, readonly string[]>();
/** Kept by step: the catalogs it is looked up in are the same for all slips that the reader walks. */
function raisedBy(data: StepData, base: BaseData): readonly string[] {
  const hazards = raised.get(data) ?? findRaised(data, base);
  raised.set(data, hazards);
  return hazards;
}
/** In the words of the catalog: what is declared, what states, tools, parts and readings bring along, and trigger words. */
function findRaised(data: StepData, base: BaseData): string[] {
  const found = new Set(data.hazards ?? []);
  const of = (
    catalog: Readonly<Record<string, { readonly raises?: readonly string[] }>>,
    ids: readonly string[] = [],
  ): void => {
    for (const id of ids) for (const hazard of catalog[id]?.raises ?? []) found.add(hazard);
  };
  of(base.states, data.sets);
  of(base.tools, data.tools);
  of(base.parts, data.parts);
  const spoken = wordsOf([data.look ?? data.measure ?? data.do ?? data.stop, data.how].join(" . "));
  for (const [hazard, { words = [], above }] of Object.entries(base.hazards)) {
    if (words.some((phrase) => says(spoken, phrase))) found.add(hazard);
    const [, limit = "", unit = ""] = /^(\S+) (\S+)$/.exec(above ?? "") ?? [];
    for (const reading of Object.values(data.readings ?? {}))
      if (inUnit(reading.between[1], reading.unit, unit) > Number(limit)) found.add(hazard);
  }
  return [...found];
}
const wordsOf = (text: string): string[] => text.toLowerCase().match(/[\p{L}\p{N}]+/gu) ?? [];
function says(spoken: readonly string[], phrase: string): boolean {
  const wanted = phrase.toLowerCase().split(/[\s-]+/);
  return spoken.some((_, i) =>
    wanted.every((word, k) =>
      word.endsWith("*") ? spoken[i + k]?.startsWith(word.slice(0, -1)) : spoken[i + k] === word,
    ),
  );
}
/** The demo base's limits are temperatures; anything else has no common measure with them. */
function inUnit(amount: number, from: string, to: string): number {
  if (from === to) return amount;
  if (from === "°F" && to === "°C") return ((amount - 32) * 5) / 9;
  return Number.NaN;
}

// ---------------------------------------------------------------- making slips

type Open<T> = T extends readonly (infer U)[]
  ? Open<U>[]
  : T extends object
    ? { -readonly [K in keyof T]: Open<T[K]> }
    : T;
type OpenStep = Open<StepData>;
type OpenProcedure = Open<Omit<ProcedureData, "steps">> & {
  steps: Record<string, OpenStep> | OpenStep[];
};

/**
 * A copy in which every short form is written out, so that a slip can be made anywhere. What safety does not depend on
 * (reasons, minutes, the words of answers, the table of causes) is left out, which makes a check twice as quick.
 */
function opened(path: string): OpenProcedure {
  const data = structuredClone(demoData.get(path)) as Open<ProcedureData>;
  const step = (written: string | OpenStep): OpenStep => {
    const one: OpenStep & Spared = typeof written === "string" ? { do: written } : written;
    delete one.why;
    delete one.minutes;
    for (const key of ["answers", "outcomes", "ranges"] as const)
      for (const [by, target] of Object.entries(one[key] ?? {}))
        if (typeof target === "string") Object.assign(one[key] ?? {}, { [by]: leads(target) });
        else delete (target as Spared).say;
    if (one.remedy !== undefined)
      one.remedy = (typeof one.remedy === "string" ? [{ use: one.remedy }] : one.remedy).map(step);
    return one;
  };
  const steps = Array.isArray(data.steps)
    ? data.steps.map(step)
    : Object.fromEntries(Object.entries(data.steps).map(([id, one]) => [id, step(one)]));
  const { causes: _, summary: __, ...rest } = data as Open<ProcedureData> & Spared;
  return { ...rest, steps } as OpenProcedure;
}
interface Spared {
  why?: string;
  minutes?: number;
  say?: string;
  causes?: unknown;
  summary?: string;
}
const leads = (then: string): { then: string } => ({ then });

/** A step, wherever it stands: by id, in a list, in a remedy, or a proof. */
interface Slot {
  readonly id: string;
  readonly step: OpenStep;
  /** The list it stands in, and where. */
  readonly list: OpenStep[] | undefined;
  readonly index: number;
  readonly isProof: boolean;
}
function slotsOf(procedure: OpenProcedure): Slot[] {
  const inList = (list: OpenStep[], prefix: string): Slot[] =>
    list.map((step, index) => ({ id: `${prefix}--${index + 1}`, step, list, index, isProof: false }));
  if (Array.isArray(procedure.steps)) return inList(procedure.steps, "step");
  return Object.entries(procedure.steps).flatMap(([id, step]) => [
    { id, step, list: undefined, index: -1, isProof: false },
    ...inList((step.remedy ?? []) as OpenStep[], id),
    ...(step.prove ? [{ id: `${id}--prove`, step: step.prove, list: undefined, index: -1, isProof: true }] : []),
  ]);
}

type Way = { then?: string; again?: { step: string; "at-most": number; else: string } };
/** All places of a step that name where it leads; each with a name and a way to write another. */
function waysOn({ step, isProof }: Slot): { readonly by: string; readonly to: string; set(to: string): void }[] {
  const ways: { by: string; to: string; set(to: string): void }[] = [];
  const inMap = (by: string, map: Record<string, unknown>, key: string): void => {
    const target = map[key] as string | Way | undefined;
    if (typeof target === "string") ways.push({ by, to: target, set: (to) => Object.assign(map, { [key]: to }) });
    else if (target?.then !== undefined) {
      const { then } = target;
      ways.push({ by, to: then, set: (to) => Object.assign(target, leads(to)) });
    } else if (target?.again)
      for (const part of ["step", "else"] as const) {
        const { again } = target;
        ways.push({ by: `${by}, again ${part}`, to: again[part], set: (to) => Object.assign(again, { [part]: to }) });
      }
  };
  for (const key of ["answers", "outcomes", "ranges", "cases"] as const)
    for (const by of Object.keys(step[key] ?? {})) inMap(by, step[key] as Record<string, unknown>, by);
  for (const key of ["then", "else", "unlicensed"] as const) inMap(key, step as Record<string, unknown>, key);
  if (isProof) for (const key of ["fixed", "not-fixed"] as const) inMap(key, step as Record<string, unknown>, key);
  if (step.again) inMap("then", { step }, "step");
  return ways;
}

/** Takes a step by id out; whoever led there is led to `to`. */
function takeOut(procedure: OpenProcedure, id: string, to: string): void {
  for (const slot of slotsOf(procedure)) for (const way of waysOn(slot)) if (way.to === id) way.set(to);
  if (procedure.start === id) procedure.start = to;
  if (!Array.isArray(procedure.steps)) delete procedure.steps[id];
}

interface Slip {
  readonly kind: string;
  readonly path: string;
  readonly place: string;
  /** The changed file; made when it is wanted, since there are thousands. */
  readonly make: () => unknown;
}
type Edit = (procedure: OpenProcedure, slot: Slot) => void;

const slips: Slip[] = [];
/** One slip at one step. The edit is made on a fresh copy, so `find` looks the step up there again. */
function slip(kind: string, path: string, id: string, detail: string, edit: Edit): void {
  const make = (): unknown => {
    const procedure = opened(path);
    const slot = slotsOf(procedure).find((one) => one.id === id);
    if (!slot) throw new Error(`no ${id} in ${path}`);
    edit(procedure, slot);
    return procedure;
  };
  slips.push({ kind, path, place: detail ? `${id}, ${detail}` : id, make });
}

const isSingle = ({ step }: Slot): boolean => (step.do !== undefined || step.use !== undefined) && !step.outcomes;
const families = (path: string): readonly string[] => {
  const { tree, serves = [], routine } = demoData.get(path) as ProcedureData;
  return tree === undefined ? [...new Set(treesUsing(routine ?? "").flatMap((one) => one.serves ?? []))] : serves;
};
const demoBase = baseOf(demoData);
const demoTrees = proceduresOf(demoData).filter(({ tree }) => tree !== undefined);
function treesUsing(routine: string): ProcedureData[] {
  const uses = (procedure: ProcedureData): boolean =>
    [...layOut(procedure, demoBase).steps.values()].some(
      ({ data: { use } }) =>
        use !== undefined &&
        (use === routine || (demoBase.routines[use] !== undefined && uses(demoBase.routines[use]))),
    );
  return demoTrees.filter(uses);
}

/** Steps of trees at which somebody may stand while something is on that must not stay: `tree step`. */
const owing = new Set(
  demoTrees.flatMap((tree) =>
    (tree.serves ?? []).flatMap((family) =>
      everyPosition(tree, [], { base: demoBase, family, counted: "everywhere", mind: {} }).flatMap((position) => {
        const { frame, on } = position;
        const { sets = [] } = stepAt(position, demoBase)?.data ?? {};
        const isOwing = [...on, ...sets].some((state) => demoBase.states[state]?.["must-clear"] !== false);
        return isOwing ? [`${frame.procedure.tree} ${frame.at}`] : [];
      }),
    ),
  ),
);
/** Whether leaving it out could make any difference: it changes a state, carries a caution, is licensed or a whole routine. */
const matters = ({ use, licence, sets, clears, safety }: OpenStep): boolean =>
  (use ?? licence) !== undefined || [sets, clears, safety].some((list) => list !== undefined && list.length > 0);

for (const path of [...demoData.keys()].filter(isProcedure)) {
  const whole = opened(path);
  const slots = slotsOf(whole);
  const stops = slots.filter(({ step }) => step.stop !== undefined).map(({ id }) => id);
  const ends = whole.tree === undefined ? [...outcomesOf(demoData.get(path) as ProcedureData), ...stops] : stops;
  whole.safety?.forEach((_, i) => {
    const make = (): unknown => {
      const procedure = opened(path);
      procedure.safety?.splice(i, 1);
      if (procedure.safety?.length === 0) delete procedure.safety;
      return procedure;
    };
    slips.push({ kind: "a caution at the head forgotten", path, place: `safety ${i + 1}`, make });
  });
  for (const slot of slots) {
    const { id, step, list } = slot;
    const at = (kind: string, detail: string, edit: Edit): void => slip(kind, path, id, detail, edit);
    const what = step.use === undefined ? "a step" : "a routine";

    // Left out.
    if (list && list.length > 1) {
      at(`${what} left out of a list`, "", (_, one) => one.list?.splice(one.index, 1));
      if (slot.index > 0) at("a list cut short", "", (_, one) => one.list?.splice(one.index));
    }
    if (!list && !slot.isProof && step.stop === undefined && step.found === undefined) {
      const targets = new Set(
        waysOn(slot).flatMap(({ by, to }) => (by.includes("again") || by === "unlicensed" ? [] : [to])),
      );
      for (const to of targets)
        if (to !== id)
          at(`${what} left out`, targets.size > 1 ? `as if it led to ${to}` : "", (all) => takeOut(all, id, to));
    }
    // In the wrong order.
    const next = list ? list[slot.index + 1] : undefined;
    if (list && next)
      at("two neighbours in a list swapped", "", (_, one) => {
        const [first, second] = [one.list?.[one.index], one.list?.[one.index + 1]];
        if (first && second) one.list?.splice(one.index, 2, second, first);
      });
    const behind = slots.find((one) => one.id === step.then && !one.list);
    if (!list && isSingle(slot) && behind && isSingle(behind))
      at("two neighbours swapped", `with ${behind.id}`, (all) => {
        const steps = all.steps as Record<string, OpenStep>;
        const swapped = (body: OpenStep | undefined, way: OpenStep | undefined): OpenStep => {
          const { then: _, again: __, ...rest } = body ?? {};
          return {
            ...rest,
            ...(way?.then === undefined ? {} : leads(way.then)),
            ...(way?.again ? { again: way.again } : {}),
          };
        };
        const [first, second] = [steps[id], steps[behind.id]];
        Object.assign(steps, { [id]: swapped(second, first), [behind.id]: swapped(first, second) });
      });
    // Forgotten.
    step.safety?.forEach((_, i) => {
      at("a caution forgotten", `safety ${i + 1}`, (_all, one) => {
        one.step.safety?.splice(i, 1);
        if (one.step.safety?.length === 0) delete one.step.safety;
      });
    });
    for (const key of ["sets", "clears"] as const)
      for (const state of step[key] ?? [])
        at(key === "sets" ? "what a step brings about forgotten" : "what a step ends forgotten", state, (_, one) => {
          one.step[key] = one.step[key]?.filter((other) => other !== state) ?? [];
        });
    for (const state of Object.keys(step.leaves ?? {}))
      at("what stays behind not said", state, (_, one) => {
        delete one.step.leaves?.[state];
      });
    if (step.prove)
      at("a proof forgotten", "", (_, one) => {
        delete one.step.prove;
      });
    if (slot.isProof)
      at("a proof that can't fail", "", (_, one) => {
        for (const way of waysOn(one)) way.set("done");
      });
    for (const key of ["licence", "unlicensed"] as const)
      if (step[key] !== undefined)
        at(key === "licence" ? "a licence not asked" : "no way for somebody without the licence", "", (_, one) => {
          delete one.step[key];
        });
    if (step.call !== undefined)
      at("nobody called", "", (_, one) => {
        delete one.step.call;
      });
    if (step.kind === "hand-over")
      at("a hand-over that is none", "", (_, one) => {
        one.step.kind = "elsewhere";
      });
    // Ended early: a visit while something is on that must not stay, or without the licence; a routine anywhere.
    const isOpen = whole.tree === undefined || step.licence !== undefined || owing.has(`${whole.tree} ${id}`);
    for (const { by, to } of isOpen ? waysOn(slot) : [])
      for (const end of ends)
        if (end !== to && end !== id)
          at("a way that ends too early", `${by} to ${end}`, (_, one) => {
            waysOn(one)
              .find((way) => way.by === by)
              ?.set(end);
          });
    // Skipped by one family.
    const concerned = families(path).filter((family) =>
      isFor(step["only-for"] as StepData["only-for"], family, demoBase),
    );
    if (isSingle(slot) && matters(step) && concerned.length > 1)
      for (const family of concerned)
        at(`${what} skipped by one family`, family, (_, one) => {
          one.step["only-for"] = concerned.filter((other) => other !== family);
        });
  }
}

const words = ["notice", "caution", "warning", "danger"];
for (const [path, data] of demoData)
  for (const [id, { signal }] of Object.entries(
    (data as { hazards?: Record<string, { signal: string }> }).hazards ?? {},
  ))
    for (const weaker of words.slice(0, words.indexOf(signal))) {
      const make = (): unknown => {
        const catalog = structuredClone(data) as { hazards: Record<string, { signal: string }> };
        Object.assign(catalog.hazards[id] ?? {}, { signal: weaker });
        return catalog;
      };
      slips.push({ kind: "a weaker signal word", path, place: `${id}, ${weaker}`, make });
    }

// ---------------------------------------------------------------- trying them all

const safetyRules: RuleName[] = [
  "need-not-met",
  "state-left-behind",
  "missing-safety-note",
  "unlicensed-work",
  "unproven-remedy",
  "weak-signal-word",
];
const compiler = new Compiler({ today: DAY, only: safetyRules });
const texts = [...demoTexts].map(([path, text]) => ({ path, text }));
function complaintsAbout(changed: ReadonlyMap<string, unknown>): readonly Complaint[] {
  const files = texts.map((file) =>
    changed.has(file.path) ? { ...file, text: JSON.stringify(changed.get(file.path)) } : file,
  );
  return compiler.check({ files, pictures: [] }).complaints.filter(({ rule }) => safetyRules.includes(rule));
}

interface Tried extends Slip {
  /** Trees in which somebody is unsafe by it; empty for a slip that changes nothing for the reader. */
  readonly trees: readonly string[];
  /** What somebody meets that the compiler does not name, with the first place where he does. */
  readonly missed: readonly string[];
}
function tried(one: Slip): Tried {
  const changed = one.make();
  const trees: string[] = [];
  /** By rule and state, hazard, licence or cause: the first place. */
  const met = new Map<string, string>();
  if (isProcedure(one.path)) {
    const { routine } = changed as ProcedureData;
    const routines = {
      ...demoBase.routines,
      ...(routine === undefined ? {} : { [routine]: changed as ProcedureData }),
    };
    for (const tree of routine === undefined
      ? [changed as ProcedureData]
      : evenly(treesUsing(routine), TREES_OF_A_ROUTINE)) {
      const broken = brokenIn(tree, { ...demoBase, routines });
      if (broken.size > 0) trees.push(tree.tree ?? "");
      for (const [rule, places] of broken)
        for (const place of places) {
          const key = `${rule} ${place.split(" ", 1)[0]}`;
          if (!met.has(key)) met.set(key, `${rule}: ${place}`);
        }
    }
  } else {
    // A word that is weaker than the one the whole base was reviewed with is unsafe wherever the hazard comes up.
    trees.push(...demoTrees.map(({ tree = "" }) => tree));
    met.set(`weak-signal-word ${one.place.split(",")[0]}`, `weak-signal-word: ${one.place}`);
  }
  const told = met.size > 0 ? complaintsAbout(new Map([[one.path, changed]])) : [];
  const isNamed = (key: string): boolean => {
    const [rule = "", name = ""] = key.split(" ");
    return told.some((complaint) => complaint.rule === rule && complaint.message.includes(`\`${name}\``));
  };
  return { ...one, trees, missed: [...met].filter(([key]) => !isNamed(key)).map(([, place]) => place) };
}

/** Slips of each kind that a run tries. */
const OF_A_KIND = 40;
/** Trees in which a run tries a slip of a routine. */
const TREES_OF_A_ROUTINE = 2;
const results = [...new Set(slips.map(({ kind }) => kind))]
  .flatMap((kind) =>
    evenly(
      slips.filter((one) => one.kind === kind),
      OF_A_KIND,
    ),
  )
  .map(tried);
const unsafe = results.filter(({ trees }) => trees.length > 0);
const caught = unsafe.filter(({ missed }) => missed.length === 0);

/** Slips that make somebody unsafe and that the compiler does not notice, each with the reason. The aim is that it is empty. */
const survivors: Readonly<Record<string, string>> = {};
const nameOf = ({ kind, path, place }: Slip): string => `${kind}: ${path}, ${place}`;

describe("the demo base", () => {
  test("is safe as it stands, for a reader who tries everything and for the compiler", () => {
    for (const tree of demoTrees) expect([...brokenIn(tree, demoBase)], tree.tree).toEqual([]);
    const rewritten = new Map([...demoData.keys()].filter(isProcedure).map((path) => [path, opened(path)]));
    expect(complaintsAbout(rewritten)).toEqual([]);
  });
});

describe(`of ${results.length} slips, ${unsafe.length} make somebody unsafe, and ${caught.length} of these are caught`, () => {
  const kinds = [...new Set(slips.map(({ kind }) => kind))].sort();
  const counted = kinds.map((kind) => {
    const of = (list: readonly Slip[]): number => list.filter((one) => one.kind === kind).length;
    return { kind, all: of(results), bad: of(unsafe), good: of(results) - of(unsafe), seen: of(caught) };
  });
  test.each(counted)("$kind: $seen caught of $bad; $good more change nothing for the reader", ({ kind, bad }) => {
    expect(bad).toBeGreaterThan(0);
    const missed = unsafe.filter((one) => one.kind === kind && one.missed.length > 0 && !(nameOf(one) in survivors));
    expect(missed.map((one) => `${nameOf(one)}: ${one.missed.join("; ")}`)).toEqual([]);
  });
  test("those that are known to get through still do, and nothing else is listed", () => {
    const missed = unsafe.filter((one) => one.missed.length > 0).map(nameOf);
    expect(missed).toEqual(expect.arrayContaining(Object.keys(survivors)));
  });
  test("nearly every tree is broken by some, in several ways", () => {
    const trees = demoTrees.map(({ tree = "" }) => tree);
    const broken = trees.filter(
      (tree) => new Set(unsafe.flatMap(({ trees: own, kind }) => (own.includes(tree) ? [kind] : []))).size >= 3,
    );
    expect(broken.length).toBeGreaterThanOrEqual(0.9 * trees.length);
  });
});
