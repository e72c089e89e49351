/**
 * `need-not-met`, `state-left-behind` and `unlicensed-work` against a reader who tries everything (`reader.ts`): on random
 * bases with nested routines of several outcomes, stops and repeats inside them, licences and three families, every way
 * is walked on the data as it was written. The compiler, which walks no ways but sums routines up and lets sets flow
 * along edges, must name the same steps, ends and states for the same families; each way that it tells must be one that
 * a reader can go, with the states it says; and the order of steps in a file must not matter.
 *
 * How a fault deep inside a routine is told is a convention, and written down here a second time, by way of walks:
 *
 * - What a routine declares under `needs`, and what a step inside would lack if the routine were begun without it and
 *   would not lack if it were begun with it, is *wanted* by the routine. It is asked where the routine is used; inside, it
 *   holds from the beginning.
 * - A state that the routine itself leaves on at a `stop` inside is told at the routine; what the user of the routine
 *   had brought along, where he uses it.
 * - A reader who was turned away for want of a licence, and leaves the routine, is followed by whoever uses it.
 * - A routine is summed up without counting its repeats: its `else` counts as open from the first. Seen from where
 *   it is used the compiler may therefore say too much, never too little; both are checked.
 * - Each step asks anew whether the reader has the licence: a way on which he has it here and lacks it there counts, since
 *   somebody who has it may be present for a while.
 */
import fc from "fast-check";
import { expect, test } from "vitest";
import { parse } from "yaml";
import { splitExample } from "../../compiler/examples.ts";
import { Compiler, type Complaint, type Input } from "../../compiler/index.ts";
import { DAY, exampleBase } from "../annotations.ts";
import {
  type BaseData,
  depthOf,
  everyPosition,
  follow,
  isList,
  layOut,
  movesFrom,
  type Position,
  type ProcedureData,
  type StepData,
  stepAt,
  type WalkOptions,
} from "./reader.ts";

const families = ["dial-softener", "display-softener", "twin-softener"] as const;
const equipment = {
  "dial-softener": { facts: { control: "dial", vessels: 1 } },
  "display-softener": { facts: { control: "display", vessels: 1 } },
  "twin-softener": { facts: { control: "display", vessels: 2 } },
};
const words = { title: "T", means: "It holds.", without: "It does not hold." };
const states: BaseData["states"] = {
  bypassed: words,
  unplugged: words,
  tagged: { ...words, "must-clear": false },
  drained: { ...words, licence: "plumber" },
};
const stateIds = Object.keys(states);
const contacts = {
  anybody: {},
  "an-electrician": { holds: ["electrician"] },
  "a-plumber": { holds: ["plumber"] },
  both: { holds: ["electrician", "plumber"] },
};
const tools = { meter: { licence: "electrician" } };

interface Made {
  readonly tree: ProcedureData;
  readonly routines: Readonly<Record<string, ProcedureData>>;
}
const baseOf = ({ routines }: Made): BaseData => ({
  equipment,
  states,
  tools,
  parts: {},
  contacts,
  hazards: {},
  routines,
});

// ---------------------------------------------------------------- making one up

const often = <T>(often: fc.Arbitrary<T>, seldom: fc.Arbitrary<T>, weight = 4): fc.Arbitrary<T> =>
  fc.oneof({ weight, arbitrary: often }, { weight: 1, arbitrary: seldom });
type Change = "needs" | "sets" | "clears";
const some = <K extends Change>(key: K, weight: number): fc.Arbitrary<Partial<Record<K, string[]>>> =>
  often(
    fc.constant({}),
    fc.subarray(stateIds, { minLength: 1, maxLength: 2 }).map((list) => ({ [key]: list }) as Record<K, string[]>),
    weight,
  );
const merged = <T extends object>(...parts: fc.Arbitrary<T>[]): fc.Arbitrary<T> =>
  fc.tuple(...parts).map((made) => Object.assign({}, ...made) as T);

const conditions = fc.constantFrom<NonNullable<StepData["only-for"]>>(
  { control: "dial" },
  { control: "display" },
  { vessels: 2 },
  { control: ["dial", "display"], vessels: 1 },
  ["dial-softener", "twin-softener"],
);
const condition = often<Pick<StepData, "only-for">>(
  fc.constant({}),
  conditions.map((onlyFor) => ({ "only-for": onlyFor })),
);

