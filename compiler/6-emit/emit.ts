/** The linked base to compiled JSON: what the pages need, texts as HTML, facts evaluated for every family. */
import { endsFor, graphsOf, holds } from "../4-specialise/specialise.ts";
import { boardOf } from "../5-analyse/board.ts";
import { partsOf } from "../5-analyse/facts/parts.ts";
import { isWord, wordsUnlessOwn } from "../5-analyse/facts/shown.ts";
import { meansTo } from "../5-analyse/facts/states.ts";
import { suspectsOf, unsureOf } from "../5-analyse/facts/unsure.ts";
import { proofOf } from "../5-analyse/proof.ts";
import type {
  Condition,
  Entry,
  Formula,
  Branch as LinkedBranch,
  Note,
  Procedure,
  ReadInput,
  Reading,
  Ref,
  Section,
  Step,
  Translation,
  Value,
  World,
} from "../model/base.ts";
import type { Board } from "../model/board.ts";
import type * as C from "../model/compiled.ts";
import type { Routine, Tree } from "../model/format.ts";
import { type Code, codeOf } from "../model/formula.ts";
import { factAmount, unitOf } from "../model/units.ts";
import { wordsOf } from "../words/ids.ts";
import { blockHtml, inlineHtml, plainText } from "../words/markdown.ts";
import { bringOf } from "./bring.ts";
import { languagesOf } from "./languages.ts";

/** What is emitted, and how its texts come into the pages. */
interface Emitting {
  readonly world: World;
  readonly trees: readonly Procedure[];
  /** The text as it is shown: itself, or its translation. */
  readonly say: (text: string) => string;
  readonly inline: (text: string) => C.InlineHtml;
  readonly block: (text: string) => C.Html;
  readonly plain: (text: string) => string;
  /** An id that is shown, and has no words of its own. */
  readonly named: (id: string) => string;
  /** Whether an entry, routine or area is shown, by its `section/id`. */
  readonly shows: (name: string) => boolean;
}

/** The main language shows everything, and nothing of it is looked up. */
function inMainLanguage(world: World, trees: readonly Procedure[]): Emitting {
  return {
    world,
    trees,
    say: (text) => text,
    inline: inlineHtml,
    block: blockHtml,
    plain: plainText,
    named: (id) => id,
    shows: () => true,
  };
}

/** The trees that are offered in the language and what they use; a text without a translation stays as it is. */
function inLanguage(
  { trees: offered, texts }: Translation,
  world: World,
  all: readonly Procedure[],
  asked: ((text: string) => void) | undefined,
): Emitting {
  const trees = all.filter(({ id }) => offered.some((tree) => tree.id === id));
  const parts = partsOf(
    trees.map(({ serves, mentions }) => ({ serves: ids(serves), mentions })),
    world,
  );
  const say = (text: string): string => {
    asked?.(text.trim());
    return texts.get(text.trim())?.text ?? text;
  };
  return {
    world,
    trees,
    say,
    inline: (text) => inlineHtml(say(text)),
    block: (text) => blockHtml(say(text)),
    plain: (text) => plainText(say(text)),
    named: (id) => say(wordsOf(id)),
    shows: (name) => parts.has(name),
  };
}

export interface Edition {
  /** One of the manifest's `translations`. */
  readonly language: string;
  /** Is told every text for which a translation is looked up. */
  readonly asked?: (text: string) => void;
}

/**
 * @param all All trees, without faults: a base with errors is not emitted.
 * @param today The day of compiling, YYYY-MM-DD.
 * @param edition Left out: the whole base in its own language.
 */
