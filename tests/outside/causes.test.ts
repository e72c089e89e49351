/**
 * The walk of causes against a reader who tries every way, one by one, on the data as it was written: thousands of small
 * bases with routines in routines, stops inside them, repeats, repairs in vain and three families. The reader joins no
 * ways and sums nothing up; the compiler must come to the same ends with the same shares and minutes, tell the same causes
 * as misled or stranded, the same pairs as alike, the same answers as nobody's. Nothing of that may hang on the order in
 * which causes, checks or answers are written.
 *
 * Conventions, written down here a second time: at a check a cause takes what its row says, else what is shown normally,
 * else anything, whatever the equipment can't answer left out; each answer is as likely as the others. A repair of another
 * cause is done, and its proof fails. Who may not do a step is not followed. Time is counted until the cause is named or
 * the visit ends.
 */
import fc from "fast-check";
import { expect, test } from "vitest";
import { splitExample } from "../../compiler/examples.ts";
import { Compiler, type Complaint, coverageOf, type Input, type TreeCoverage } from "../../compiler/index.ts";
import { DAY, exampleBase } from "../annotations.ts";
import { type BaseData, isFor, layOut, type ProcedureData, type StepData } from "./reader.ts";

interface Row {
  readonly likelihood: number;
  readonly shows?: Readonly<Record<string, readonly string[]>>;
  readonly "only-for"?: StepData["only-for"];
}
type CauseStep = StepData & { readonly minutes?: number; readonly normally?: readonly string[] };
interface TreeData extends ProcedureData {
  readonly symptom: string;
  readonly causes: Readonly<Record<string, Row>>;
}
interface Made {
  readonly tree: TreeData;
  readonly routines: Readonly<Record<string, ProcedureData>>;
}

const families = ["dial-softener", "display-softener", "twin-softener"] as const;
const equipment = {
  "dial-softener": { facts: { control: "dial", vessels: 1 } },
  "display-softener": { facts: { control: "display", vessels: 1 } },
  "twin-softener": { facts: { control: "display", vessels: 2 } },
};
const causeCatalog: Readonly<Record<string, readonly string[]>> = {
  c0: ["hard-water"],
  c1: ["hard-water"],
  c2: ["loud", "hard-water"],
  c3: ["loud"],
};
const causeIds = Object.keys(causeCatalog);
const baseOf = ({ routines }: Made): BaseData => ({
  equipment,
  states: {},
  tools: {},
  parts: {},
  contacts: {},
  hazards: {},
  routines,
});

// ---------------------------------------------------------------- the reader

/** One way to its end, or to what a routine comes to. */
interface Walked {
  readonly way: readonly { readonly step: string; readonly answer: string }[];
  /** An end of a tree, an outcome or a stop inside a routine. */
  readonly end: {
    readonly kind: "found" | "misled" | "stranded" | "outcome" | "stop";
    readonly step: string;
    /** The step of the tree that uses the routine with this stop. */
    readonly inside?: string;
    readonly named?: string;
  };
  readonly share: number;
  readonly mean: number;
  readonly worst: number;
  readonly inVain: readonly string[];
  readonly taken: Readonly<Record<string, number>>;
}
interface Reader {
  readonly base: BaseData;
  readonly family: string;
  readonly procedure: ProcedureData;
  /** Undefined in a routine, where there is no table. */
  readonly cause: string | undefined;
  readonly rows: Readonly<Record<string, Row>>;
}
class TooMany extends Error {}

/** Where somebody comes who is led to `id`; undefined where nobody can. */
function landing({ base, family, procedure }: Reader, id: string | undefined): string | undefined {
  const { steps, ends } = layOut(procedure, base);
  const passed: string[] = [];
  for (let at = id; at !== undefined && !passed.includes(at); ) {
    const step = steps.get(at);
    if (!step) return at === "done" || ends.includes(at) ? at : undefined;
    if (isFor(step.data["only-for"], family, base)) return at;
    if (step.data.do === undefined && (step.data.use === undefined || step.exits.length !== 1)) return undefined;
    passed.push(at);
    at = step.exits[0]?.to ?? step.exits[0]?.again?.step;
  }
  return undefined;
}

const insides = new WeakMap<BaseData, Map<string, readonly Walked[]>>();
/** Every way through a routine. */
function through(reader: Reader, id: string): readonly Walked[] {
  const known = insides.get(reader.base) ?? new Map<string, readonly Walked[]>();
  insides.set(reader.base, known);
  const key = `${id} ${reader.family}`;
  const procedure = reader.base.routines[id] as ProcedureData;
  const inner: Reader = { ...reader, procedure, cause: undefined, rows: {} };
  const ways = known.get(key) ?? walk(inner, layOut(procedure, reader.base).start, {});
  known.set(key, ways);
  return ways;
}