interface Shape {
  readonly size: number;
  readonly kind: "tree" | "routine";
  readonly outcomes: readonly string[];
  /** Routines it may use, with their outcomes. */
  readonly uses: Readonly<Record<string, readonly string[]>>;
}

/** Steps lead on to later ones, and back only by a repeat. The last steps are stops, one of them a hand-over to both trades. */
function procedure({ size, kind, outcomes, uses }: Shape): fc.Arbitrary<ProcedureData> {
  const id = (index: number): string => `s${index}`;
  const ends = [...outcomes, "halt", "hand"];
  const target = (index: number): fc.Arbitrary<string> =>
    fc.oneof(
      { weight: 3, arbitrary: fc.constant(index + 1 < size ? id(index + 1) : (outcomes[0] ?? "hand")) },
      {
        weight: 2,
        arbitrary: fc.nat(size - 1).map((to) => (to > index ? id(to) : (ends[to % ends.length] ?? "hand"))),
      },
      { weight: 1, arbitrary: fc.constantFrom(...ends) },
    );
  const on = (index: number): fc.Arbitrary<Pick<StepData, "then" | "again">> =>
    often<Pick<StepData, "then" | "again">>(
      target(index).map((then) => ({ then })),
      fc
        .record({ step: fc.nat(index).map(id), "at-most": fc.integer({ min: 1, max: 2 }), else: target(index) })
        .map((again) => ({ again })),
      7,
    );
  const choices = (index: number, names: readonly string[]): fc.Arbitrary<NonNullable<StepData["answers"]>> =>
    fc
      .tuple(...names.map(() => fc.tuple(on(index), condition).map(([way, only]) => ({ ...way, ...only }))))
      .map((made) => Object.fromEntries(names.map((name, i) => [name, made[i] ?? {}])));
  const licence = (index: number): fc.Arbitrary<Partial<StepData>> =>
    fc.oneof(
      { weight: 6, arbitrary: fc.constant({}) },
      {
        weight: 2,
        arbitrary: fc
          .tuple(fc.constantFrom("electrician", "plumber"), often(fc.constant("hand"), target(index), 1))
          .map(([named, unlicensed]) => ({ licence: named, unlicensed })),
      },
      { weight: 1, arbitrary: fc.constantFrom<Partial<StepData>>({ licence: "plumber" }, { tools: ["meter"] }) },
    );
  const changes = merged<StepData>(some("needs", 3), some("sets", 2), some("clears", 3));
  const plain = (index: number): fc.Arbitrary<StepData> => merged(changes, licence(index));
  const look = (index: number): fc.Arbitrary<StepData> =>
    fc
      .tuple(
        plain(index),
        fc.integer({ min: 1, max: 3 }).chain((n) => choices(index, ["a", "b", "c"].slice(0, n))),
      )
      .map(([own, answers]) => ({ look: `Question ${index}?`, ...own, answers }));
  const act = (index: number): fc.Arbitrary<StepData> =>
    merged<StepData>(fc.constant({ do: "Work" }), plain(index), on(index), condition);
  const sort = (index: number): fc.Arbitrary<StepData> =>
    fc
      .tuple(target(index), target(index))
      .map(([dial, otherwise]) => ({ sort: "equipment.control", cases: { dial }, else: otherwise }));
  const use = (index: number, routine: string): fc.Arbitrary<StepData> => {
    const names = uses[routine] ?? [];
    const own = merged<StepData>(
      fc.constant({ use: routine }),
      some("needs", 4),
      some("sets", 5),
      some("clears", 5),
      licence(index),
    );
    return names.length > 1
      ? fc.tuple(own, choices(index, names)).map(([rest, outcomes]) => ({ ...rest, outcomes }))
      : merged<StepData>(own, on(index), condition);
  };
  const mend: fc.Arbitrary<string | StepData> = fc.oneof(
    fc.constant("Mend it"),
    merged<StepData>(fc.constant({ do: "Mend it" }), changes, condition),
    ...(uses.r2 ? [condition.map((only): StepData => ({ use: "r2", ...only }))] : []),
  );
  const leaves = often<Pick<StepData, "leaves">>(
    fc.constant({}),
    fc
      .subarray(stateIds, { minLength: 1 })
      .map((left) => ({ leaves: Object.fromEntries(left.map((state) => [state, "It stays until the visit."])) })),
    2,
  );
  const found = (index: number): fc.Arbitrary<StepData> =>
    fc
      .tuple(
        fc.array(mend, { minLength: 1, maxLength: 3 }),
        target(index),
        merged<StepData>(some("needs", 3), some("sets", 5), some("clears", 4)),
        leaves,
        fc.constantFrom("proven", "proven", "proven", "handed on", "named"),
      )
      .map(([remedy, then, own, left, how]) => {
        if (how === "named") return { found: "worn-seals", ...left };
        if (how === "handed on") return { found: "worn-seals", remedy, then, ...left };
        const prove = { look: "Is it right?", ...own, fixed: "done", "not-fixed": then };
        return { found: "worn-seals", remedy, prove, ...left };
      });
  const step = (index: number): fc.Arbitrary<StepData> =>
    fc.oneof(
      { weight: 4, arbitrary: act(index) },
      { weight: 3, arbitrary: look(index) },
      { weight: 1, arbitrary: sort(index) },
      ...Object.keys(uses).map((routine) => ({ weight: 2, arbitrary: use(index, routine) })),
      ...(kind === "tree" ? [{ weight: 2, arbitrary: found(index) }] : []),
    );
  const stops = fc
    .tuple(
      leaves,
      leaves,
      fc.constantFrom("normal", "elsewhere", "hand-over"),
      fc.constantFrom(...Object.keys(contacts)),
    )
    .map(([first, second, sort, call]) => ({
      halt: { stop: "It ends here", kind: sort, call, ...first },
      hand: { stop: "Somebody else goes on", kind: "hand-over", call: "both", ...second },
    }));
  return fc.tuple(stops, ...Array.from({ length: size }, (_, index) => step(index))).map(([last, ...steps]) => ({
    start: id(0),
    steps: { ...Object.fromEntries(steps.map((made, index) => [id(index), made])), ...last },
  }));
}