export function emit(world: World, all: readonly Procedure[], today: string, edition?: Edition): C.CompiledBase {
  const { manifest } = world;
  if (!manifest) throw new Error("a base without a manifest can't be emitted");
  const { data } = manifest;
  const translation = edition && world.translations.get(edition.language);
  if (edition && !translation) throw new Error(`the manifest does not offer ${edition.language}`);
  const to = translation ? inLanguage(translation, world, all, edition?.asked) : inMainLanguage(world, all);
  const { trees, shows, inline, block, plain, say } = to;
  const inDoubt = calledInDoubt(to, all);
  const treesOf = new Map<string, string[]>();
  for (const tree of trees) {
    const { symptom } = tree.data as Tree;
    treesOf.set(symptom, [...(treesOf.get(symptom) ?? []), tree.id]);
  }
  const entries = entriesFor(to);
  const unknown = data["unknown-equipment"];
  const languages = languagesOf(world, all, translation?.language);
  const address = data.address?.replace(/\/?$/, translation ? `/${translation.language}/` : "/");
  return {
    format: 1,
    // Visits are kept by it, and a visit goes on in the language in which it began.
    base: translation ? `${data.base}-${translation.language.toLowerCase()}` : data.base,
    title: inline(data.title),
    owner: inline(data.owner),
    language: translation?.language ?? data.language,
    ...(languages.length > 0 && { languages }),
    notice: block(data.notice),
    compiledOn: today,
    ...(address !== undefined && { address }),
    areas: Object.fromEntries(
      Object.entries(data.areas).flatMap(([id, name]) => (shows(`areas/${id}`) ? [[id, inline(name)]] : [])),
    ),
    families: entries("equipment", ({ title, what, looks, area, facts }) => ({
      title: inline(title),
      ...optional("what", what, block),
      looks: block(looks),
      area,
      facts,
    })),
    symptoms: entries("symptoms", ({ title, says, area, what, by = [] }, id) => ({
      title: inline(title),
      says: says.map(plain),
      area,
      by,
      ...optional("what", what, block),
      trees: treesOf.get(id) ?? [],
    })),
    causes: entries("causes", ({ title, what, consequence }) => ({
      title: inline(title),
      what: block(what),
      ...optional("consequence", consequence, block),
    })),
    states: entries("states", ({ title, means, without, "must-clear": mustClear = true }, id) => ({
      title: inline(title),
      means: block(means),
      without: block(without),
      mustClear,
      clearedBy: clearedBy(id, world).filter((routine) => shows(`routines/${routine}`)),
    })),
    hazards: entries("hazards", ({ title, signal, sign, consequence, precaution }) => ({
      title: inline(title),
      signal,
      ...(sign ? { sign } : {}),
      consequence: block(consequence),
      precaution: block(precaution),
    })),
    tools: entries("tools", thing(to)),
    parts: entries("parts", thing(to)),
    contacts: entries("contacts", ({ title, reach, when, holds = [] }) => ({
      title: inline(title),
      ...optional("reach", reach, block),
      ...optional("when", when, block),
      holds,
    })),
    licences: entries("licences", thing(to)),
    formulas: Object.fromEntries(
      [...world.formulas].flatMap(([id, formula]) => (shows(`formulas/${id}`) ? [[id, emitFormula(formula, to)]] : [])),
    ),
    routines: Object.fromEntries(
      [...world.routines].flatMap(([id, routine]) => (shows(`routines/${id}`) ? [[id, emitRoutine(routine, to)]] : [])),
    ),
    trees: trees.map((tree) => emitTree(tree, to, inDoubt)),
    board: saidOnBoard(boardOf(shownWorld(to), trees, today), say),
    ...(unknown !== undefined && trees.some(({ id }) => id === unknown) ? { unknownEquipment: unknown } : {}),
  };
}

/** What is only counted: a board of a further language has the lines of what is offered in it. */
function shownWorld({ world, shows }: Emitting): World {
  const only = <T>(section: string, all: ReadonlyMap<string, T>): ReadonlyMap<string, T> =>
    new Map([...all].filter(([id]) => shows(`${section}/${id}`)));
  const { symptoms, causes, equipment } = world.catalogs;
  const isWhole = [...symptoms.keys()].every((id) => shows(`symptoms/${id}`));
  if (isWhole) return world;
  const catalogs = {
    ...world.catalogs,
    symptoms: only("symptoms", symptoms),
    causes: only("causes", causes),
    equipment: only("equipment", equipment),
  };
  return { ...world, catalogs };
}

