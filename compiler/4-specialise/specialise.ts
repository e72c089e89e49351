/**
 * One graph per procedure and family.
 *
 * Families that decide every `sort` and `only-for` alike, in a procedure and in the routines it uses, meet the same
 * graph; it is built once and carries them all. The routines count although they are not part of the graph: what a
 * reader has been told on his way through one may differ by family. Most procedures ask few facts, so most have one or
 * two graphs however many families they serve.
 */
import type { Branch, Condition, Ends, FactUse, Procedure, Step, World } from "../model/base.ts";
import type { Fact } from "../model/format.ts";
import { codeOf, type Expression, evaluate, substitute } from "../model/formula.ts";
import type { Edge, Graph, GraphNode } from "../model/graph.ts";
import { Kept } from "../model/kept.ts";
import { factAmount, fromSi, unitOf } from "../model/units.ts";

/**
 * @param families Ids of the families to specialise for; those without a catalog entry (it may be broken) are left out.
 * @returns Graphs in the order of their first family.
 */
export function specialise(procedure: Procedure, families: readonly string[], world: World): Graph[] {
  const known = families.filter((id) => world.catalogs.equipment.has(id));
  const bySignature = new Map<string, string[]>();
  const asks = allQuestions(procedure, world);
  for (const family of known) {
    const signature = asks.length === 0 ? "" : asks.map((ask) => ask(factsOf(world, family), family)).join("\n");
    const group = bySignature.get(signature);
    if (group) group.push(family);
    else bySignature.set(signature, [family]);
  }
  return [...bySignature.values()].map((group) =>
    build(procedure, group, group.length === known.length && known.length === families.length, world),
  );
}

/**
 * The same, made once for as long as the procedure is kept: what is worked out of a graph is kept with it, so whoever asks
 * something of a procedure again, the analysis or what is emitted, finds it done.
 */
export function graphsOf(procedure: Procedure, families: readonly string[], world: World): readonly Graph[] {
  let known = made.get(procedure);
  // A procedure is linked against one world; whoever changes that, as tests do, gets graphs of the new one.
  if (known?.world !== world) {
    known = { world, byFamilies: new Map() };
    made.set(procedure, known);
  }
  const key = families.join(" ");
  let graphs = known.byFamilies.get(key);
  if (!graphs) {
    graphs = specialise(procedure, families, world);
    known.byFamilies.set(key, graphs);
  }
  return graphs;
}
const made = new Kept<Procedure, { readonly world: World; readonly byFamilies: Map<string, readonly Graph[]> }>();

type Facts = Readonly<Record<string, Fact>>;

function factsOf(world: World, family: string): Facts {
  return world.catalogs.equipment.get(family)?.entry.facts ?? {};
}

/** Something that a procedure wants to know of a family, as a function to a short answer. */
type Question = (facts: Facts, family: string) => string;

/** Those of the procedure and of every routine that it uses, directly or by way of others. */
function allQuestions(procedure: Procedure, world: World): Question[] {
  const asked = new Set([procedure]);
  for (const one of asked)
    for (const step of one.steps.values()) {
      const routine = step.routine && world.routines.get(step.routine.id);
      if (routine) asked.add(routine);
    }
  return [...asked].flatMap(questions);
}

const kept = new Kept<Procedure, readonly Question[]>();
function questions(procedure: Procedure): readonly Question[] {
  let asks = kept.get(procedure);
  if (!asks) {
    asks = collectQuestions(procedure);
    kept.set(procedure, asks);
  }
  return asks;
}

function collectQuestions(procedure: Procedure): Question[] {
  const asks: Question[] = [];
  const askCondition = (condition: Condition | undefined): void => {
    if (condition) asks.push((facts, family) => (holds(condition, family, facts) ? "1" : "0"));
  };
  // Which causes there are makes no other graph, and is asked so that whatever holds of a graph holds for all its families.
  for (const { onlyFor } of procedure.causes.values()) askCondition(onlyFor);
  for (const step of procedure.steps.values()) {
    askCondition(step.onlyFor);
    if (step.fact !== undefined)
      asks.push((facts) => chosenCase(step, facts)?.id ?? (factOf(facts, step) === undefined ? "?" : "!"));
    for (const { onlyFor, ends } of step.branches) {
      askCondition(onlyFor);
      for (const { fact } of ends?.facts ?? []) asks.push((facts) => amountText(facts, fact));
    }
    for (const { fact } of step.value?.facts ?? []) asks.push((facts) => amountText(facts, fact));
  }
  return asks;
}

function amountText(facts: Facts, fact: string): string {
  return String(amountOf(facts, fact) ?? "?");
}
/** A fact as a number in SI; undefined when the family lacks it or it is a word. */
function amountOf(facts: Facts, fact: string): number | undefined {
  return Object.hasOwn(facts, fact) ? factAmount(facts[fact])?.si : undefined;
}

/** Those of the facts that a family lacks as amounts. */
export function lackingFacts(uses: readonly FactUse[], facts: Facts): FactUse[] {
  return uses.filter(({ fact }) => amountOf(facts, fact) === undefined);
}

/** The ends of a range for one family, in the value's unit; undefined when it lacks a fact. */
export function endsFor(ends: Ends, facts: Facts): { from: number; below: number } | undefined {
  const unit = unitOf(ends.unit);
  if (!unit || lackingFacts(ends.facts, facts).length > 0) return undefined;
  const end = (formula: Expression | undefined, open: number): number =>
    formula === undefined
      ? open
      : fromSi(
          evaluate(codeOf(formula), (name) => amountOf(facts, factOfInput(name)) ?? Number.NaN),
          unit,
        );
  return { from: end(ends.from, Number.NEGATIVE_INFINITY), below: end(ends.below, Number.POSITIVE_INFINITY) };
}
function factOfInput(name: string): string {
  return name.slice("equipment.".length);
}