interface Exit {
  readonly by: string;
  readonly to: string;
  readonly repeat: string | undefined;
}

/** Exits that lead somewhere, for somebody who has taken repeats that often. */
function exitsOf(reader: Reader, id: string, taken: Walked["taken"]): Exit[] {
  const { base, family, procedure } = reader;
  const step = layOut(procedure, base).steps.get(id);
  if (!step) return [];
  const fact = step.data.sort?.slice("equipment.".length);
  const value = fact === undefined ? undefined : String(base.equipment[family]?.facts?.[fact]);
  const chosen =
    value === undefined
      ? undefined
      : (step.exits.find(({ by }) => by === value) ?? step.exits.find(({ by }) => by === "else"));
  return step.exits.flatMap((way): Exit[] => {
    if (chosen && way !== chosen) return [];
    if (!isFor(way.onlyFor, family, base)) return [];
    if (
      step.data.use !== undefined &&
      !through(reader, step.data.use).some(({ end }) => end.kind === "outcome" && end.step === way.by)
    )
      return [];
    const used = taken[`${id} ${way.by}`] ?? 0;
    const isBack = way.again !== undefined && used < way.again["at-most"];
    const to = landing(reader, way.again ? (isBack ? way.again.step : way.again.else) : way.to);
    return to === undefined ? [] : [{ by: way.by, to, repeat: isBack ? `${id} ${way.by}` : undefined }];
  });
}

/** What a table says of a step, as far as it can be answered; undefined where it says nothing. */
function said({ rows, cause }: Reader, id: string, data: CauseStep, can: readonly string[]): string[] | undefined {
  for (const words of [rows[cause ?? ""]?.shows?.[id], data.normally]) {
    const left = words?.filter((answer) => can.includes(answer)) ?? [];
    if (left.length > 0) return left;
  }
  return undefined;
}

/** A stop inside routines is told by its routine too: another routine may have one of the same name. */
const stopIn = ({ routine = "" }: ProcedureData, id: string): string => (id.includes("/") ? id : `${routine}/${id}`);
const idOf = (stop: string): string => stop.slice(stop.indexOf("/") + 1);

/** Everything that can happen from a step on, way by way. */
function walk(reader: Reader, from: string, taken: Walked["taken"], named?: string, depth = 0): Walked[] {
  const { base, procedure, cause } = reader;
  const { steps } = layOut(procedure, base);
  const isTree = procedure.tree !== undefined;
  const first = depth === 0 ? landing(reader, from) : from;
  if (first === undefined) return [];
  if (depth > 60) throw new TooMany();
  const blank = { share: 1, mean: 0, worst: 0, inVain: [], taken };
  const over = (kind: Walked["end"]["kind"], step: string, name?: string): Walked[] => [
    { ...blank, way: [{ step, answer: "" }], end: { kind, step, ...(name === undefined ? {} : { named: name }) } },
  ];
  const step = steps.get(first);
  if (!step) return isTree ? [] : over("outcome", first);
  const data = step.data as CauseStep;
  const verdict = (step: string): Walked[] =>
    !isTree
      ? over("stop", stopIn(procedure, step))
      : named === undefined
        ? over("stranded", step)
        : over("misled", step, named);
  if (data.stop !== undefined) return verdict(first);
  let believed = named;
  if (data.found !== undefined) {
    if (data.found === cause) return over("found", first);
    if (step.exits.length === 0) return over("misled", first, data.found);
    believed = data.found;
  }
  let exits = exitsOf(reader, first, taken);
  const isCheck =
    step.of === undefined && (data.look !== undefined || data.measure !== undefined || data.use !== undefined);
  const isFailing = step.isProof;
  if (isFailing) {
    const failing = exits.filter(({ to }) => to !== "done");
    // A proof that can only succeed.
    if (failing.length === 0) return exits.length > 0 ? verdict(first) : [];
    exits = failing;
    believed = undefined;
  }
  const can = exits.map(({ by }) => by);
  const words = isTree && isCheck ? said(reader, first, data, can) : undefined;
  if (words) exits = exits.filter(({ by }) => words.includes(by));
  const inside = data.use === undefined ? [] : through(reader, data.use);
  const stops =
    data.use === undefined || words || (isTree && step.of !== undefined)
      ? []
      : [...new Set(inside.flatMap(({ end }) => (end.kind === "stop" ? [end.step] : [])))];
  // Inside a routine a reader without the licence is followed too, since an outcome may be his.
  const away = !isTree && data.unlicensed !== undefined ? landing(reader, data.unlicensed) : undefined;
  const parts = exits.length + stops.length + (away === undefined ? 0 : 1);
  const minutes = data.minutes ?? 0;
  const timeTo = (kind: "outcome" | "stop", end: string): { mean: number; worst: number } => {
    const those = inside.filter((one) => one.end.kind === kind && one.end.step === end);
    const all = those.reduce((sum, one) => sum + one.share, 0);
    return {
      mean: minutes + those.reduce((sum, one) => sum + one.share * one.mean, 0) / all,
      worst: minutes + Math.max(...those.map((one) => one.worst)),
    };
  };
  const walked: Walked[] = stops.flatMap((stop) =>
    verdict(isTree ? idOf(stop) : stop).map((one) => ({
      ...one,
      end: isTree ? { ...one.end, inside: first } : one.end,
      ...timeTo("stop", stop),
      share: 1 / parts,
      way: [
        { step: first, answer: "" },
        { step: idOf(stop), answer: "" },
      ],
    })),
  );
  if (away !== undefined)
    for (const one of walk(reader, away, taken, undefined, depth + 1))
      walked.push({ ...one, share: one.share / parts });
  for (const { by, to, repeat } of exits) {
    const time = data.use === undefined ? { mean: minutes, worst: minutes } : timeTo("outcome", by);
    const now = repeat === undefined ? taken : { ...taken, [repeat]: (taken[repeat] ?? 0) + 1 };
    for (const one of walk(reader, to, now, believed, depth + 1)) {
      walked.push({
        ...one,
        way: [{ step: first, answer: by }, ...one.way],
        share: one.share / parts,
        mean: one.mean + time.mean,
        worst: one.worst + time.worst,
        inVain: isFailing && step.of !== undefined ? [...one.inVain, step.of] : one.inVain,
      });
      if (walked.length > 3000) throw new TooMany();
    }
  }
  return walked;
}