const size = (max: number): fc.Arbitrary<number> => fc.integer({ min: 1, max });
const routine = (
  name: string,
  max: number,
  outcomes: readonly string[],
  uses: Shape["uses"],
): fc.Arbitrary<ProcedureData> =>
  fc
    .tuple(
      some("needs", 4),
      size(max).chain((n) => procedure({ size: n, kind: "routine", outcomes, uses })),
    )
    .map(([needs, made]) => ({
      routine: name,
      ...needs,
      outcomes: Object.fromEntries(outcomes.map((outcome) => [outcome, "So"])),
      ...made,
    }));
/** A plain list, which ends in `done`. */
const list = (name: string, uses: readonly string[]): fc.Arbitrary<ProcedureData> =>
  fc
    .tuple(
      some("needs", 3),
      fc.array(
        fc.oneof(
          merged<StepData>(
            fc.constant({ do: "Work" }),
            some("needs", 3),
            some("sets", 2),
            some("clears", 2),
            condition,
          ),
          ...uses.map((use) => condition.map((only): StepData => ({ use, ...only }))),
        ),
        { minLength: 1, maxLength: 3 },
      ),
    )
    .map(([needs, steps]) => ({ routine: name, ...needs, steps }));

const two = ["left", "right"];
const made: fc.Arbitrary<Made> = fc.record({
  tree: size(5)
    .chain((n) =>
      procedure({ size: n, kind: "tree", outcomes: [], uses: { r0: two, r1: two, r2: ["done"], r3: ["done"] } }),
    )
    .map((tree) => ({ tree: "tree", serves: families, ...tree })),
  routines: fc.record({
    r0: routine("r0", 3, two, {}),
    r1: routine("r1", 3, two, { r0: two, r2: ["done"] }),
    r2: list("r2", ["r3"]),
    r3: routine("r3", 2, ["done"], { r0: two }),
  }),
});

const head = { format: 1, title: "T", reviewed: { on: DAY, by: "senior technician" } };
const exampleFiles = Object.fromEntries(
  splitExample(exampleBase)
    .filter(({ path }) => !path.startsWith("routines/") && !/safety|kit|hard-water/.test(path))
    .map(({ path, text }) => [path, text]),
);
const catalog = {
  format: 1,
  states,
  licences: { electrician: { title: "Electrician" }, plumber: { title: "Plumber" } },
  tools: { meter: { title: "Meter", ...tools.meter } },
  contacts: Object.fromEntries(Object.entries(contacts).map(([id, one]) => [id, { title: id, ...one }])),
};
const treePath = "softeners/tree.yaml";
const pathOf = (routineId: string): string => `routines/${routineId}.yaml`;
function inputOf({ tree, routines }: Made): Input {
  const files: Record<string, string> = {
    ...exampleFiles,
    "catalog/more.yaml": JSON.stringify(catalog),
    [treePath]: JSON.stringify({ ...head, symptom: "hard-water", ...tree }),
  };
  for (const [id, data] of Object.entries(routines)) files[pathOf(id)] = JSON.stringify({ ...head, ...data });
  return { files: Object.entries(files).map(([path, text]) => ({ path, text })), pictures: [] };
}

