/**
 * `missing-safety-note` against a reader who tries everything: on random trees with routines, bounded repeats and two
 * families, every way is walked step by step on the data as it was written, and whatever is done without its caution is
 * noted. The compiler, which walks no ways but lets sets flow along edges, must come to the same.
 */
import fc from "fast-check";
import { expect, test } from "vitest";
import { splitExample } from "../../compiler/examples.ts";
import { Compiler, type Input } from "../../compiler/index.ts";
import { DAY, exampleBase } from "../annotations.ts";

const families = { "dial-softener": "dial", "display-softener": "display" } as const;
type Family = keyof typeof families;
const hazards = ["stored-pressure", "live-parts"] as const;
type Hazard = (typeof hazards)[number];

interface Target {
  readonly then?: string;
  readonly again?: { readonly step: string; readonly "at-most": number; readonly else: string };
}
interface Condition {
  readonly "only-for"?: { readonly control: string };
}
interface StepData extends Condition, Target {
  readonly look?: string;
  readonly do?: string;
  readonly use?: string;
  readonly stop?: string;
  readonly kind?: string;
  readonly hazards?: readonly Hazard[];
  readonly safety?: readonly Hazard[];
  readonly sets?: readonly string[];
  readonly clears?: readonly string[];
  readonly answers?: Readonly<Record<string, Target & Condition>>;
  readonly outcomes?: Readonly<Record<string, Target & Condition>>;
}
interface Procedure {
  readonly safety?: readonly Hazard[];
  readonly start: string;
  readonly steps: Readonly<Record<string, StepData>>;
}
interface Base {
  readonly tree: Procedure;
  readonly routine: Procedure;
}

/** `opened` raises `stored-pressure` in the example base; the second state raises the second hazard. */
const raises: Readonly<Record<string, Hazard>> = { opened: "stored-pressure", unplugged: "live-parts" };
const states = {
  format: 1,
  states: {
    unplugged: { title: "Unplugged", means: "The plug is out.", without: "It is in.", raises: ["live-parts"] },
  },
};

// ---------------------------------------------------------------- making one up

const some = <T>(items: readonly T[]): fc.Arbitrary<T[]> => fc.subarray([...items]);
const seldom = <T>(items: readonly T[]): fc.Arbitrary<T[]> =>
  fc.oneof({ weight: 3, arbitrary: fc.constant<T[]>([]) }, { weight: 1, arbitrary: some(items) });

/** Steps lead on to later ones, and back only by a repeat; so there is no circle, and every walk ends. */
function procedure(
  size: number,
  ends: readonly string[],
  hasRoutine: boolean,
  withRepeats: boolean,
): fc.Arbitrary<Procedure> {
  const id = (index: number): string => `s${index}`;
  const targets = (index: number): string[] => [
    ...Array.from({ length: size - index - 1 }, (_, later) => id(index + 1 + later)),
    ...ends,
  ];
  const target = (index: number): fc.Arbitrary<Target> => {
    const on = fc.constantFrom(...targets(index)).map((then): Target => ({ then }));
    if (!withRepeats) return on;
    const back = fc.record({
      step: fc.nat(index).map(id),
      "at-most": fc.integer({ min: 1, max: 2 }),
      else: fc.constantFrom(...targets(index)),
    });
    return fc.oneof({ weight: 5, arbitrary: on }, { weight: 1, arbitrary: back.map((again): Target => ({ again })) });
  };
  const condition: fc.Arbitrary<Condition> = fc.oneof(
    { weight: 4, arbitrary: fc.constant({}) },
    { weight: 1, arbitrary: fc.constantFrom("dial", "display").map((control) => ({ "only-for": { control } })) },
  );
  const choices = (index: number, names: readonly string[]): fc.Arbitrary<Record<string, Target & Condition>> =>
    fc
      .tuple(...names.map(() => fc.tuple(target(index), condition)))
      .map((made) => Object.fromEntries(names.map((name, i) => [name, { ...made[i]?.[0], ...made[i]?.[1] }])));
  const step = (index: number): fc.Arbitrary<StepData> => {
    const common = fc.record({
      hazards: seldom(hazards),
      safety: seldom(hazards),
      sets: seldom(Object.keys(raises)),
      clears: seldom(Object.keys(raises)),
    });
    // `safety` may not be empty.
    const slim = common.map(({ safety, ...rest }) => ({ ...rest, ...(safety.length > 0 ? { safety } : {}) }));
    const look = fc
      .tuple(
        slim,
        fc.integer({ min: 1, max: 3 }).chain((n) => choices(index, ["a", "b", "c"].slice(0, n))),
      )
      .map(([own, answers]) => ({ look: `Question ${index}`, ...own, answers }));
    const act = fc
      .tuple(slim, target(index), condition)
      .map(([own, to, only]) => ({ do: "Work", ...own, ...to, ...only }));
    const use = fc
      .tuple(slim, choices(index, ["left", "right"]))
      .map(([own, outcomes]) => ({ use: "routine", ...own, outcomes }));
    return hasRoutine ? fc.oneof(look, act, use) : fc.oneof(look, act);
  };
  return fc
    .tuple(seldom(hazards), ...Array.from({ length: size }, (_, index) => step(index)))
    .map(([safety, ...steps]) => ({
      ...(safety.length > 0 ? { safety } : {}),
      start: id(0),
      steps: Object.fromEntries(steps.map((made, index) => [id(index), made])),
    }));
}

