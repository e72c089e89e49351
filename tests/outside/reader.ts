/**
 * A reader who tries everything: walks a base exactly as it is written in its files, step by step, into every routine and
 * out again, answering every question every way. Knows nothing of the compiler, and is meant to be obviously right rather
 * than fast.
 *
 * How a visit goes: a step's `needs` must hold when the reader comes to it; doing it ends what it `clears` and brings about
 * what it `sets`. A caution counts from the step that carries it, until a step ends a state that raises its hazard. Who
 * lacks a step's licence goes by `unlicensed` and does not do it. A `do`, or a `use` with one way on, that is not for the
 * reader's equipment is passed over. A repeat is taken `at-most` times, and only then its `else`.
 */

// ---------------------------------------------------------------- what is written

interface Again {
  readonly step: string;
  readonly "at-most": number;
  readonly else: string;
}
type Scalar = string | number | boolean;
type OnlyFor = readonly string[] | Readonly<Record<string, Scalar | readonly Scalar[]>>;
interface Target {
  readonly then?: string;
  readonly again?: Again;
  readonly "only-for"?: OnlyFor;
}
type Targets = Readonly<Record<string, string | Target>>;
type Note = string | { readonly hazard: string; readonly note?: string };
interface Reading {
  readonly unit: string;
  readonly between: readonly [number, number];
}

export interface StepData extends Target {
  readonly look?: string;
  readonly measure?: string;
  readonly do?: string;
  readonly sort?: string;
  readonly use?: string;
  readonly found?: string;
  readonly stop?: string;
  readonly how?: string;
  readonly needs?: readonly string[];
  readonly sets?: readonly string[];
  readonly clears?: readonly string[];
  readonly hazards?: readonly string[];
  readonly tools?: readonly string[];
  readonly parts?: readonly string[];
  readonly readings?: Readonly<Record<string, Reading>>;
  readonly safety?: readonly Note[];
  readonly licence?: string;
  readonly unlicensed?: string;
  readonly answers?: Targets;
  readonly ranges?: Targets;
  readonly cases?: Readonly<Record<string, string>>;
  readonly else?: string;
  readonly outcomes?: Targets;
  readonly remedy?: string | readonly (string | StepData)[];
  readonly prove?: StepData;
  readonly fixed?: string | Target;
  readonly "not-fixed"?: string | Target;
  readonly leaves?: Readonly<Record<string, string>>;
  /** Of a `stop`. */
  readonly kind?: string;
  readonly call?: string;
}
export interface ProcedureData {
  readonly tree?: string;
  readonly routine?: string;
  readonly serves?: readonly string[];
  readonly needs?: readonly string[];
  readonly safety?: readonly Note[];
  readonly outcomes?: Readonly<Record<string, unknown>>;
  readonly start?: string;
  readonly steps: Readonly<Record<string, StepData>> | readonly (string | StepData)[];
}
interface Licensed {
  readonly licence?: string;
}
interface Raising extends Licensed {
  readonly raises?: readonly string[];
}
interface State extends Raising {
  readonly means?: string;
  readonly "must-clear"?: boolean;
}
export interface BaseData {
  readonly equipment: Readonly<Record<string, { readonly facts?: Readonly<Record<string, Scalar>> }>>;
  readonly states: Readonly<Record<string, State>>;
  readonly tools: Readonly<Record<string, Raising>>;
  readonly parts: Readonly<Record<string, Raising>>;
  readonly contacts: Readonly<Record<string, { readonly holds?: readonly string[] }>>;
  readonly hazards: Readonly<Record<string, { readonly words?: readonly string[]; readonly above?: string }>>;
  readonly routines: Readonly<Record<string, ProcedureData>>;
}

// ---------------------------------------------------------------- laid out: every step with an id and its ways on

interface Exit {
  /** Answer, range, case or outcome; `then` where there is but one way on. */
  readonly by: string;
  readonly to: string | undefined;
  readonly again: Again | undefined;
  readonly onlyFor: OnlyFor | undefined;
}
interface Laid {
  readonly id: string;
  readonly data: StepData;
  readonly exits: readonly Exit[];
  /** The `found` step that it mends or proves. */
  readonly of: string | undefined;
  readonly isProof: boolean;
}
interface LaidOut {
  readonly steps: ReadonlyMap<string, Laid>;
  readonly start: string;
  readonly ends: readonly string[];
}

const exit = (by: string, target: string | Target | undefined): Exit =>
  typeof target === "string" || target === undefined
    ? { by, to: target, again: undefined, onlyFor: undefined }
    : { by, to: target.then, again: target.again, onlyFor: target["only-for"] };