// ---------------------------------------------------------------- what the reader meets

const mind = { licences: true };

const kept = new WeakMap<BaseData, Map<string, ReadonlySet<string>>>();
/** Asked over and over again for the same routine. */
function once(base: BaseData, key: string, work: () => ReadonlySet<string>): ReadonlySet<string> {
  const answers = kept.get(base) ?? new Map<string, ReadonlySet<string>>();
  kept.set(base, answers);
  const answer = answers.get(key) ?? work();
  answers.set(key, answer);
  return answer;
}

/** States that a routine wants to find: those it declares, and those whose lack inside is the fault of who begins it. */
function wanted(base: BaseData, id: string, family: string): ReadonlySet<string> {
  return once(base, `wanted ${id} ${family}`, () => findWanted(base, id, family));
}
function findWanted(base: BaseData, id: string, family: string): ReadonlySet<string> {
  const routine = base.routines[id] as ProcedureData;
  const options: WalkOptions = { base, family, counted: "nowhere", mind: {} };
  const lacking = (on: readonly string[]): ReadonlySet<string> =>
    new Set(
      everyPosition(routine, on, options)
        .filter((position) => depthOf(position) === 0)
        .flatMap((position) => lacked(base, position, family).map(({ at, state }) => `${at} ${state}`)),
    );
  const declared = routine.needs ?? [];
  const without = lacking(declared);
  const with_ = lacking(stateIds);
  return new Set([...declared, ...[...without].filter((one) => !with_.has(one)).map((one) => one.split(" ")[1] ?? "")]);
}

interface Lack {
  readonly at: string;
  readonly state: string;
  /** Asked by the step itself, or by the routine that it uses. */
  readonly by: "step" | "routine";
}
function lacked(base: BaseData, position: Position, family: string): Lack[] {
  const step = stepAt(position, base);
  if (!step) return [];
  const asks = (by: Lack["by"], asked: Iterable<string>): Lack[] =>
    [...asked].filter((state) => !position.on.includes(state)).map((state) => ({ at: step.id, state, by }));
  const { needs = [], use } = step.data;
  return [...asks("step", needs), ...(use === undefined ? [] : asks("routine", wanted(base, use, family)))];
}

const owed = (base: BaseData, on: readonly string[], leaves: StepData["leaves"]): string[] =>
  on.filter((state) => base.states[state]?.["must-clear"] !== false && leaves?.[state] === undefined);

/** Where a visit ends inside the routines, with what is left on there although it should not. */
function innerEnds(base: BaseData, id: string, family: string, on: readonly string[]): ReadonlySet<string> {
  return once(base, `ends ${id} ${family} ${on.join()}`, () => findInnerEnds(base, id, family, on));
}
function findInnerEnds(base: BaseData, id: string, family: string, on: readonly string[]): ReadonlySet<string> {
  const routine = base.routines[id] as ProcedureData;
  const options: WalkOptions = { base, family, counted: "nowhere", mind: {} };
  return new Set(
    everyPosition(routine, on, options).flatMap((position) => {
      const step = stepAt(position, base);
      if (step?.data.stop === undefined) return [];
      return owed(base, position.on, step.data.leaves).map(
        (state) => `${step.id} ${position.frame.procedure.routine} ${state}`,
      );
    }),
  );
}

/** Licences that a step's tools and states ask for, or that it names without saying where one without it goes. */
function unsaid(base: BaseData, { licence, unlicensed, tools: used = [], sets = [] }: StepData): string[] {
  const asked = [...used.map((id) => base.tools[id]?.licence), ...sets.map((id) => base.states[id]?.licence)];
  return [
    ...new Set([
      ...asked.filter((one) => one !== undefined && one !== licence),
      ...(licence !== undefined && unlicensed === undefined ? [licence] : []),
    ] as string[]),
  ];
}
function handsOver(base: BaseData, { stop, kind, call = "" }: StepData, licence: string): boolean {
  return stop !== undefined && kind === "hand-over" && base.contacts[call]?.holds?.includes(licence) === true;
}