const causesFor = ({ tree }: Made, base: BaseData, family: string): string[] =>
  Object.entries(tree.causes).flatMap(([id, row]) => (isFor(row["only-for"], family, base) ? [id] : []));

/** Steps that somebody with the licences who answers anything can come to, repeats counted. */
function openTo(reader: Reader): ReadonlySet<string> {
  const { procedure } = reader;
  const start = landing(reader, procedure.start);
  const seen = new Map<string, { id: string; taken: Walked["taken"] }>();
  const add = (id: string | undefined, taken: Walked["taken"]): void => {
    if (id === undefined) return;
    const key = `${id} ${Object.entries(taken).sort().join()}`;
    if (!seen.has(key)) seen.set(key, { id, taken });
  };
  add(start, {});
  for (const { id, taken } of seen.values()) {
    for (const { to, repeat } of exitsOf(reader, id, taken))
      add(to, repeat === undefined ? taken : { ...taken, [repeat]: (taken[repeat] ?? 0) + 1 });
  }
  return new Set([...seen.values()].map(({ id }) => id));
}

// ---------------------------------------------------------------- making bases up

const id = (index: number): string => `s${index}`;
const to = (then: string): { then: string } => ({ then });
const names = ["a", "b", "c"];
const minutes = fc.constantFrom<{ minutes?: number }>(
  {},
  { minutes: 1 },
  { minutes: 3 },
  { minutes: 10 },
  { minutes: 2.5 },
);
const condition = fc.oneof(
  { weight: 4, arbitrary: fc.constant({}) },
  {
    weight: 1,
    arbitrary: fc.constantFrom<Pick<StepData, "only-for">>(
      { "only-for": { control: "dial" } },
      { "only-for": { control: "display" } },
      { "only-for": { vessels: 2 } },
      { "only-for": ["dial-softener", "twin-softener"] },
    ),
  },
);
const normally = fc.oneof(
  { weight: 2, arbitrary: fc.constant<Pick<CauseStep, "normally">>({}) },
  {
    weight: 1,
    arbitrary: fc
      .subarray(names, { minLength: 1, maxLength: 2 })
      .map((normal): Pick<CauseStep, "normally"> => ({ normally: normal })),
  },
);
interface Shape {
  readonly size: number;
  readonly outcomes: readonly string[];
  readonly uses: readonly string[];
}
const outcomesIn: Readonly<Record<string, readonly string[]>> = {
  r0: ["left", "right"],
  r1: ["left", "right"],
  r2: ["done"],
};