/** The board is made of the authors' own words, of which it shows two kinds. */
function saidOnBoard(board: Board, say: (text: string) => string): Board {
  const trees = board.trees.map((tree) => ({
    ...tree,
    keepOrder: tree.keepOrder === undefined ? undefined : say(tree.keepOrder),
    groups: tree.groups.map((group) => ({
      ...group,
      causes: group.causes.map((cause) => ({
        ...cause,
        basis: cause.basis === undefined ? undefined : say(cause.basis),
      })),
    })),
  }));
  return { ...board, trees };
}

function thing({ inline, block }: Emitting): (entry: { title: string; what?: string }) => C.CompiledThing {
  return ({ title, what }) => ({ title: inline(title), ...optional("what", what, block) });
}

function emitTree(tree: Procedure, to: Emitting, inDoubt: string | undefined): C.CompiledTree {
  const { world } = to;
  const data = tree.data as Tree;
  const routines = routinesOf(tree, world);
  return {
    ...procedure(tree, to),
    symptom: data.symptom,
    serves: tree.serves.map(({ id }) => id),
    routines,
    bring: bringOf(tree, world),
    causes: mapValues(data.causes ?? {}, ({ likelihood, basis }) => ({
      likelihood,
      ...optional("basis", basis, to.block),
    })),
    evidence: evidence(tree, world),
    ...(inDoubt === undefined ? {} : { inDoubt }),
  };
}

function evidence(tree: Procedure, world: World): C.CompiledEvidence[] {
  if (tree.causes.size === 0) return [];
  // Families can meet different steps, and yet have the same evidence.
  const families = new Map<string, string[]>();
  for (const graph of graphsOf(tree, servedBy(tree, world), world)) {
    const suspects = suspectsOf(graph, world);
    const found = JSON.stringify({
      causes: Object.fromEntries(
        suspects.map(({ id, weight, shows }) => [id, { weight, shows: Object.fromEntries(shows) }]),
      ),
      unsure: unsureOf(graph, suspects, world),
    });
    families.set(found, [...(families.get(found) ?? []), ...graph.families]);
  }
  return [...families].map(([found, ids]) => ({ families: ids, ...JSON.parse(found) }));
}

/**
 * Who is asked when nothing else decides: whom the trees hand over to most often. Somebody without a licence goes first,
 * since those with one are called for their licence.
 */
function calledInDoubt({ world, shows }: Emitting, all: readonly Procedure[]): string | undefined {
  const calls = new Map<string, number>();
  for (const { steps } of all)
    for (const { stopKind, call } of steps.values())
      if (stopKind === "hand-over" && call && shows(`contacts/${call.id}`))
        calls.set(call.id, (calls.get(call.id) ?? 0) + 1);
  const isFree = (id: string) => (world.catalogs.contacts.get(id)?.entry.holds ?? []).length === 0;
  const ranked = [...calls].sort(
    ([one, often], [other, oftener]) =>
      Number(isFree(other)) - Number(isFree(one)) || oftener - often || (one < other ? -1 : 1),
  );
  return ranked[0]?.[0];
}

function emitRoutine(routine: Procedure, to: Emitting): C.CompiledRoutine {
  return {
    ...procedure(routine, to),
    needs: ids(routine.needs),
    outcomes: Object.fromEntries([...routine.outcomes].map(([id, { say }]) => [id, saying(id, say, to)])),
  };
}

/** Routines that end a state for certain, for some family, have no other outcome and don't bring it about themselves. */
function clearedBy(state: string, world: World): string[] {
  const routines = [...world.catalogs.equipment.keys()].flatMap((family) => meansTo("clear", state, family, world));
  const ids = new Set(routines.flatMap(({ routine, outcome }) => (outcome === undefined ? [routine] : [])));
  const sets = (id: string): boolean =>
    [...(world.routines.get(id)?.steps.values() ?? [])].some((step) => step.sets.some((ref) => ref.id === state));
  return [...ids].filter((id) => !sets(id)).sort();
}

function procedure(of: Procedure, to: Emitting) {
  const { world, inline, block, say } = to;
  const data: Tree | Routine = of.data;
  return {
    id: of.id,
    title: inline(data.title),
    ...optional("summary", data.summary, block),
    reviewed: { on: data.reviewed.on, by: say(data.reviewed.by) },
    start: of.start ?? "",
    notes: notes(of.notes, to),
    steps: [...of.steps.values()].map((step) => emitStep(step, of, to)),
    proofs: graphsOf(of, servedBy(of, world), world).map((graph) => proofOf(graph, world, block)),
  };
}