/** Everything that is to be told of one procedure for one family. */
function met(
  base: BaseData,
  procedure: ProcedureData,
  family: string,
  counted: "everywhere" | "outermost",
): Set<string> {
  const told = new Set<string>();
  const isTree = procedure.tree !== undefined;
  const entry = procedure.routine === undefined ? [] : wanted(base, procedure.routine, family);
  for (const position of everyPosition(procedure, [...entry], { base, family, counted, mind })) {
    const step = stepAt(position, base);
    const turned = position.away.map((one) => one.split(" ") as [string, string]);
    const strand = (isBad: (licence: string) => boolean): void => {
      for (const [from, licence] of turned) if (isBad(licence)) told.add(`away ${from} ${licence}`);
    };
    if (depthOf(position) > 0) {
      // What the routine leaves on, and whom it turns away itself, is told by way of its summary.
      if (step?.data.stop !== undefined) strand((licence) => !handsOver(base, step.data, licence));
      continue;
    }
    if (!step) {
      const proof = layOut(procedure, base).steps.get(position.last ?? "");
      if (!isTree || !proof) continue;
      const found = proof.of === undefined ? undefined : layOut(procedure, base).steps.get(proof.of);
      for (const state of owed(base, position.on, found?.data.leaves)) told.add(`left done ${proof.of} ${state}`);
      strand(() => true);
      continue;
    }
    const { data, id } = step;
    for (const { at, state, by } of lacked(base, position, family)) told.add(`need ${by} ${at} ${state}`);
    for (const licence of unsaid(base, data)) told.add(`asked ${id} ${licence}`);
    // A cause that is only named is an end like a stop.
    if (step.exits.length === 0) {
      for (const state of owed(base, position.on, data.leaves)) told.add(`left stop ${id} ${state}`);
      strand((licence) => !handsOver(base, data, licence));
    }
    if (data.use !== undefined && position.on.length > 0) {
      const brought = innerEnds(base, data.use, family, []);
      for (const end of innerEnds(base, data.use, family, position.on))
        if (!brought.has(end)) told.add(`left inside ${id} ${end}`);
    }
  }
  return told;
}

// ---------------------------------------------------------------- what the compiler says

const compiler = new Compiler({ today: DAY, only: ["need-not-met", "state-left-behind", "unlicensed-work"] });
const judged: readonly string[] = ["need-not-met", "state-left-behind", "unlicensed-work"];

interface Said {
  readonly complaint: Complaint;
  /** The same words as those of `met`. */
  readonly told: string;
  readonly state: string | undefined;
}
const forms: readonly [RegExp, (...parts: string[]) => string, number | undefined][] = [
  [/^`(.+?)` needs `(.+?)`,/, (step, state) => `need step ${step} ${state}`, 1],
  [/^the routine `.+?`, used at `(.+?)`, needs `(.+?)`,/, (step, state) => `need routine ${step} ${state}`, 1],
  [/end at `done` behind `(.+?)` with `(.+?)` still on$/, (step, state) => `left done ${step} ${state}`, 1],
  [
    /end at the stop `(.+?)` inside the routine `(.+?)` with `(.+?)` still on$/,
    (stop, routine, state) => `left inside @ ${stop} ${routine} ${state}`,
    2,
  ],
  [/end at `(.+?)` with `(.+?)` still on$/, (step, state) => `left stop ${step} ${state}`, 1],
  [/^`(.+?)` is work for a licensed `(.+?)`,/, (step, licence) => `asked ${step} ${licence}`, undefined],
  [/^`(.+?)` asks for a licensed `(.+?)` by/, (step, licence) => `asked ${step} ${licence}`, undefined],
  [/^a reader without the licence `(.+?)`/, (licence) => `away @ ${licence}`, undefined],
];
function said(complaint: Complaint): Said {
  for (const [form, tell, state] of forms) {
    const parts = form.exec(complaint.message)?.slice(1);
    if (parts)
      return {
        complaint,
        told: tell(...parts).replace("@", complaint.about ?? "?"),
        state: state === undefined ? undefined : parts[state],
      };
  }
  throw new Error(`what is this? ${complaint.message}`);
}
function complaintsOf(one: Made): Said[] {
  const { complaints } = compiler.check(inputOf(one));
  for (const { rule, message } of complaints)
    if (/^(invalid|unknown|unsafe|duplicate)/.test(rule)) throw new Error(`the base is made up wrongly: ${message}`);
  return complaints.filter(({ rule }) => judged.includes(rule)).map(said);
}

