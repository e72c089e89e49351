/** The linked base to compiled JSON: what the pages need, texts as HTML, facts evaluated for every family. */
import { endsFor, graphsOf, holds } from "../4-specialise/specialise.ts";
import { boardOf } from "../5-analyse/board.ts";
import { meansTo } from "../5-analyse/facts/states.ts";
import { suspectsOf, unsureOf } from "../5-analyse/facts/unsure.ts";
import { proofOf } from "../5-analyse/proof.ts";
import type {
  Condition,
  Formula,
  Branch as LinkedBranch,
  Note,
  Procedure,
  ReadInput,
  Reading,
  Ref,
  Step,
  Value,
  World,
} from "../model/base.ts";
import type * as C from "../model/compiled.ts";
import { OWN_WORDS } from "../model/compiled.ts";
import type { Routine, Tree } from "../model/format.ts";
import { type Code, codeOf } from "../model/formula.ts";
import { factAmount, unitOf } from "../model/units.ts";
import { blockHtml, inlineHtml, plainText } from "../words/markdown.ts";
import { bringOf } from "./bring.ts";

/**
 * @param trees Without faults: a base with errors is not emitted.
 * @param today The day of compiling, YYYY-MM-DD.
 */
export function emit(world: World, trees: readonly Procedure[], today: string): C.CompiledBase {
  const { manifest, catalogs } = world;
  if (!manifest) throw new Error("a base without a manifest can't be emitted");
  const { data } = manifest;
  const inDoubt = calledInDoubt(world, trees);
  const treesOf = new Map<string, string[]>();
  for (const tree of trees) {
    const { symptom } = tree.data as Tree;
    treesOf.set(symptom, [...(treesOf.get(symptom) ?? []), tree.id]);
  }
  return {
    format: 1,
    base: data.base,
    title: inlineHtml(data.title),
    owner: inlineHtml(data.owner),
    language: data.language,
    notice: blockHtml(data.notice),
    compiledOn: today,
    ...(data.address !== undefined && { address: data.address.replace(/\/?$/, "/") }),
    areas: mapValues(data.areas, inlineHtml),
    families: entries(catalogs.equipment, ({ title, what, looks, area, facts }) => ({
      title: inlineHtml(title),
      ...optional("what", what, blockHtml),
      looks: blockHtml(looks),
      area,
      facts,
    })),
    symptoms: entries(catalogs.symptoms, ({ title, says, area, what, by = [] }, id) => ({
      title: inlineHtml(title),
      says: says.map(plainText),
      area,
      by,
      ...optional("what", what, blockHtml),
      trees: treesOf.get(id) ?? [],
    })),
    causes: entries(catalogs.causes, ({ title, what, consequence }) => ({
      title: inlineHtml(title),
      what: blockHtml(what),
      ...optional("consequence", consequence, blockHtml),
    })),
    states: entries(catalogs.states, ({ title, means, without, "must-clear": mustClear = true }, id) => ({
      title: inlineHtml(title),
      means: blockHtml(means),
      without: blockHtml(without),
      mustClear,
      clearedBy: clearedBy(id, world),
    })),
    hazards: entries(catalogs.hazards, ({ title, signal, sign, consequence, precaution }) => ({
      title: inlineHtml(title),
      signal,
      ...(sign ? { sign } : {}),
      consequence: blockHtml(consequence),
      precaution: blockHtml(precaution),
    })),
    tools: entries(catalogs.tools, thing),
    parts: entries(catalogs.parts, thing),
    contacts: entries(catalogs.contacts, ({ title, reach, when, holds = [] }) => ({
      title: inlineHtml(title),
      ...optional("reach", reach, blockHtml),
      ...optional("when", when, blockHtml),
      holds,
    })),
    licences: entries(catalogs.licences, thing),
    formulas: Object.fromEntries([...world.formulas].map(([id, formula]) => [id, emitFormula(formula, world)])),
    routines: Object.fromEntries([...world.routines].map(([id, routine]) => [id, emitRoutine(routine, world)])),
    trees: trees.map((tree) => emitTree(tree, world, inDoubt)),
    board: boardOf(world, trees, today),
    ...(data["unknown-equipment"] === undefined ? {} : { unknownEquipment: data["unknown-equipment"] }),
  };
}

function thing({ title, what }: { title: string; what?: string }): C.CompiledThing {
  return { title: inlineHtml(title), ...optional("what", what, blockHtml) };
}