const base = (withRepeats: boolean): fc.Arbitrary<Base> =>
  fc.record({
    tree: fc.integer({ min: 2, max: 7 }).chain((size) => procedure(size, ["end"], true, true)),
    routine: fc.integer({ min: 1, max: 4 }).chain((size) => procedure(size, ["left", "right"], false, withRepeats)),
  });

const head = { format: 1, title: "T", reviewed: { on: DAY, by: "senior technician" } };
const end = { stop: "The end", kind: "normal" };
function inputOf({ tree, routine }: Base): Input {
  const files = {
    ...Object.fromEntries(splitExample(exampleBase).map(({ path, text }) => [path, text])),
    "catalog/more.yaml": JSON.stringify(states),
    "softeners/tree.yaml": JSON.stringify({
      ...head,
      tree: "tree",
      symptom: "hard-water",
      serves: Object.keys(families),
      ...tree,
      steps: { ...tree.steps, end },
    }),
    "routines/routine.yaml": JSON.stringify({
      ...head,
      routine: "routine",
      outcomes: { left: "L", right: "R" },
      ...routine,
    }),
  };
  return { files: Object.entries(files).map(([path, text]) => ({ path, text })), pictures: [] };
}

// ---------------------------------------------------------------- walking every way

type Given = ReadonlySet<Hazard>;
interface Walked {
  /** `step hazard` for everything that is met without its caution. */
  readonly met: ReadonlySet<string>;
  /** How the reader can come out: the end, and the cautions he has by then. */
  readonly left: readonly { readonly end: string; readonly given: Given }[];
}

function walkAll(
  procedure: Procedure,
  ends: readonly string[],
  family: Family,
  before: Given,
  routine?: Procedure,
): Walked {
  const isFor = (part: Condition): boolean =>
    part["only-for"] === undefined || part["only-for"].control === families[family];
  const met = new Set<string>();
  const left: { end: string; given: Given }[] = [];
  const seen = new Set<string>();
  const walk = (at: string, given: Given, taken: Readonly<Record<string, number>>): void => {
    const key = JSON.stringify([at, [...given].sort(), Object.entries(taken).sort()]);
    if (seen.has(key)) return;
    seen.add(key);
    if (ends.includes(at)) {
      left.push({ end: at, given });
      return;
    }
    const step = procedure.steps[at];
    if (!step) return;
    const follow = (target: Target, name: string, now: Given): void => {
      if (!target.again) {
        if (target.then !== undefined) walk(target.then, now, taken);
        return;
      }
      const repeat = `${at} ${name}`;
      const used = taken[repeat] ?? 0;
      if (used < target.again["at-most"]) walk(target.again.step, now, { ...taken, [repeat]: used + 1 });
      else walk(target.again.else, now, taken);
    };
    if (!isFor(step)) {
      // Passed over: where it leads, and nothing of what it says.
      if (step.then !== undefined) walk(step.then, given, taken);
      else if (step.again) walk(step.again.step, given, taken);
      return;
    }
    const here = new Set([...given, ...(step.safety ?? [])]);
    const raised = new Set([...(step.hazards ?? []), ...(step.sets ?? []).flatMap((state) => raises[state] ?? [])]);
    for (const hazard of raised) if (!here.has(hazard)) met.add(`${at} ${hazard}`);
    const over = new Set((step.clears ?? []).map((state) => raises[state]));
    const without = (given: Given): Given => new Set([...given].filter((hazard) => !over.has(hazard)));
    const after = without(here);
    if (step.use !== undefined && routine && step.outcomes) {
      const inside = walkAll(routine, ["left", "right"], family, new Set([...here, ...(routine.safety ?? [])]));
      for (const { end: outcome, given: now } of inside.left) {
        const chosen = step.outcomes[outcome];
        if (chosen && isFor(chosen)) follow(chosen, outcome, without(now));
      }
      return;
    }
    if (step.answers) {
      for (const [answer, chosen] of Object.entries(step.answers)) if (isFor(chosen)) follow(chosen, answer, after);
      return;
    }
    follow(step, "then", after);
  };
  walk(procedure.start, before, {});
  return { met, left };
}