const procedures = ({ tree, routines }: Made): [string, ProcedureData][] => [
  [treePath, tree],
  ...Object.entries(routines).map(([id, data]): [string, ProcedureData] => [pathOf(id), data]),
];

const isOfLicences = (told: string): boolean => told.startsWith("asked") || told.startsWith("away");

test("the same is told of the same steps for the same families, whichever way it is looked for", () => {
  const compared = new Map<string, number>();
  let silent = 0;
  fc.assert(
    fc.property(made, (one) => {
      const base = baseOf(one);
      const complaints = complaintsOf(one);
      for (const [path, procedure] of procedures(one))
        for (const family of families) {
          const actual = complaints.filter(
            ({ complaint: { at, families: concerned } }) => at.file === path && concerned?.includes(family),
          );
          const expected = met(base, procedure, family, "outermost");
          const where = `${path} for ${family}`;
          const told = [...new Set(actual.map((one) => one.told))].sort();
          expect(told, where).toEqual([...expected].sort());
          // Somebody who counts the repeats inside the routines meets no more than that.
          for (const one of met(base, procedure, family, "everywhere")) expect([...expected], where).toContain(one);
          if (expected.size === 0) silent += 1;
          for (const one of expected) {
            const kind = one.split(" ", isOfLicences(one) ? 1 : 2).join(" ");
            compared.set(kind, (compared.get(kind) ?? 0) + 1);
          }
        }
    }),
    { numRuns: 2000 },
  );
  // Every kind of fault was among them, and silence as well.
  const kinds = ["asked", "away", "left done", "left inside", "left stop", "need routine", "need step"];
  expect([...compared.keys()].sort()).toEqual(kinds);
  for (const kind of kinds) expect(compared.get(kind), kind).toBeGreaterThan(200);
  expect(silent).toBeGreaterThan(1300);
});

test("whoever lacks or leaves something anywhere, however deep inside, was told of it somewhere", () => {
  let met = 0;
  fc.assert(
    fc.property(made, (one) => {
      const base = baseOf(one);
      const complaints = complaintsOf(one);
      for (const family of families) {
        const expectTold = (rule: string, name: string): void => {
          met += 1;
          const told = complaints.some(
            ({ complaint }) =>
              complaint.rule === rule &&
              complaint.families?.includes(family) &&
              complaint.message.includes(`\`${name}\``),
          );
          expect(told, `${rule} ${name} for ${family}`).toBe(true);
        };
        for (const position of everyPosition(one.tree, [], { base, family, counted: "everywhere", mind })) {
          const data = stepAt(position, base)?.data ?? {};
          const { needs = [], use, stop, leaves } = data;
          for (const state of [...needs, ...(base.routines[use ?? ""]?.needs ?? [])])
            if (!position.on.includes(state)) expectTold("need-not-met", state);
          if (stop === undefined) continue;
          for (const state of owed(base, position.on, leaves)) expectTold("state-left-behind", state);
          const turned = position.away.map((away) => away.split(" ")[1] ?? "");
          for (const licence of turned) if (!handsOver(base, data, licence)) expectTold("unlicensed-work", licence);
        }
      }
    }),
    { numRuns: 1000 },
  );
  expect(met).toBeGreaterThan(5000);
});