/** Every routine used, directly or not, in the order of first use. */
function routinesOf(tree: Procedure, world: World): string[] {
  const found = new Set<string>();
  const visit = (from: Procedure): void => {
    for (const { routine } of from.steps.values()) {
      if (!routine || found.has(routine.id)) continue;
      found.add(routine.id);
      const used = world.routines.get(routine.id);
      if (used) visit(used);
    }
  };
  visit(tree);
  return [...found];
}

function emitStep(step: Step, of: Procedure, to: Emitting): C.CompiledStep {
  const { world, block, plain } = to;
  const families = familiesFor(step.onlyFor, of, to);
  const base = {
    id: step.id,
    ...(step.of ? { of: step.of } : {}),
    title: titleOf(step, to),
    ...optional("how", step.how, block),
    ...optional("why", step.why, block),
    ...(step.minutes === undefined ? {} : { minutes: step.minutes }),
    tools: ids(step.tools),
    parts: ids(step.parts),
    needs: ids(step.needs),
    sets: ids(step.sets),
    clears: ids(step.clears),
    notes: notes(step.notes, to),
    ...(step.licence ? { licence: step.licence.id } : {}),
    ...(step.unlicensed ? { unlicensed: target(step.unlicensed) } : {}),
    ...(families ? { families } : {}),
    ...(step.picture ? { picture: { file: step.picture.file, alt: plain(step.picture.alt) } } : {}),
  };
  const branches = (): C.Branch[] => step.branches.map((branch) => emitBranch(branch, of, to));
  const leaves = Object.fromEntries(step.leaves.map(({ state, reason }) => [state.id, block(reason)]));
  switch (step.kind) {
    case "look":
      return { ...base, kind: "look", answers: branches() };
    case "measure": {
      const { value } = step;
      if (!value) throw new Error(`${of.id}: ${step.id} has no value`);
      return {
        ...base,
        kind: "measure",
        readings: step.readings.map((one) => reading(one, to)),
        value: emitValue(value, of, to),
        ranges: step.branches.map((branch) => ({
          ...emitBranch(branch, of, to),
          ...ends(branch.range),
          ...(branch.ends ? { byFamily: endsByFamily(branch.ends, of, world) } : {}),
        })),
      };
    }
    case "do":
      return { ...base, kind: "do", next: target(step.branches[0]) };
    case "sort":
      return { ...base, kind: "sort", fact: to.named(step.fact ?? ""), ...sorted(step, of, to) };
    case "use": {
      const routine = step.routine && world.routines.get(step.routine.id);
      const outcomes = step.branches.map((branch) =>
        emitBranch({ ...branch, say: branch.say ?? routine?.outcomes.get(branch.id)?.say }, of, to),
      );
      return { ...base, kind: "use", routine: step.routine?.id ?? "", outcomes };
    }
    case "found": {
      const next = step.branches[0];
      return {
        ...base,
        kind: "found",
        cause: step.cause?.id ?? "",
        ...(next?.to === undefined ? {} : { next: target(next) }),
        leaves,
      };
    }
    case "stop":
      return {
        ...base,
        kind: "stop",
        stopKind: step.stopKind ?? "hand-over",
        ...(step.call ? { call: step.call.id } : {}),
        leaves,
      };
    default:
      return step.kind satisfies never;
  }
}

/** A value in code that takes readings in their own units and gives the result in its own. */
function codeInUnits(
  { expression, unit: symbol }: Pick<Value, "expression" | "unit">,
  inputs: ReadonlyMap<string, Pick<ReadInput, "unit">>,
): Code {
  // As it was read: converting there and back would leave a rounding error.
  if (expression.kind === "input" && inputs.get(expression.name)?.unit === symbol) return [expression.name];
  const code = codeOf(expression, (name) => {
    const { factor, offset } = unitOf(inputs.get(name)?.unit ?? "1") ?? { factor: 1, offset: 0 };
    return [name, ...(factor === 1 ? [] : [factor, "*"]), ...(offset === 0 ? [] : [offset, "+"])];
  });
  const { factor, offset } = unitOf(symbol) ?? { factor: 1, offset: 0 };
  return [...code, ...(offset === 0 ? [] : [offset, "-"]), ...(factor === 1 ? [] : [factor, "/"])];
}