const exits = (targets: Targets): Exit[] => Object.entries(targets).map(([by, target]) => exit(by, target));

const fixedOrNot = (prove: StepData): Exit[] => [exit("fixed", prove.fixed), exit("not-fixed", prove["not-fixed"])];

export function outcomesOf(routine: ProcedureData | undefined): string[] {
  return routine?.outcomes ? Object.keys(routine.outcomes) : ["done"];
}

/** The library's own test does not know of lists that can't be changed. */
export const isList = <T>(value: readonly T[] | object | string | number | boolean): value is readonly T[] =>
  Array.isArray(value);

const laidOut = new WeakMap<ProcedureData, LaidOut>();

/** @param base Asked only for what a routine's single outcome is called. */
export function layOut(procedure: ProcedureData, base: BaseData): LaidOut {
  const kept = laidOut.get(procedure);
  if (kept) return kept;
  const steps = new Map<string, Laid>();
  const add = (id: string, data: StepData, ways: readonly Exit[], of?: string, isProof = false): void => {
    steps.set(id, { id, data, exits: ways, of, isProof });
  };
  const single = (data: StepData, target: string | Target | undefined): Exit => {
    // On a step with a single way on, `only-for` speaks of the step.
    const { onlyFor: _, ...way } = exit("then", target);
    const by = data.use === undefined ? "then" : (outcomesOf(base.routines[data.use])[0] ?? "done");
    return { ...way, by, onlyFor: undefined };
  };
  const sequence = (
    list: readonly (string | StepData)[],
    prefix: string,
    to: string | undefined,
    of: string | undefined,
  ): void => {
    const written = list.map((entry): StepData => (typeof entry === "string" ? { do: entry } : entry));
    written.forEach((data, i) => {
      const next = i + 1 < written.length ? `${prefix}--${i + 2}` : to;
      add(`${prefix}--${i + 1}`, data, [single(data, next)], of);
    });
  };
  const lay = (id: string, data: StepData): void => {
    const { answers, ranges, cases, outcomes, remedy, prove } = data;
    if (data.found !== undefined) {
      const mend = typeof remedy === "string" ? [{ use: remedy }] : (remedy ?? []);
      const behind = prove ? `${id}--prove` : data.then;
      const first = mend.length > 0 ? `${id}--1` : behind;
      add(id, data, first === undefined ? [] : [exit("then", first)]);
      sequence(mend, id, behind, id);
      if (prove) add(`${id}--prove`, prove, prove.ranges ? exits(prove.ranges) : fixedOrNot(prove), id, true);
    } else if (answers) add(id, data, exits(answers));
    else if (ranges) add(id, data, exits(ranges));
    else if (cases) add(id, data, [...exits(cases), ...(data.else ? [exit("else", data.else)] : [])]);
    else if (outcomes) add(id, data, exits(outcomes));
    else if (data.stop !== undefined) add(id, data, []);
    else add(id, data, [single(data, data)]);
  };
  const made = { steps, start: procedure.start ?? "step--1", ends: outcomesOf(procedure) };
  if (isList<string | StepData>(procedure.steps)) sequence(procedure.steps, "step", "done", undefined);
  else for (const [id, data] of Object.entries(procedure.steps)) lay(id, data);
  laidOut.set(procedure, made);
  return made;
}

// ---------------------------------------------------------------- walking

/** Sorted, each once. */
type Names = readonly string[];
const plus = (names: Names, more: readonly string[] = []): Names =>
  more.every((name) => names.includes(name)) ? names : [...new Set([...names, ...more])].sort();
const minus = (names: Names, fewer: readonly string[] = []): Names =>
  fewer.some((name) => names.includes(name)) ? names.filter((name) => !fewer.includes(name)) : names;

/** Where a reader stands in one procedure; below it the one that uses it, at the step that does. */
interface Frame {
  readonly procedure: ProcedureData;
  readonly at: string;
  /** How often each repeat was taken, by step and way. */
  readonly taken: Readonly<Record<string, number>>;
  readonly below: Frame | undefined;
  /** All of it in one text, to know one that has been seen before. */
  readonly key: string;
}
function frameOf(procedure: ProcedureData, at: string, taken: Frame["taken"], below: Frame | undefined): Frame {
  const times = Object.entries(taken).map(([repeat, count]) => `${repeat} ${count}`);
  const key = [procedure.routine ?? procedure.tree, at, times.sort().join(), below?.key].join("|");
  return { procedure, at, taken, below, key };
}
export interface Position {
  readonly frame: Frame;
  /** States that hold. */
  readonly on: Names;
  /** Hazards that the reader has been cautioned of. */
  readonly told: Names;
  /** Steps of the outermost procedure, with the licence, at which the reader was turned away for want of it. */
  readonly away: Names;
  /** Turned away inside a routine that is still going on: the licences. */
  readonly awayInside: Names;
  /** Of a reader who has come to `done` or an outcome: the step that led there. */
  readonly last: string | undefined;
}
interface Move {
  /** The way by which the reader leaves a step of the outermost procedure; undefined while a routine goes on. */
  readonly by: string | undefined;
  readonly to: Position;
}