function emitTree(tree: Procedure, world: World, inDoubt: string | undefined): C.CompiledTree {
  const data = tree.data as Tree;
  const routines = routinesOf(tree, world);
  return {
    ...procedure(tree, world),
    symptom: data.symptom,
    serves: tree.serves.map(({ id }) => id),
    routines,
    bring: bringOf(tree, world),
    causes: mapValues(data.causes ?? {}, ({ likelihood, basis }) => ({
      likelihood,
      ...optional("basis", basis, blockHtml),
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
function calledInDoubt(world: World, trees: readonly Procedure[]): string | undefined {
  const calls = new Map<string, number>();
  for (const { steps } of trees)
    for (const { stopKind, call } of steps.values())
      if (stopKind === "hand-over" && call) calls.set(call.id, (calls.get(call.id) ?? 0) + 1);
  const isFree = (id: string) => (world.catalogs.contacts.get(id)?.entry.holds ?? []).length === 0;
  const ranked = [...calls].sort(
    ([one, often], [other, oftener]) =>
      Number(isFree(other)) - Number(isFree(one)) || oftener - often || (one < other ? -1 : 1),
  );
  return ranked[0]?.[0];
}

function emitRoutine(routine: Procedure, world: World): C.CompiledRoutine {
  return {
    ...procedure(routine, world),
    needs: ids(routine.needs),
    outcomes: Object.fromEntries([...routine.outcomes].map(([id, { say }]) => [id, saying(id, say)])),
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

function procedure(of: Procedure, world: World) {
  const data: Tree | Routine = of.data;
  return {
    id: of.id,
    title: inlineHtml(data.title),
    ...optional("summary", data.summary, blockHtml),
    reviewed: { on: data.reviewed.on, by: data.reviewed.by },
    start: of.start ?? "",
    notes: notes(of.notes, world),
    steps: [...of.steps.values()].map((step) => emitStep(step, of, world)),
    proofs: graphsOf(of, servedBy(of, world), world).map((graph) => proofOf(graph, world)),
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

function emitStep(step: Step, of: Procedure, world: World): C.CompiledStep {
  const families = familiesFor(step.onlyFor, of, world);
  const base = {
    id: step.id,
    ...(step.of ? { of: step.of } : {}),
    title: titleOf(step, world),
    ...optional("how", step.how, blockHtml),
    ...optional("why", step.why, blockHtml),
    ...(step.minutes === undefined ? {} : { minutes: step.minutes }),
    tools: ids(step.tools),
    parts: ids(step.parts),
    needs: ids(step.needs),
    sets: ids(step.sets),
    clears: ids(step.clears),
    notes: notes(step.notes, world),
    ...(step.licence ? { licence: step.licence.id } : {}),
    ...(step.unlicensed ? { unlicensed: target(step.unlicensed) } : {}),
    ...(families ? { families } : {}),
    ...(step.picture ? { picture: { file: step.picture.file, alt: plainText(step.picture.alt) } } : {}),
  };
  const branches = (): C.Branch[] => step.branches.map((branch) => emitBranch(branch, of, world));
  const leaves = Object.fromEntries(step.leaves.map(({ state, reason }) => [state.id, blockHtml(reason)]));
  switch (step.kind) {
    case "look":
      return { ...base, kind: "look", answers: branches() };
    case "measure": {
      const { value } = step;
      if (!value) throw new Error(`${of.id}: ${step.id} has no value`);
      return {
        ...base,
        kind: "measure",
        readings: step.readings.map(reading),
        value: emitValue(value, of, world),
        ranges: step.branches.map((branch) => ({
          ...emitBranch(branch, of, world),
          ...ends(branch.range),
          ...(branch.ends ? { byFamily: endsByFamily(branch.ends, of, world) } : {}),
        })),
      };
    }
    case "do":
      return { ...base, kind: "do", next: target(step.branches[0]) };
    case "sort":
      return { ...base, kind: "sort", fact: step.fact ?? "", ...sorted(step, of, world) };
    case "use": {
      const routine = step.routine && world.routines.get(step.routine.id);
      const outcomes = branches().map((branch) => {
        const say = step.branches.find(({ id }) => id === branch.id)?.say ?? routine?.outcomes.get(branch.id)?.say;
        return say ? { ...branch, say: inlineHtml(say) } : branch;
      });
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

function emitValue(value: Value, of: Procedure, world: World): C.CompiledValue {
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
    return [[name, { ask: inlineHtml(read?.ask ?? name), unit }] as const];
  });
  return {
    name: value.name,
    unit: value.unit,
    code: codeInUnits(value, value.inputs),
    ...(amounts.size > 0 ? { facts: Object.fromEntries(amounts) } : {}),
    written: value.written,
    ...(earlier.length > 0 ? { earlier: Object.fromEntries(earlier) } : {}),
    ...(value.use ? { formula: value.use.formula } : {}),
  };
}

function reading({ id, ask, unit, between, typical }: Reading): C.CompiledReading {
  return { id, ask: inlineHtml(ask), unit, between, ...(typical ? { typical } : {}) };
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

function emitFormula(formula: Formula, world: World): C.CompiledFormula {
  const entry = world.catalogs.formulas.get(formula.id)?.entry;
  if (!entry) throw new Error(`${formula.id} is not in the catalog`);
  const source = (text: string): C.InlineHtml => inlineHtml(world.catalogs.sources.get(text)?.entry.title ?? text);
  return {
    title: inlineHtml(entry.title),
    for: blockHtml(entry.for),
    limits: blockHtml(entry.limits),
    source: source(entry.source),
    inputs: Object.fromEntries([...formula.inputs].map(([id, input]) => [id, reading({ id, ...input })])),
    constants: Object.entries(entry.constants ?? {}).map(([name, constant]) =>
      typeof constant === "object"
        ? { name, value: String(constant.value), ...optional("why", constant.why, inlineHtml) }
        : { name, value: String(constant) },
    ),
    value: {
      name: formula.name,
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

function titleOf(step: Step, world: World): C.InlineHtml {
  if (step.kind === "found")
    return inlineHtml(step.say ?? world.catalogs.causes.get(step.title)?.entry.title ?? step.title);
  if (step.kind === "use") {
    const routine = world.routines.get(step.title);
    return inlineHtml(routine?.data.title ?? step.title);
  }
  if (step.kind === "sort") return words(step.fact ?? "");
  return inlineHtml(step.title);
}

function emitBranch(branch: LinkedBranch, of: Procedure, world: World): C.Branch {
  const families = familiesFor(branch.onlyFor, of, world);
  return { id: branch.id, ...saying(branch.id, branch.say), ...target(branch), ...(families ? { families } : {}) };
}

function target(branch: LinkedBranch | undefined): C.Target {
  if (branch?.again) return { again: { to: branch.again.to, atMost: branch.again.atMost, else: branch.again.else } };
  return { to: branch?.to ?? "" };
}

function sorted(step: Step, of: Procedure, world: World): Pick<C.SortStep, "byFamily" | "cases"> {
  const byFamily: Record<string, string> = {};
  const families = servedBy(of, world);
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
    return { ...(branch.value !== undefined && { value: branch.value }), to: branch.to ?? "", families: having };
  });
  return { byFamily, cases };
}

function servedBy(of: Procedure, world: World): string[] {
  return of.kind === "tree" ? ids(of.serves) : [...world.catalogs.equipment.keys()];
}
function familiesFor(condition: Condition | undefined, of: Procedure, world: World): string[] | undefined {
  if (!condition) return undefined;
  return servedBy(of, world).filter((id) => holds(condition, id, world.catalogs.equipment.get(id)?.entry.facts ?? {}));
}

function notes(list: readonly Note[], world: World): C.CompiledNote[] {
  return list.map(({ hazard, note }) => ({
    hazard: hazard.id,
    note: blockHtml(note ?? world.catalogs.hazards.get(hazard.id)?.entry.precaution ?? ""),
  }));
}
function ids(refs: readonly Ref[]): string[] {
  return refs.map(({ id }) => id);
}
/** What an answer or an outcome says: words of its author's, if need be its id. The format's own ids a page has words for. */
function saying(id: string, say: string | undefined): { say?: C.InlineHtml } {
  if (say) return { say: inlineHtml(say) };
  return OWN_WORDS.some((own) => own === id) ? {} : { say: words(id) };
}
/** An id as words, for an answer that has none of its own. */
function words(id: string): string {
  const text = id.replaceAll("-", " ");
  return text.charAt(0).toUpperCase() + text.slice(1);
}
function mapValues<T, U>(map: Readonly<Record<string, T>>, change: (value: T) => U): Record<string, U> {
  return Object.fromEntries(Object.entries(map).map(([key, value]) => [key, change(value)]));
}
function entries<T, U>(
  map: ReadonlyMap<string, { readonly id: string; readonly entry: T }>,
  change: (entry: T, id: string) => U,
): Record<string, U> {
  return Object.fromEntries([...map.values()].map(({ id, entry }) => [id, change(entry, id)]));
}
/** `{key: change(value)}`, or nothing where there is no value. */
function optional<K extends string, T>(
  key: K,
  value: string | undefined,
  change: (value: string) => T,
): { [P in K]?: T } {
  return value === undefined ? {} : ({ [key]: change(value) } as { [P in K]?: T });
}