function byHand({ tree, routine }: Base): { readonly tree: string[]; readonly routine: string[] } {
  const met = { tree: new Set<string>(), routine: new Set<string>() };
  // A routine that no tree uses is checked for all families of the base; two of the three are alike here.
  for (const family of Object.keys(families) as Family[]) {
    for (const one of walkAll(tree, ["end"], family, new Set(tree.safety), routine).met) met.tree.add(one);
    for (const one of walkAll(routine, ["left", "right"], family, new Set(routine.safety)).met) met.routine.add(one);
  }
  return { tree: [...met.tree].sort(), routine: [...met.routine].sort() };
}

const compiler = new Compiler({ today: DAY, only: ["missing-safety-note"] });
function byCompiler(made: Base): { readonly tree: string[]; readonly routine: string[] } {
  const { complaints } = compiler.check(inputOf(made));
  const of = (file: string): string[] =>
    complaints
      .filter(({ rule, at }) => rule === "missing-safety-note" && at.file === file)
      .map(({ message }) => (/^`(.+?)` raises `(.+?)`/.exec(message) ?? []).slice(1).join(" "))
      .sort();
  return { tree: [...new Set(of("softeners/tree.yaml"))], routine: [...new Set(of("routines/routine.yaml"))] };
}

test("the same steps lack the same cautions, whichever way they are looked for", () => {
  let found = 0;
  let clean = 0;
  fc.assert(
    fc.property(base(false), (made) => {
      const expected = byHand(made);
      expect(byCompiler(made)).toEqual(expected);
      if (expected.tree.length + expected.routine.length > 0) found += 1;
      else clean += 1;
    }),
    { numRuns: 3000 },
  );
  // Neither of the two answers is the only one that ever comes.
  expect(found).toBeGreaterThan(300);
  expect(clean).toBeGreaterThan(300);
});

test("with repeats inside a routine, nothing is missed", () => {
  fc.assert(
    fc.property(base(true), (made) => {
      const expected = byHand(made);
      const actual = byCompiler(made);
      expect(actual.routine).toEqual(expected.routine);
      for (const lacking of expected.tree) expect(actual.tree).toContain(lacking);
    }),
    { numRuns: 2000 },
  );
});

/**
 * A routine is summed up without counting how often its repeats were taken: its `else` counts as open from the first. So
 * behind such a routine the compiler may ask for a caution that nobody lacks. It errs on the side of saying too much.
 */
test("today, the `else` of a repeat inside a routine counts as taken at once, which nobody can do", () => {
  const target = (then: string): Target => ({ then });
  const made: Base = {
    routine: {
      start: "s0",
      steps: {
        s0: { look: "Is it warm?", answers: { a: target("s1"), b: target("s2") } },
        s1: { do: "Drain it", safety: ["stored-pressure"], ...target("s2") },
        // Whoever comes here from `s0` is first sent back to `s1`, and has its caution by the time this leads on.
        s2: {
          look: "Is it dry?",
          answers: { a: { again: { step: "s1", "at-most": 1, else: "left" } }, b: target("right") },
        },
      },
    },
    tree: {
      start: "s0",
      steps: {
        s0: { use: "routine", outcomes: { left: target("s1"), right: target("end") } },
        s1: { do: "Lift the head", sets: ["opened"], ...target("end") },
      },
    },
  };
  expect(byHand(made).tree).toEqual([]);
  expect(byCompiler(made).tree).toEqual(["s1 stored-pressure"]);
});