function procedure({ size, outcomes, uses }: Shape): fc.Arbitrary<ProcedureData> {
  const isTree = outcomes.length === 0;
  const target = (index: number): fc.Arbitrary<string> =>
    fc.oneof(
      { weight: 3, arbitrary: fc.constant(index + 1 < size ? id(index + 1) : (outcomes[0] ?? "hand")) },
      {
        weight: 4,
        arbitrary: fc.nat(size + 1).map((to) => (to > index && to < size ? id(to) : (outcomes[to % 2] ?? "halt"))),
      },
      { weight: isTree ? 1 : 2, arbitrary: fc.constantFrom(...outcomes, "halt") },
    );
  const on = (index: number): fc.Arbitrary<Pick<StepData, "then" | "again">> =>
    fc.oneof(
      { weight: 6, arbitrary: target(index).map((then): Pick<StepData, "then" | "again"> => ({ then })) },
      {
        weight: 1,
        arbitrary: fc
          .record({ step: fc.nat(index).map(id), "at-most": fc.integer({ min: 1, max: 2 }), else: target(index) })
          .map((again): Pick<StepData, "then" | "again"> => ({ again })),
      },
    );
  const choices = (index: number, of: readonly string[]): fc.Arbitrary<NonNullable<StepData["answers"]>> =>
    fc
      .tuple(...of.map(() => fc.tuple(on(index), condition).map(([way, only]) => ({ ...way, ...only }))))
      .map((all) => Object.fromEntries(of.map((name, i) => [name, all[i] ?? {}])));
  const look = (index: number): fc.Arbitrary<CauseStep> =>
    fc
      .tuple(
        minutes,
        normally,
        fc.integer({ min: 1, max: 3 }).chain((n) => choices(index, names.slice(0, n))),
      )
      .map(([time, normal, answers]) => ({ look: `Question ${index}?`, ...time, ...(isTree ? normal : {}), answers }));
  const measure = (index: number): fc.Arbitrary<CauseStep> =>
    fc.tuple(minutes, on(index), on(index)).map(([time, a, b]) => ({
      measure: `Number ${index}`,
      ...time,
      readings: { depth: { ask: "Depth", unit: "cm", between: [0, 9] } },
      ranges: { a: { below: 5, ...a }, b: { from: 5, ...b } },
    }));
  const work = (index: number): fc.Arbitrary<CauseStep> =>
    fc
      .tuple(minutes, condition, target(index), on(index), fc.boolean(), fc.nat(5))
      .map(([time, only, then, way, isPassed, licensed]) => ({
        do: "Work",
        ...time,
        ...(isPassed ? { ...only, then } : way),
        ...(licensed === 0 ? { licence: "electrician", unlicensed: isTree ? "hand" : (outcomes[1] ?? "halt") } : {}),
      }));
  const sort = (index: number): fc.Arbitrary<CauseStep> =>
    fc
      .tuple(target(index), target(index))
      .map(([dial, other]) => ({ sort: "equipment.control", cases: { dial }, else: other }));
  const use = (index: number): fc.Arbitrary<CauseStep> =>
    fc.constantFrom(...uses).chain((routine) => {
      const of = outcomesIn[routine] ?? [];
      return fc
        .tuple(minutes, fc.nat(3), target(index), of.length > 1 ? choices(index, of) : fc.constant(undefined))
        .map(([time, normal, then, outcomes]) => ({
          use: routine,
          ...time,
          ...(isTree && normal === 0 ? { normally: [of[0] ?? ""] } : {}),
          ...(outcomes ? { outcomes } : { then }),
        }));
    });
  const found = (index: number): fc.Arbitrary<CauseStep> =>
    fc
      .tuple(
        fc.constantFrom(...causeIds),
        target(index),
        target(index),
        fc.constantFrom("proven", "proven", "measured", "handed on", "named", "always fixed"),
        fc.constantFrom<readonly (string | CauseStep)[]>(
          ["Mend it"],
          ["Mend it", { do: "More", minutes: 7 }],
          [{ use: "r2", minutes: 1 }],
        ),
        minutes,
      )
      .map(([cause, then, other, how, remedy, time]): CauseStep => {
        if (how === "named") return { found: cause };
        if (how === "handed on") return { found: cause, then };
        if (how === "measured")
          return {
            found: cause,
            remedy,
            prove: {
              measure: "Depth now",
              ...time,
              readings: { depth: { ask: "Depth", unit: "cm", between: [0, 9] } },
              ranges: { a: { below: 3, ...to("done") }, b: { from: 3, below: 6, then }, c: { from: 6, ...to(other) } },
            } as CauseStep,
          };
        const fails = how === "proven" ? then : "done";
        return {
          found: cause,
          remedy,
          prove: { look: "Is it right?", ...time, fixed: "done", "not-fixed": fails } as CauseStep,
        };
      });
  const step = (index: number): fc.Arbitrary<CauseStep> =>
    fc.oneof(
      { weight: 5, arbitrary: look(index) },
      { weight: 2, arbitrary: measure(index) },
      { weight: 2, arbitrary: work(index) },
      { weight: 1, arbitrary: sort(index) },
      ...(uses.length > 0 ? [{ weight: 2, arbitrary: use(index) }] : []),
      ...(isTree ? [{ weight: 6, arbitrary: found(index) }] : []),
    );
  return fc.tuple(...Array.from({ length: size }, (_, index) => step(index))).map((all) => ({
    start: id(0),
    steps: {
      ...Object.fromEntries(all.map((one, index) => [id(index), one])),
      halt: { stop: "It ends here", kind: "normal" },
      hand: { stop: "Somebody else goes on", kind: "hand-over", call: "anybody" },
    },
  }));
}

