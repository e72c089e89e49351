/**
 * How a walk goes on from a check of which its reader is not sure.
 *
 * Two things are asked of every way on. It must be as safe as those that were proven: another check is asked out of its
 * turn only where nothing between changes a state, and where every caution that it or what follows may count on has been
 * given already. And it must be right: an answer is taken as given only when every cause that is still possible can show
 * it, so that the tree finds each of them from there.
 *
 * A check with an answer that no cause shows asks about more than the cause (whether a place is safe, say). Nothing else
 * can answer that, so whoever is not sure of it hands over. So does whoever is not sure of a proof, or inside a routine.
 */

import type { World } from "../../model/base.ts";
import type { Unsure } from "../../model/compiled.ts";
import { gain, likelihood, type Suspect } from "../../model/evidence.ts";
import type { Edge, Graph, GraphNode } from "../../model/graph.ts";
import { Kept } from "../../model/kept.ts";
import { causeFacts } from "./causes.ts";
import { hasBit } from "./flow.ts";
import { GraphFacts } from "./graph-facts.ts";
import { type GivenNotes, givenNotes } from "./notes.ts";
import { stateFacts } from "./states.ts";

/** More checks than this in place of one are a burden, not a help. */
const MOST_ASKED = 3;
/** Of the checks that could be asked next, the best few: in a large tree, all would take too long. */
const MOST_TRIED = 4;

/** What the causes of a tree show to the families of the graph, in the author's order. */
export function suspectsOf(graph: Graph, world: World): Suspect[] {
  const facts = causeFacts(graph, world);
  const proofs = graph.nodes.filter(({ step }) => step?.isProof);
  return facts.causes.map((cause) => {
    const shows = new Map<string, readonly string[]>();
    for (const check of facts.checks) {
      const shown = facts.shown(cause, check);
      const isSaid = shown.some((answer) => cause.shows.get(check.step.id)?.includes(answer));
      if (isSaid || shown.length < check.answers.length) shows.set(check.step.id, shown);
    }
    // Once mended, it shows nothing but that the fault is gone.
    for (const { id, step, edges } of proofs)
      if (graph.procedure.steps.get(step?.of ?? "")?.cause?.id === cause.id)
        shows.set(
          id,
          edges.filter(({ to }) => to >= 0 && graph.nodes[to]?.step === undefined).map(({ branch }) => branch.id),
        );
    return { id: cause.id, weight: cause.likelihood, shows };
  });
}

function isCheck(step: GraphNode["step"]): boolean {
  return step?.kind === "look" || step?.kind === "measure";
}

/** Its answers, ranges or outcomes for these families, each once. Asked for over and over, so kept. */
function answersOf(node: GraphNode): readonly string[] {
  let answers = answersByNode.get(node);
  if (!answers) {
    answers = [...new Set(node.edges.filter(({ kind }) => kind !== "unlicensed").map(({ branch }) => branch.id))];
    answersByNode.set(node, answers);
  }
  return answers;
}
const answersByNode = new Kept<GraphNode, readonly string[]>();

/** By check of the tree; a check that is not there hands over. */
export function unsureOf(graph: Graph, suspects: readonly Suspect[], world: World): Record<string, Unsure> {
  const found: Record<string, Unsure> = {};
  const facts = new GraphFacts(graph, world);
  const notes = givenNotes(graph, world);
  const readLater = new Set(
    graph.nodes.flatMap(({ step }) => [...(step?.value?.inputs.values() ?? [])].map((input) => input.step)),
  );
  const comesTo = suspects.map((suspect) => reachedBy(graph, suspect));
  for (const node of graph.nodes) {
    const { index, id, step } = node;
    if (!isCheck(step) || step?.of !== undefined || facts.reachable[index] !== 1 || readLater.has(id)) continue;
    const possible = suspects.filter((_, i) => comesTo[i]?.has(index));
    const isShown = (answer: string) => possible.some(({ shows }) => shows.get(id)?.includes(answer));
    if (!answersOf(node).every(isShown)) continue;
    const way = decide({ graph, node, known: new Map() }, possible, insteadOf(graph, node, facts, notes), 0);
    if (way) found[id] = way;
  }
  return found;
}

/** Every node that a visit to this cause can come to. */
function reachedBy(graph: Graph, { shows }: Suspect): ReadonlySet<number> {
  const seen = new Set([graph.start]);
  for (const at of seen) {
    const node = graph.nodes[at];
    const shown = node && shows.get(node.id);
    for (const { to, kind, branch } of node?.edges ?? [])
      if (to >= 0 && (kind === "unlicensed" || shown === undefined || shown.includes(branch.id))) seen.add(to);
  }
  return seen;
}

/** Changes nothing and asks for nothing, so that the reader may as well not have been there. */
function isQuiet({ step }: GraphNode): boolean {
  if (!step || (step.kind !== "sort" && !isCheck(step))) return false;
  return step.sets.length === 0 && step.clears.length === 0 && !step.licence && !step.unlicensed;
}