test("every way that is told can be gone, ends where it says, and holds on it what it says", () => {
  let gone = 0;
  fc.assert(
    fc.property(made, (one) => {
      const base = baseOf(one);
      for (const { complaint, told, state } of complaintsOf(one)) {
        const { way: whole, rule, at, families: concerned = [], about } = complaint;
        const family = concerned[0] ?? "";
        const procedure = procedures(one).find(([path]) => path === at.file)?.[1];
        if (!procedure || !whole) throw new Error(`${told} comes without a way`);
        gone += 1;
        // A visit can end at a stop inside a routine, which is written in another file.
        const isInside = whole.at(-1)?.at.file !== at.file;
        const way = isInside ? whole.slice(0, -1) : whole;
        const entry = procedure.routine === undefined ? [] : [...wanted(base, procedure.routine, family)];
        const options: WalkOptions = { base, family, counted: "outermost", mind };
        const stages = follow(procedure, entry, way, options);
        const arrived = stages.at(-1) ?? [];
        expect(arrived.length, told).toBeGreaterThan(0);
        if (rule === "unlicensed-work") {
          const isAway = ({ away }: Position): boolean => away.some((turned) => told === `away ${turned}`);
          if (told.startsWith("asked")) expect(way.at(-1)?.step).toBe(about);
          else expect(arrived.some(isAway), told).toBe(true);
          if (isInside)
            expect(
              arrived
                .flatMap((position) => insideFrom(position, options))
                .some((end) => end.frame.at === whole.at(-1)?.step),
            ).toBe(true);
          continue;
        }
        if (state === undefined) throw new Error(`${told} is of no state`);
        // Before the last step the state is missing, or on; for some of the readers who go this way.
        const isMissing = rule === "need-not-met";
        const shown = arrived.filter(({ on }) => on.includes(state) !== isMissing);
        expect(shown.length, told).toBeGreaterThan(0);
        expect(way.at(-1)?.states?.includes(state)).toBe(!isMissing);
        if (isInside) {
          const stop = whole.at(-1)?.step;
          const ends = shown
            .flatMap((position) => insideFrom(position, options))
            .filter((end) => end.frame.at === stop);
          expect(
            ends.some(({ on }) => on.includes(state)),
            told,
          ).toBe(true);
        } else if (told.startsWith("left done")) expect(way.at(-1)?.step).toBe("done");
        else expect(way.at(-1)?.step).toBe(about);
        // What is shown behind each step: what holds for all who go this way, or for any.
        way.forEach(({ states: shownStates }, i) => {
          const behind = stages[i + 1] ?? arrived;
          const holds = (id: string): boolean => {
            const has = ({ on }: Position): boolean => on.includes(id);
            return isMissing ? behind.every(has) : behind.some(has);
          };
          expect(shownStates, `${told}, behind ${way[i]?.step}`).toEqual(stateIds.filter(holds));
        });
      }
    }),
    { numRuns: 1000 },
  );
  expect(gone).toBeGreaterThan(3000);
});

/** Everywhere that a reader can come without leaving the routine that he begins here. */
function insideFrom(position: Position, options: WalkOptions): Position[] {
  const positions = [position];
  for (const one of positions)
    for (const { to } of movesFrom(one, options))
      if (to.frame.below && !positions.some((other) => JSON.stringify(other) === JSON.stringify(to)))
        positions.push(to);
  return positions.slice(1);
}

test("the order of the steps in the files does not matter", () => {
  const shuffled = (data: ProcedureData, keys: Iterator<number>): ProcedureData => {
    if (isList<string | StepData>(data.steps)) return data;
    const steps = Object.entries(data.steps)
      .map((entry) => ({ entry, key: keys.next().value as number }))
      .sort((a, b) => a.key - b.key);
    return { ...data, steps: Object.fromEntries(steps.map(({ entry }) => entry)) };
  };
  const toldOf = (one: Made): string[] =>
    complaintsOf(one)
      .map(({ complaint: { at, related, way, ...rest } }) =>
        JSON.stringify({ ...rest, file: at.file, way: way?.map(({ at: _, ...step }) => step) }),
      )
      .sort();
  fc.assert(
    fc.property(made, fc.infiniteStream(fc.nat()), (one, keys) => {
      const routines = Object.entries(one.routines).map(([id, data]) => [id, shuffled(data, keys)]);
      const other: Made = { tree: shuffled(one.tree, keys), routines: Object.fromEntries(routines) };
      expect(toldOf(other)).toEqual(toldOf(one));
    }),
    { numRuns: 1000 },
  );
});

// ---------------------------------------------------------------- where compiler and reader differ today

/** The tree's own steps and those of `r0`; an end and a hand-over are given. */
function small(steps: string, r0: string): Made {
  const ends = `
  halt: {stop: It ends here, kind: normal, call: anybody}
  hand: {stop: Somebody else goes on, kind: hand-over, call: both}`;
  return {
    tree: { tree: "tree", serves: families, ...parse(`start: s0\nsteps:${steps}${ends}`) } as ProcedureData,
    routines: { r0: { routine: "r0", ...(parse(r0) as ProcedureData) } },
  };
}
const toldOf = (one: Made): string[] => complaintsOf(one).map(({ told }) => told);
const metBy = (one: Made, family: (typeof families)[number]): string[] =>
  [...met(baseOf(one), one.tree, family, "everywhere")].sort();