const routine = (name: string, max: number, uses: readonly string[]): fc.Arbitrary<ProcedureData> =>
  fc
    .integer({ min: 1, max })
    .chain((size) => procedure({ size, outcomes: ["left", "right"], uses }))
    .map((data) => ({ routine: name, outcomes: { left: "So", right: "So" }, ...data }));

/** What a check can be said to show: the names it has, on whatever equipment. */
function namesAt(data: StepData | undefined): string[] {
  if (data?.use !== undefined) return [...(outcomesIn[data.use] ?? [])];
  return Object.keys(data?.answers ?? data?.ranges ?? {});
}
const made: fc.Arbitrary<Made> = fc
  .record({
    tree: fc.integer({ min: 2, max: 7 }).chain((size) => procedure({ size, outcomes: [], uses: ["r0", "r1", "r2"] })),
    routines: fc.record({
      r0: routine("r0", 2, ["r2"]),
      r1: routine("r1", 3, ["r0", "r2"]),
      r2: fc
        .array(minutes, { minLength: 1, maxLength: 2 })
        .map((list): ProcedureData => ({ routine: "r2", steps: list.map((time) => ({ do: "Work", ...time })) })),
    }),
  })
  .chain(({ tree, routines }) => {
    const steps = tree.steps as Readonly<Record<string, CauseStep>>;
    const tidy = Object.fromEntries(
      Object.entries(steps).map(([step, data]) => {
        const can = namesAt(data);
        const left = data.normally?.filter((name) => can.includes(name)) ?? [];
        const { normally: _, ...rest } = data;
        return [step, left.length > 0 ? { ...rest, normally: left } : rest];
      }),
    );
    const checks = Object.entries(tidy).filter(([, data]) => namesAt(data).length > 0);
    const shows = fc
      .tuple(
        ...checks.map(([, data]) =>
          fc.oneof(
            fc.constant(undefined),
            fc.subarray(namesAt(data), { minLength: 1 }),
            fc.constantFrom(...namesAt(data)).map((one) => [one]),
          ),
        ),
      )
      .map((lists) =>
        Object.fromEntries(checks.flatMap(([step], i) => (lists[i] ? [[step, lists[i] as string[]]] : []))),
      );
    const row = fc
      .tuple(fc.integer({ min: 1, max: 5 }), condition, shows)
      .map(([likelihood, only, shown]): Row => ({ likelihood, ...only, shows: shown }));
    return fc
      .tuple(fc.shuffledSubarray(causeIds, { minLength: 1 }), fc.tuple(row, row, row, row))
      .map(([ids, rows]) => ({
        routines,
        tree: {
          tree: "tree",
          symptom: "hard-water",
          serves: families,
          ...tree,
          steps: tidy,
          causes: Object.fromEntries(ids.map((cause, i) => [cause, rows[i] ?? rows[0]])),
        },
      }));
  });

const head = { format: 1, title: "T", reviewed: { on: DAY, by: "senior technician" } };
const exampleFiles = Object.fromEntries(
  splitExample(exampleBase)
    .filter(({ path }) => /headwater|equipment/.test(path))
    .map(({ path, text }) => [path, text]),
);
const catalog = {
  format: 1,
  symptoms: {
    "hard-water": { title: "T", says: ["So"], area: "softeners" },
    loud: { title: "T", says: ["So"], area: "softeners" },
  },
  causes: Object.fromEntries(
    Object.entries(causeCatalog).map(([cause, symptoms]) => [cause, { title: "T", what: "So.", symptoms }]),
  ),
  licences: { electrician: { title: "Electrician" } },
  contacts: { anybody: { title: "Anybody", holds: ["electrician"] } },
};
const treePath = "softeners/tree.yaml";
function inputOf({ tree, routines }: Made): Input {
  const files: Record<string, string> = {
    ...exampleFiles,
    "catalog/more.yaml": JSON.stringify(catalog),
    [treePath]: JSON.stringify({ ...head, ...tree }),
  };
  for (const [name, data] of Object.entries(routines))
    files[`routines/${name}.yaml`] = JSON.stringify({ ...head, ...data });
  return { files: Object.entries(files).map(([path, text]) => ({ path, text })), pictures: [] };
}

const judged = ["cause-misled", "cause-stranded", "causes-alike", "cause-not-covered", "branch-without-cause"] as const;
const compiler = new Compiler({ today: DAY, only: judged });
interface Asked {
  readonly complaints: readonly Complaint[];
  readonly coverage: TreeCoverage;
}
function ask(one: Made): Asked {
  const input = inputOf(one);
  const { complaints } = compiler.check(input);
  for (const { rule, message } of complaints)
    if (/^(invalid|unknown|unsafe|duplicate|range)/.test(rule))
      throw new Error(`the base is made up wrongly: ${message}`);
  const { world, trees } = compiler.linked(input);
  const coverage = trees[0] && coverageOf(trees[0], world);
  if (!coverage) throw new Error("there is no tree");
  return { complaints, coverage };
}