/** The step with the family's amounts in its formulas; itself when it asks for none. */
function withAmounts(step: Step, facts: Facts): Step {
  const { value, branches } = step;
  if (!value || (value.facts.length === 0 && branches.every(({ ends }) => !ends))) return step;
  const lacking = lackingFacts([...value.facts, ...branches.flatMap(({ ends }) => ends?.facts ?? [])], facts);
  const amount = (name: string): Expression | undefined => {
    const si = name.startsWith("equipment.") ? amountOf(facts, factOfInput(name)) : undefined;
    return si === undefined ? undefined : { kind: "number", value: si };
  };
  return {
    ...step,
    incomplete: step.incomplete || lacking.length > 0,
    value: {
      ...value,
      expression: substitute(value.expression, amount),
      use: value.use && {
        ...value.use,
        given: value.use.given.map((one) => ({ ...one, expression: substitute(one.expression, amount) })),
      },
    },
    branches: branches.map((branch) => (branch.ends ? { ...branch, range: endsFor(branch.ends, facts) } : branch)),
  };
}

/** Whether an `only-for` lets a family pass. A fact that the family lacks is none of the values. */
export function holds(condition: Condition, family: string, facts: Facts): boolean {
  if (condition.kind === "families") return condition.families.has(family);
  for (const [fact, values] of condition.facts) {
    const own = Object.hasOwn(facts, fact) ? facts[fact] : undefined;
    if (own === undefined || !values.some((value) => String(value) === String(own))) return false;
  }
  return true;
}

function factOf(facts: Facts, step: Step): Fact | undefined {
  return step.fact !== undefined && Object.hasOwn(facts, step.fact) ? facts[step.fact] : undefined;
}

function chosenCase(step: Step, facts: Facts): Branch | undefined {
  const fact = factOf(facts, step);
  const fits = fact === undefined ? undefined : step.branches.find((branch) => branch.value === String(fact));
  return fits ?? (fact === undefined ? undefined : step.branches.find((branch) => branch.value === undefined));
}

/** A step with one way on can be passed over by a family that it is not for; a choice can't, since who would make it? */
function canBePassed(step: Step): boolean {
  return step.kind === "do" || (step.kind === "use" && step.branches.length <= 1 && !step.incomplete);
}

function build(procedure: Procedure, families: readonly string[], allFamilies: boolean, world: World): Graph {
  const family = families[0] ?? "";
  const facts = factsOf(world, family);
  const isFor = (condition: Condition | undefined): boolean =>
    condition === undefined || holds(condition, family, facts);
  const index = new Map<string, number>();
  const passedOver = new Set<string>();
  const order: Step[] = [];
  for (const step of procedure.steps.values())
    if (isFor(step.onlyFor)) {
      index.set(step.id, order.length);
      order.push(withAmounts(step, facts));
    } else passedOver.add(step.id);
  const ends = [...procedure.outcomes.keys()];
  if (procedure.kind === "tree") ends.push("done");
  for (const [offset, end] of ends.entries()) index.set(end, order.length + offset);

  /** Follows the only way on of steps that are passed over. */
  const landing = (id: string): number => {
    const seen = new Set<string>();
    let at = id;
    for (;;) {
      const found = index.get(at);
      if (found !== undefined) return found;
      const step = procedure.steps.get(at);
      const next = step && canBePassed(step) ? step.branches[0]?.to : undefined;
      if (next === undefined || seen.has(at)) return -1;
      seen.add(at);
      at = next;
    }
  };
  const edge = (branch: Branch, to: string | undefined, kind: Edge["kind"]): Edge => {
    const target = to === undefined ? -1 : landing(to);
    return {
      to: target,
      branch,
      kind,
      broken: target >= 0 ? undefined : to === undefined ? "no-target" : "not-for-family",
    };
  };

  const nodes: GraphNode[] = order.map((step, position) => {
    let branches: readonly Branch[] = step.branches;
    let unsorted: GraphNode["unsorted"];
    if (step.kind === "sort") {
      const chosen = chosenCase(step, facts);
      branches = chosen ? [chosen] : [];
      if (!chosen && !step.incomplete) unsorted = factOf(facts, step) === undefined ? "no-fact" : "no-case";
    }
    const edges: Edge[] = [];
    for (const branch of branches) {
      if (!isFor(branch.onlyFor)) continue;
      // A cause that is found and has neither remedy nor proof is an end.
      if (step.kind === "found" && branch.to === undefined) continue;
      if (branch.again) {
        edges.push(edge(branch, branch.again.to, "again"), edge(branch, branch.again.else, "else"));
      } else edges.push(edge(branch, branch.to, "then"));
    }
    if (step.unlicensed) edges.push(edge(step.unlicensed, step.unlicensed.to, "unlicensed"));
    return { index: position, id: step.id, step, edges, unsorted };
  });
  for (const end of ends) nodes.push({ index: nodes.length, id: end, step: undefined, edges: [], unsorted: undefined });
  return {
    procedure,
    families,
    allFamilies,
    nodes,
    start: procedure.start === undefined ? -1 : landing(procedure.start),
    passedOver,
  };
}