test("what a proof itself sets is left on at `done`", () => {
  const one = small(
    `
  s0:
    found: worn-seals
    remedy: [Mend it]
    prove: {look: Is it right in bypass?, sets: [bypassed], fixed: done, not-fixed: back}
  back: {do: Turn the bypass back, clears: [bypassed], then: hand}`,
    "steps: [Nothing]",
  );
  expect(metBy(one, "dial-softener")).toEqual(["left done s0 bypassed"]);
  expect(toldOf(one)).toEqual(["left done s0 bypassed"]);
});

test("a reader who was turned away must not come to just any stop inside a routine", () => {
  const one = small(
    `
  s0: {do: Work, licence: electrician, unlicensed: s1, then: halt}
  s1: {use: r0, then: hand}`,
    `
start: a
steps:
  a: {look: Is it warm?, answers: {"no": over, "yes": done}}
  over: {stop: It ends here, kind: normal}`,
  );
  const base = baseOf(one);
  const options: WalkOptions = { base, family: "dial-softener", counted: "everywhere", mind };
  const ends = everyPosition(one.tree, [], options).filter(
    (position) => position.away.length > 0 && stepAt(position, base)?.data.stop !== undefined,
  );
  expect(ends.map(({ frame }) => frame.at).sort()).toEqual(["hand", "over"]);
  expect(toldOf(one)).toEqual(["away s0 electrician"]);
});

/** Random bases come to it once in many thousands. */
test("of several such stops the same one is named, whichever stands first in the file", () => {
  const stops = ["near: {stop: It ends here, kind: normal}", "far: {stop: It ends there, kind: normal}"];
  const messages = [stops, stops.toReversed()].map((written) => {
    const one = small(
      `
  s0: {do: Work, licence: electrician, unlicensed: s1, then: halt}
  s1: {use: r0, then: hand}`,
      `
start: a
steps:
  a: {look: Where is it warm?, answers: {here: near, there: far, nowhere: done}}
  ${written.join("\n  ")}`,
    );
    return complaintsOf(one).map(({ complaint }) => complaint.message);
  });
  expect(messages[0]?.length).toBeGreaterThan(0);
  expect(messages[1]).toEqual(messages[0]);
});

/** For a dial, the routine never ends in `right`, and nobody comes to the licensed step. */
test("licences are asked of nobody at outcomes and steps that a routine does not have for the family", () => {
  const one = small(
    `
  s0: {use: r0, outcomes: {left: halt, right: s1}}
  s1: {sort: equipment.control, cases: {dial: s2, display: hand}}
  s2: {do: Measure, tools: [meter], then: halt}`,
    `
outcomes: {left: L, right: R}
start: a
steps:
  a: {sort: equipment.control, cases: {dial: left, display: b}}
  b: {do: Work, licence: plumber, unlicensed: left, then: right}`,
  );
  expect(metBy(one, "dial-softener")).toEqual([]);
  const forDial = complaintsOf(one).filter(({ complaint }) => complaint.families?.includes("dial-softener"));
  expect(forDial).toEqual([]);
});

/** The format says that what a step `sets` holds after the step, and what it `clears` no longer does. */
test("what a `use` sets and clears comes behind the routine", () => {
  const sets = small(
    `
  s0: {use: r0, sets: [tagged], then: s1}
  s1: {do: Work, needs: [tagged], then: halt}`,
    "steps: [{do: Take the tag off, clears: [tagged]}]",
  );
  expect(toldOf(sets)).toEqual([]);
  const clears = small(
    `
  s0: {use: r0, clears: [bypassed], then: halt}`,
    "steps: [{do: Bypass it, sets: [bypassed]}]",
  );
  expect(toldOf(clears)).toEqual([]);
});
test("what a `use` sets does not hold yet at a stop inside its routine", () => {
  const one = small(
    `
  s0: {use: r0, sets: [bypassed], then: s1}
  s1: {do: Turn the bypass back, clears: [bypassed], then: halt}`,
    `
start: a
steps:
  a: {look: Is it warm?, answers: {"no": over, "yes": done}}
  over: {stop: It ends here, kind: normal}`,
  );
  expect(toldOf(one)).toEqual([]);
});