export interface WalkOptions {
  readonly base: BaseData;
  readonly family: string;
  /** Where repeats are counted. Where they are not, a repeat and its `else` are both open at any time. */
  readonly counted: "everywhere" | "outermost" | "nowhere";
  /** What to keep in mind; what isn't asked for only makes more positions. */
  readonly mind: { readonly cautions?: boolean; readonly licences?: boolean };
}

export const depthOf = ({ frame }: Position): number => {
  let depth = 0;
  for (let one = frame.below; one; one = one.below) depth += 1;
  return depth;
};
export const stepAt = ({ frame }: Position, base: BaseData): Laid | undefined =>
  layOut(frame.procedure, base).steps.get(frame.at);

export function isFor(onlyFor: OnlyFor | undefined, family: string, base: BaseData): boolean {
  if (onlyFor === undefined) return true;
  if (Array.isArray(onlyFor)) return onlyFor.includes(family);
  const facts = base.equipment[family]?.facts ?? {};
  return Object.entries(onlyFor as Readonly<Record<string, Scalar | readonly Scalar[]>>).every(([fact, wanted]) =>
    (Array.isArray(wanted) ? wanted : [wanted]).some((value) => facts[fact] !== undefined && value === facts[fact]),
  );
}

const hazardsOf = (notes: readonly Note[] | undefined): string[] =>
  (notes ?? []).map((note) => (typeof note === "string" ? note : note.hazard));

/** Where somebody comes who is led to `id`: over steps that are not for him, and out of routines that end. */
function arrive(
  position: Position,
  frame: Frame,
  id: string | undefined,
  from: string,
  options: WalkOptions,
  by: string | undefined,
): Move[] {
  const { base, family } = options;
  const { steps, ends } = layOut(frame.procedure, base);
  const here = (step: string): Frame => frameOf(frame.procedure, step, frame.taken, frame.below);
  const passed: string[] = [];
  let at = id;
  for (;;) {
    if (at === undefined || passed.includes(at)) return [];
    const step = steps.get(at);
    if (!step || isFor(step.data["only-for"], family, base)) break;
    const canBePassed = step.data.do !== undefined || (step.data.use !== undefined && step.exits.length === 1);
    if (!canBePassed) return [];
    passed.push(at);
    at = step.exits[0]?.to ?? step.exits[0]?.again?.step;
  }
  if (!ends.includes(at) || steps.has(at)) {
    if (!steps.has(at)) return [];
    return [{ by: frame.below ? undefined : by, to: { ...position, frame: here(at) } }];
  }
  const { below } = frame;
  if (!below) return [{ by, to: { ...position, frame: here(at), last: from } }];
  // The routine has ended; what was not possible in it for want of a licence, was not possible at the step that uses it.
  const use = layOut(below.procedure, base).steps.get(below.at);
  const out = below.below
    ? position
    : {
        ...position,
        away: plus(
          position.away,
          position.awayInside.map((licence) => `${below.at} ${licence}`),
        ),
        awayInside: [],
      };
  return use ? leave(behind(out, use.data, options), below, use, (way) => way.by === at, options) : [];
}

/** What a step changes, it has changed once it is done; a `use`, once its routine has ended. */
function behind(position: Position, data: StepData, { base, mind }: WalkOptions): Position {
  const over = mind.cautions ? (data.clears ?? []).flatMap((state) => base.states[state]?.raises ?? []) : [];
  return {
    ...position,
    on: plus(minus(position.on, data.clears), data.sets),
    told: minus(position.told, over),
  };
}

/** Goes on from a step that is done, by those of its ways that fit. */
function leave(
  position: Position,
  frame: Frame,
  step: Laid,
  fits: (way: Exit) => boolean,
  options: WalkOptions,
): Move[] {
  const { base, family, counted } = options;
  return step.exits.filter(fits).flatMap((way) => {
    if (!isFor(way.onlyFor, family, base)) return [];
    const { again } = way;
    if (!again) return arrive(position, frame, way.to, step.id, options, way.by);
    const repeat = `${step.id} ${way.by}`;
    const used = frame.taken[repeat] ?? 0;
    const isCounted = counted === "everywhere" || (counted === "outermost" && frame.below === undefined);
    const back = (): Move[] =>
      arrive(
        position,
        isCounted ? frameOf(frame.procedure, frame.at, { ...frame.taken, [repeat]: used + 1 }, frame.below) : frame,
        again.step,
        step.id,
        options,
        way.by,
      );
    const on = (): Move[] =>
      arrive(position, frame, again.else, step.id, options, way.by === "then" ? "then" : `${way.by} (again)`);
    if (!isCounted) return [...back(), ...on()];
    return used < again["at-most"] ? back() : on();
  });
}