function emitValue(value: Value, of: Procedure, to: Emitting): C.CompiledValue {
  const { world, inline } = to;
  const amounts = new Map(
    value.facts.map(({ fact }) => [
      `equipment.${fact}`,
      Object.fromEntries(
        servedBy(of, world).flatMap((family) => {
          const amount = factAmount(world.catalogs.equipment.get(family)?.entry.facts[fact]);
          return amount ? [[family, amount.si]] : [];
        }),
      ),
    ]),
  );
  const earlier = [...value.inputs].flatMap(([name, { step, unit }]) => {
    if (step === undefined) return [];
    const read = of.steps.get(step)?.readings.find(({ id }) => name === `${step}.${id}`);
    return [[name, { ask: inline(read?.ask ?? name), unit }] as const];
  });
  return {
    name: to.named(value.name),
    unit: value.unit,
    code: codeInUnits(value, value.inputs),
    ...(amounts.size > 0 ? { facts: Object.fromEntries(amounts) } : {}),
    written: value.written,
    ...(earlier.length > 0 ? { earlier: Object.fromEntries(earlier) } : {}),
    ...(value.use ? { formula: value.use.formula } : {}),
  };
}

function reading({ id, ask, unit, between, typical }: Reading, { inline }: Emitting): C.CompiledReading {
  return { id, ask: inline(ask), unit, between, ...(typical ? { typical } : {}) };
}

function ends(range: { readonly from: number; readonly below: number } | undefined): { from?: number; below?: number } {
  return {
    ...(range && Number.isFinite(range.from) ? { from: range.from } : {}),
    ...(range && Number.isFinite(range.below) ? { below: range.below } : {}),
  };
}

function endsByFamily(of: NonNullable<LinkedBranch["ends"]>, procedure: Procedure, world: World) {
  return Object.fromEntries(
    servedBy(procedure, world).flatMap((family) => {
      const range = endsFor(of, world.catalogs.equipment.get(family)?.entry.facts ?? {});
      return range ? [[family, ends(range)]] : [];
    }),
  );
}

function emitFormula(formula: Formula, to: Emitting): C.CompiledFormula {
  const { world, inline, block, named } = to;
  const entry = world.catalogs.formulas.get(formula.id)?.entry;
  if (!entry) throw new Error(`${formula.id} is not in the catalog`);
  const source = (text: string): C.InlineHtml => inline(world.catalogs.sources.get(text)?.entry.title ?? text);
  return {
    title: inline(entry.title),
    for: block(entry.for),
    limits: block(entry.limits),
    source: source(entry.source),
    inputs: Object.fromEntries([...formula.inputs].map(([id, input]) => [id, reading({ id, ...input }, to)])),
    constants: Object.entries(entry.constants ?? {}).map(([name, constant]) =>
      typeof constant === "object"
        ? { name: named(name), value: String(constant.value), ...optional("why", constant.why, inline) }
        : { name: named(name), value: String(constant) },
    ),
    value: {
      name: named(formula.name),
      unit: formula.unit,
      code: codeInUnits(formula, formula.inputs),
      written: formula.written,
    },
    examples: entry.examples.map((example, i) => ({
      given: Object.fromEntries(formula.examples[i]?.given ?? []),
      written: Object.fromEntries(
        [...formula.inputs].flatMap(([id, { unit }]) => {
          const amount = (example.given as Readonly<Record<string, number | string>>)[id];
          return amount === undefined ? [] : [[id, withUnit(amount, unit)]];
        }),
      ),
      gives: withUnit(example.gives, formula.unit),
      within: withUnit(example.within, formula.unit),
      source: source(example.source),
    })),
  };
}
function withUnit(amount: number | string, unit: string): string {
  const isBare = typeof amount === "number" || /^[-−]?\d+([.,]\d+)?$/.test(amount);
  return isBare && unit !== "1" ? `${amount} ${unit}` : String(amount);
}