/** The checks that may be asked in place of one, the nearest first. */
function insteadOf(graph: Graph, from: GraphNode, facts: GraphFacts, notes: GivenNotes): GraphNode[] {
  const { world } = facts;
  if (!isQuiet(from)) return [];
  const states = stateFacts(graph, world);
  const behind = new Set<number>();
  for (let at = facts.dominators[from.index] ?? -1; at >= 0 && !behind.has(at); at = facts.dominators[at] ?? -1)
    behind.add(at);
  const isRead = (step: string | undefined) =>
    step === undefined || [...behind].some((one) => graph.nodes[one]?.id === step);
  const isSafe = ({ index, step }: GraphNode): boolean => {
    const [here, there] = [states.mustBefore(from.index), states.mustBefore(index)];
    const needs = step?.needs.map(({ id }) => states.bit(id)) ?? [];
    return (
      here !== undefined &&
      there?.every((word, w) => (word & ~(here[w] as number)) === 0) === true &&
      needs.every((bit) => bit !== undefined && hasBit(here, bit)) &&
      [...world.catalogs.hazards.keys()].every(
        (hazard) => !notes.has(index, hazard) || notes.has(from.index, hazard) || notes.here(index, hazard),
      )
    );
  };
  const seen = new Set([from.index]);
  const found: GraphNode[] = [];
  for (const at of seen) {
    const node = graph.nodes[at];
    if (!node || !isQuiet(node)) continue;
    if (at !== from.index && isCheck(node.step)) {
      const inputs = [...(node.step?.value?.inputs.values() ?? [])];
      if (isSafe(node) && inputs.every(({ step }) => isRead(step))) found.push(node);
    }
    for (const { to, kind } of node.edges) if (to >= 0 && kind === "then") seen.add(to);
  }
  return found;
}

interface Question {
  readonly graph: Graph;
  /** The check that is in doubt. */
  readonly node: GraphNode;
  /** Different answers often leave the same causes and checks. */
  readonly known: Map<string, Unsure | undefined>;
}

function decide(
  question: Question,
  possible: readonly Suspect[],
  instead: readonly GraphNode[],
  asked: number,
): Unsure | undefined {
  const key = `${possible.map(({ id }) => id).join()} ${instead.map(({ index }) => index).join()}`;
  if (question.known.has(key)) return question.known.get(key);
  const way = takes(question.node, possible) ?? asks(question, possible, instead, asked);
  question.known.set(key, way);
  return way;
}

function canShow({ shows }: Suspect, check: string, answer: string): boolean {
  return shows.get(check)?.includes(answer) !== false;
}

function takes(node: GraphNode, possible: readonly Suspect[]): Unsure | undefined {
  if (possible.length === 0) return undefined;
  // A repeat would only ask again.
  const take = answersOf(node).find(
    (answer) =>
      possible.every((one) => canShow(one, node.id, answer)) &&
      node.edges.some(({ kind, branch }) => kind === "then" && branch.id === answer),
  );
  return take === undefined ? undefined : { take };
}

function asks(
  question: Question,
  possible: readonly Suspect[],
  instead: readonly GraphNode[],
  asked: number,
): Unsure | undefined {
  if (possible.length === 0 || asked === MOST_ASKED) return undefined;
  const { graph, node } = question;
  const ranked = instead
    .map((check) => ({ check, tells: tellsOf(node, check, possible) }))
    .filter(({ tells }) => tells > 1e-9)
    .sort((one, other) => other.tells - one.tells)
    .slice(0, MOST_TRIED);
  for (const { check } of ranked) {
    const others = instead.filter((one) => one !== check);
    const leadsTo: Record<string, Unsure> = {};
    for (const answer of answersOf(check)) {
      const left = possible.filter((one) => canShow(one, check.id, answer));
      // What no cause shows is about more than the cause: there the check itself says how to end.
      const way = possible.some(({ shows }) => shows.get(check.id)?.includes(answer))
        ? decide(question, left, others, asked + 1)
        : endsBy(graph, check, answer);
      if (way) leadsTo[answer] = way;
    }
    if (!Object.values(leadsTo).some((way) => !("own" in way))) continue;
    const unsure = decide(question, possible, others, asked + 1);
    return { ask: check.id, answers: leadsTo, ...(unsure && { unsure }) };
  }
  return undefined;
}

function endsBy(graph: Graph, check: GraphNode, answer: string): Unsure | undefined {
  const edge: Edge | undefined = check.edges.find(({ kind, branch }) => kind === "then" && branch.id === answer);
  return graph.nodes[edge?.to ?? -1]?.step?.kind === "stop" ? { own: true } : undefined;
}

/** How much the answer to one check tells of the answer to another, in bits. */
function tellsOf(node: GraphNode, check: GraphNode, possible: readonly Suspect[]): number {
  const [wanted, given] = [answersOf(node), answersOf(check)];
  const one = (suspect: Suspect, at: GraphNode, all: readonly string[], answer: string) =>
    likelihood(suspect.shows.get(at.id), all, answer);
  return gain(
    given.map((second) =>
      wanted.map((first) =>
        possible.reduce(
          (sum, suspect) =>
            sum + suspect.weight * one(suspect, node, wanted, first) * one(suspect, check, given, second),
          0,
        ),
      ),
    ),
  );
}