// ---------------------------------------------------------------- comparing

/**
 * To a millionth. Shares are halves and thirds of each other, so that many a value lies right between two millionths, and
 * the order of a sum decides to which side it falls; a little on top of all of them lifts them off that edge.
 */
const rounded = (value: number | undefined): number | undefined =>
  value === undefined ? undefined : Number((value + 1e-9).toFixed(6));
interface Named {
  readonly kind: string;
  readonly inside?: string | undefined;
  readonly step: string;
  readonly named?: string | undefined;
}
const endName = ({ kind, inside, step, named }: Named): string =>
  [kind, inside, step, named].filter((part) => part !== undefined).join(" ");

/** A way as the compiler would tell it. */
const told = (way: Walked["way"]): string =>
  way.map(({ step, answer }) => `${step} ${answer === "then" ? "" : answer}`.trim()).join(" > ");
const toldBy = (way: readonly { step: string; answer?: string }[]): string =>
  way.map(({ step, answer }) => `${step} ${(answer ?? "").replace(/ \(again\)$/, "")}`.trim()).join(" > ");

const counts = new Map<string, number>();
const count = (what: string): void => void counts.set(what, (counts.get(what) ?? 0) + 1);

test("each cause comes to the same ends by the same ways in the same time, whoever walks", () => {
  fc.assert(
    fc.property(made, (one) => {
      const base = baseOf(one);
      const { coverage, complaints } = ask(one);
      const concerning = (rule: string, family: string): string[] =>
        complaints
          .filter((complaint) => complaint.rule === rule && complaint.families?.includes(family))
          .map(({ about = "", message }) =>
            rule === "cause-misled" ? `${about} ${/`([^`]+)` named/.exec(message)?.[1]}` : about,
          )
          .sort();
      try {
        for (const family of families) {
          const graph = coverage.graphs.find((each) => each.families.includes(family));
          const ids = causesFor(one, base, family);
          expect(graph?.causes.map(({ cause }) => cause)).toEqual(ids);
          const misled: string[] = [];
          const stranded: string[] = [];
          const walks = new Map<string, Walked[]>();
          for (const cause of ids) {
            const reader: Reader = { base, family, procedure: one.tree, cause, rows: one.tree.causes };
            const ways = walk(reader, one.tree.start ?? "", {});
            walks.set(cause, ways);
            const theirs = graph?.causes.find((each) => each.cause === cause);
            const byEnd = new Map<string, Walked[]>();
            for (const way of ways) byEnd.set(endName(way.end), [...(byEnd.get(endName(way.end)) ?? []), way]);
            expect(theirs?.ends.map(endName).sort(), `${cause} for ${family}`).toEqual([...byEnd.keys()].sort());
            for (const end of theirs?.ends ?? []) {
              const those = byEnd.get(endName(end)) ?? [];
              expect(rounded(end.share)).toBe(rounded(those.reduce((sum, { share }) => sum + share, 0)));
              expect(those.map(({ way }) => told(way))).toContain(toldBy(end.way));
              expect(end.way.length).toBe(Math.min(...those.map(({ way }) => way.length)));
            }
            const all = ways.reduce((sum, { share }) => sum + share, 0);
            if (ways.length > 0) {
              expect(rounded(theirs?.meanMinutes)).toBe(
                rounded(ways.reduce((sum, { share, mean }) => sum + share * mean, 0) / all),
              );
              expect(rounded(theirs?.worstMinutes)).toBe(rounded(Math.max(...ways.map(({ worst }) => worst))));
            } else expect(theirs?.meanMinutes).toBeUndefined();
            if (!hasDeadEnds(reader))
              expect([...(theirs?.inVain ?? [])].sort()).toEqual(
                [...new Set(ways.flatMap(({ inVain }) => inVain))].sort(),
              );
            const wrong = new Set(ways.flatMap(({ end }) => (end.kind === "misled" ? [`${cause} ${end.named}`] : [])));
            misled.push(...wrong);
            if (ways.some(({ end }) => end.kind === "stranded")) stranded.push(cause);
            if (wrong.size > 0) count("misled");
            if (ways.some(({ end }) => end.kind === "found")) count("found");
            if (ways.some(({ inVain }) => inVain.length > 0)) count("in vain");
            if (ways.length > 20) count("many ways");
          }
          expect(concerning("cause-misled", family)).toEqual(misled.sort());
          expect(concerning("cause-stranded", family)).toEqual(stranded.sort());
          if (stranded.length > 0) count("stranded");
          for (const [first, ways] of walks)
            for (const second of ids.filter((cause) => cause !== first)) {
              const reader: Reader = { base, family, procedure: one.tree, cause: second, rows: one.tree.causes };
              const onward = ways
                .filter(({ end }) => end.kind === "found")
                .flatMap(({ end, way }) => walk(reader, end.step, takenOn(reader, way)));
              const reached = onward.filter(({ end }) => end.kind === "found").length;
              const expected = reached === 0 ? "never" : reached === onward.length ? "always" : "sometimes";
              const pair = graph?.pairs.find((each) => each.first === first && each.second === second);
              expect(pair?.reaches, `${first} then ${second} for ${family}`).toBe(expected);
              count(`the second ${expected}`);
            }
        }
      } catch (error) {
        if (!(error instanceof TooMany)) throw error;
        count("too many ways");
      }
    }),
    { numRuns: 4000 },
  );
  for (const what of [
    "misled",
    "found",
    "stranded",
    "in vain",
    "many ways",
    "the second always",
    "the second sometimes",
  ])
    expect(counts.get(what) ?? 0, what).toBeGreaterThan(40);
  expect(counts.get("too many ways") ?? 0).toBeLessThan(400);
});

/** How often each repeat has been taken on a way: an answer that can lead back does so until it may no more. */
function takenOn({ base, procedure }: Reader, way: Walked["way"]): Walked["taken"] {
  const { steps } = layOut(procedure, base);
  const taken: Record<string, number> = {};
  for (const { step, answer } of way) {
    const again = steps.get(step)?.exits.find(({ by }) => by === answer)?.again;
    if (!again) continue;
    const repeat = `${step} ${answer}`;
    const used = taken[repeat] ?? 0;
    if (used < again["at-most"]) taken[repeat] = used + 1;
  }
  return taken;
}

test("the same pairs are alike, the same answers nobody's, the same causes never named", () => {
  const seen = { alike: 0, apart: 0, nobodys: 0, notNamed: 0 };
  fc.assert(
    fc.property(made, (one) => {
      const base = baseOf(one);
      const { coverage, complaints } = ask(one);
      const named = new Set<string>();
      try {
        for (const family of families) {
          const graph = coverage.graphs.find((each) => each.families.includes(family));
          const reader: Reader = { base, family, procedure: one.tree, cause: undefined, rows: one.tree.causes };
          const { steps } = layOut(one.tree, base);
          const open = openTo(reader);
          for (const step of open) {
            const cause = steps.get(step)?.data.found;
            if (cause !== undefined) named.add(cause);
          }
          const ids = causesFor(one, base, family);
          const isCheck = (step: string): boolean => {
            const laid = steps.get(step);
            if (!laid || laid.of !== undefined) return false;
            const { look, measure, use } = laid.data;
            return (
              look !== undefined || measure !== undefined || (use !== undefined && answersAt(reader, step).length > 1)
            );
          };
          const shown = (cause: string, step: string): string[] => {
            const can = answersAt(reader, step);
            return said({ ...reader, cause }, step, steps.get(step)?.data as CauseStep, can) ?? can;
          };
          const alike = ids.flatMap((first, i) =>
            ids.slice(i + 1).flatMap((second) => {
              const isApart = [...open].some(
                (step) => isCheck(step) && !shown(first, step).some((answer) => shown(second, step).includes(answer)),
              );
              if (isApart) seen.apart++;
              else seen.alike++;
              return isApart ? [] : [`${first} ${second}`];
            }),
          );
          expect(graph?.alike.map((pair) => pair.join(" "))).toEqual(alike);
          expect(
            complaints
              .filter(({ rule, families: concerned }) => rule === "causes-alike" && concerned?.includes(family))
              .map(({ message }) => /tells `(.+)` from `(.+)`/.exec(message)?.slice(1).reverse().join(" "))
              .sort(),
          ).toEqual([...alike].sort());

          const met = new Map<string, Set<string>>();
          for (const cause of ids)
            for (const { way } of walk({ ...reader, cause }, one.tree.start ?? "", {}))
              for (const { step, answer } of way) met.set(step, (met.get(step) ?? new Set()).add(answer));
          if (hasDeadEnds(reader)) continue;
          const nobodys = [...met].flatMap(([step, given]) =>
            isCheck(step)
              ? answersAt(reader, step)
                  .filter((answer) => !given.has(answer) && leadsToCause(reader, step, answer))
                  .map((answer) => `${step} ${answer}`)
              : [],
          );
          seen.nobodys += nobodys.length;
          expect(graph?.withoutCause.map(({ step, answer }) => `${step} ${answer}`).sort(), family).toEqual(
            nobodys.sort(),
          );
        }
      } catch (error) {
        if (!(error instanceof TooMany)) throw error;
        return;
      }
      const missing = Object.entries(causeCatalog).flatMap(([cause, symptoms]) =>
        symptoms.includes("hard-water") && !named.has(cause) && !(cause in one.tree.causes) ? [cause] : [],
      );
      seen.notNamed += missing.length;
      expect([...coverage.notCovered].sort()).toEqual(missing.sort());
      expect(
        complaints
          .filter(({ rule }) => rule === "cause-not-covered")
          .map(({ about }) => about)
          .sort(),
      ).toEqual(missing);
    }),
    { numRuns: 3000 },
  );
  for (const [what, times] of Object.entries(seen)) expect(times, what).toBeGreaterThan(40);
});

/** Everything that can be answered at a step, whether or not a repeat is used up. */
function answersAt(reader: Reader, step: string): string[] {
  const used: Record<string, number> = {};
  for (const { by } of layOut(reader.procedure, reader.base).steps.get(step)?.exits ?? []) used[`${step} ${by}`] = 99;
  return [...new Set([...exitsOf(reader, step, {}), ...exitsOf(reader, step, used)].map(({ by }) => by))];
}
/** Steps at which nobody can go on. The reader drops such a way as a whole, with what was answered and mended on it. */
function hasDeadEnds(reader: Reader): boolean {
  const { steps } = layOut(reader.procedure, reader.base);
  return [...openTo(reader)].some((step) => {
    const laid = steps.get(step);
    return laid !== undefined && laid.exits.length > 0 && answersAt(reader, step).length === 0;
  });
}
function leadsToCause(reader: Reader, from: string, answer: string): boolean {
  const { steps } = layOut(reader.procedure, reader.base);
  const next = (step: string, only?: string): string[] =>
    [{}, Object.fromEntries((steps.get(step)?.exits ?? []).map(({ by }) => [`${step} ${by}`, 99]))].flatMap((taken) =>
      exitsOf(reader, step, taken).flatMap(({ by, to }) => (only === undefined || by === only ? [to] : [])),
    );
  const seen = new Set(next(from, answer));
  for (const step of seen) for (const to of next(step)) seen.add(to);
  return [...seen].some((step) => steps.get(step)?.data.found !== undefined);
}

test("the order in which causes, steps and answers are written changes nothing", () => {
  fc.assert(
    fc.property(made, fc.infiniteStream(fc.nat(1000)), (one, stream) => {
      const shuffled = <T>(record: Readonly<Record<string, T>>): Record<string, T> => {
        const keyed = Object.entries(record).map((entry) => ({ entry, key: stream.next().value as number }));
        return Object.fromEntries(keyed.sort((a, b) => a.key - b.key).map(({ entry }) => entry));
      };
      const steps = Object.fromEntries(
        Object.entries(shuffled(one.tree.steps as Readonly<Record<string, CauseStep>>)).map(([step, data]) => [
          step,
          {
            ...data,
            ...(data.answers ? { answers: shuffled(data.answers) } : {}),
            ...(data.ranges ? { ranges: shuffled(data.ranges) } : {}),
            ...(data.outcomes ? { outcomes: shuffled(data.outcomes) } : {}),
          },
        ]),
      );
      const other: Made = { ...one, tree: { ...one.tree, steps, causes: shuffled(one.tree.causes) } };
      expect(essence(ask(other))).toEqual(essence(ask(one)));
    }),
    { numRuns: 1500 },
  );
});

/** What is said, without the order in which it is said. */
function essence({ complaints, coverage }: Asked): unknown {
  return {
    // Of two that are alike, the one that is written later is told.
    complaints: complaints
      .map(({ rule, message, families: concerned }) =>
        [rule, rule === "causes-alike" ? "" : message, [...(concerned ?? [])].sort()].join(" "),
      )
      .sort(),
    graphs: coverage.graphs.map((graph) => ({
      families: graph.families,
      mean: rounded(graph.meanMinutes),
      worst: rounded(graph.worstMinutes),
      alike: graph.alike.map((pair) => [...pair].sort().join(" ")).sort(),
      without: graph.withoutCause.map(({ step, answer }) => `${step} ${answer}`).sort(),
      pairs: graph.pairs.map(({ first, second, reaches }) => `${first} ${second} ${reaches}`).sort(),
      spent: graph.spent.map(({ step, share }) => `${step} ${rounded(share)}`).sort(),
      causes: graph.causes
        .map(({ cause, ends, meanMinutes, worstMinutes, verdict, inVain, share }) => ({
          cause,
          verdict,
          share: rounded(share),
          mean: rounded(meanMinutes),
          worst: rounded(worstMinutes),
          inVain: [...inVain].sort(),
          ends: ends.map((end) => `${endName(end)} ${rounded(end.share)} ${end.way.length}`).sort(),
        }))
        .sort((a, b) => (a.cause < b.cause ? -1 : 1)),
    })),
  };
}