function titleOf(step: Step, { world, inline }: Emitting): C.InlineHtml {
  if (step.kind === "found")
    return inline(step.say ?? world.catalogs.causes.get(step.title)?.entry.title ?? step.title);
  if (step.kind === "use") {
    const routine = world.routines.get(step.title);
    return inline(routine?.data.title ?? step.title);
  }
  if (step.kind === "sort") return inline(wordsOf(step.fact ?? ""));
  return inline(step.title);
}

function emitBranch(branch: LinkedBranch, of: Procedure, to: Emitting): C.Branch {
  const families = familiesFor(branch.onlyFor, of, to);
  return {
    id: branch.id,
    ...saying(branch.id, branch.say, to),
    ...target(branch),
    ...(families ? { families } : {}),
  };
}

function target(branch: LinkedBranch | undefined): C.Target {
  if (branch?.again) return { again: { to: branch.again.to, atMost: branch.again.atMost, else: branch.again.else } };
  return { to: branch?.to ?? "" };
}

function sorted(step: Step, of: Procedure, { world, say, shows }: Emitting): Pick<C.SortStep, "byFamily" | "cases"> {
  const byFamily: Record<string, string> = {};
  const families = servedBy(of, world).filter((id) => shows(`equipment/${id}`));
  const otherwise = step.branches.find(({ value }) => value === undefined);
  const cases = step.branches.map((branch) => {
    const having = families.filter((family) => {
      const fact = world.catalogs.equipment.get(family)?.entry.facts[step.fact ?? ""];
      const chosen =
        step.branches.find(({ value }) => fact !== undefined && value === String(fact)) ??
        (fact === undefined ? undefined : otherwise);
      return chosen === branch;
    });
    for (const family of having) byFamily[family] = branch.to ?? "";
    const { value = "else" } = branch;
    return {
      value: branch.value !== undefined && isWord(value) ? say(value) : value,
      to: branch.to ?? "",
      families: having,
    };
  });
  return { byFamily, cases };
}

function servedBy(of: Procedure, world: World): string[] {
  return of.kind === "tree" ? ids(of.serves) : [...world.catalogs.equipment.keys()];
}
function familiesFor(
  condition: Condition | undefined,
  of: Procedure,
  { world, shows }: Emitting,
): string[] | undefined {
  if (!condition) return undefined;
  return servedBy(of, world).filter(
    (id) => shows(`equipment/${id}`) && holds(condition, id, world.catalogs.equipment.get(id)?.entry.facts ?? {}),
  );
}

function notes(list: readonly Note[], { world, block }: Emitting): C.CompiledNote[] {
  return list.map(({ hazard, note }) => ({
    hazard: hazard.id,
    note: block(note ?? world.catalogs.hazards.get(hazard.id)?.entry.precaution ?? ""),
  }));
}
function ids(refs: readonly Ref[]): string[] {
  return refs.map(({ id }) => id);
}
/** What an answer or an outcome says: words of its author's, if need be its id. The format's own ids a page has words for. */
function saying(id: string, said: string | undefined, { inline }: Emitting): { say?: C.InlineHtml } {
  const say = said ?? wordsUnlessOwn(id);
  return say === undefined ? {} : { say: inline(say) };
}
function mapValues<T, U>(map: Readonly<Record<string, T>>, change: (value: T) => U): Record<string, U> {
  return Object.fromEntries(Object.entries(map).map(([key, value]) => [key, change(value)]));
}
/** Makes the entries of a section that are shown. */
function entriesFor({ world, shows }: Emitting) {
  return <S extends Section, U>(section: S, change: (entry: Entry<S>["entry"], id: string) => U): Record<string, U> => {
    const all: ReadonlyMap<string, Entry<S>> = world.catalogs[section];
    return Object.fromEntries(
      [...all.values()].flatMap(({ id, entry }) => (shows(`${section}/${id}`) ? [[id, change(entry, id)]] : [])),
    );
  };
}
/** `{key: change(value)}`, or nothing where there is no value. */
function optional<K extends string, T>(
  key: K,
  value: string | undefined,
  change: (value: string) => T,
): { [P in K]?: T } {
  return value === undefined ? {} : ({ [key]: change(value) } as { [P in K]?: T });
}