/** Everything that a reader may do next. */
export function movesFrom(position: Position, options: WalkOptions): Move[] {
  const { base, family, mind } = options;
  const { frame } = position;
  const step = stepAt(position, base);
  if (!step) return [];
  const { data } = step;
  const moves: Move[] = [];
  const told = mind.cautions ? plus(position.told, hazardsOf(data.safety)) : position.told;
  if (data.unlicensed !== undefined) {
    let turned: Position = { ...position, told };
    if (mind.licences && data.licence !== undefined)
      turned = frame.below
        ? { ...turned, awayInside: plus(turned.awayInside, [data.licence]) }
        : { ...turned, away: plus(turned.away, [`${step.id} ${data.licence}`]) };
    moves.push(...arrive(turned, frame, data.unlicensed, step.id, options, "unlicensed"));
  }
  if (data.use !== undefined) {
    const routine = base.routines[data.use];
    if (!routine) return moves;
    const inside: Position = { ...position, told: mind.cautions ? plus(told, hazardsOf(routine.safety)) : told };
    const { start } = layOut(routine, base);
    return [...moves, ...arrive(inside, frameOf(routine, start, {}, frame), start, step.id, options, undefined)];
  }
  const done = behind({ ...position, told }, data, options);
  const fact = data.sort?.slice("equipment.".length);
  if (fact === undefined) return [...moves, ...leave(done, frame, step, () => true, options)];
  const value = base.equipment[family]?.facts?.[fact];
  if (value === undefined) return moves;
  const chosen = step.exits.find(({ by }) => by === String(value)) ?? step.exits.find(({ by }) => by === "else");
  return [...moves, ...leave(done, frame, step, (way) => way === chosen, options)];
}

const keyOf = ({ frame, on, told, away, awayInside, last }: Position): string =>
  `${frame.key}#${on.join()}#${told.join()}#${away.join()}#${awayInside.join()}#${last}`;

/** Where a reader begins; nobody where the first step is not for the family and leads nowhere. */
export function beginning(procedure: ProcedureData, on: readonly string[], options: WalkOptions): Position[] {
  const { start } = layOut(procedure, options.base);
  const frame = frameOf(procedure, start, {}, undefined);
  const told = options.mind.cautions ? plus([], hazardsOf(procedure.safety)) : [];
  const position: Position = { frame, on: plus([], on), told, away: [], awayInside: [], last: undefined };
  return arrive(position, frame, start, start, options, undefined).map(({ to }) => to);
}

/** Every position that some reader comes to, each once. */
export function everyPosition(procedure: ProcedureData, on: readonly string[], options: WalkOptions): Position[] {
  const seen = new Set<string>();
  const positions: Position[] = [];
  const add = (position: Position): void => {
    const key = keyOf(position);
    if (seen.has(key)) return;
    seen.add(key);
    positions.push(position);
  };
  beginning(procedure, on, options).forEach(add);
  for (const position of positions) for (const { to } of movesFrom(position, options)) add(to);
  return positions;
}

/**
 * Readers who go by one given way through the outermost procedure, whatever they do inside its routines.
 *
 * @param way Its steps and the answers between them.
 * @returns For each step those who come to it; empty from where nobody can go on by this way.
 */
export function follow(
  procedure: ProcedureData,
  on: readonly string[],
  way: readonly { readonly step: string; readonly answer?: string }[],
  options: WalkOptions,
): Position[][] {
  let now = beginning(procedure, on, options).filter(({ frame }) => frame.at === way[0]?.step);
  const stages = [now];
  way.slice(0, -1).forEach(({ answer = "then" }, i) => {
    const target = way[i + 1]?.step;
    const arrived: Position[] = [];
    const seen = new Set<string>();
    const under = [...now];
    for (const position of under)
      for (const { by, to } of movesFrom(position, options)) {
        const isInside = to.frame.below !== undefined;
        if (!isInside && (by !== answer || to.frame.at !== target)) continue;
        const key = keyOf(to);
        if (seen.has(key)) continue;
        seen.add(key);
        (isInside ? under : arrived).push(to);
      }
    now = arrived;
    stages.push(now);
  });
  return stages;
}
