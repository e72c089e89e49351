/** What the trees cover and what they cost. It asks the same facts as the rules, and has no analysis of its own. */
import { graphsOf } from "../4-specialise/specialise.ts";
import type { Procedure, World } from "../model/base.ts";
import type { CauseCoverage, CheckCoverage, GraphCoverage, TreeCoverage } from "../model/coverage.ts";
import type { Graph } from "../model/graph.ts";
import { type CauseFacts, type CauseWalk, type Check, causeFacts } from "./facts/causes.ts";
import { answersWithoutCause, causesNotNamed } from "./facts/covered.ts";
import { insides, minutesOf } from "./facts/routine-minutes.ts";

/** Undefined for a routine. */
export function coverageOf(tree: Procedure, world: World): TreeCoverage | undefined {
  const { file } = tree;
  if (file.kind !== "tree") return undefined;
  const graphs = treeGraphs(tree, world);
  return {
    tree: tree.id,
    path: file.path,
    symptom: file.data.symptom,
    graphs: graphs.map((graph) => graphCoverage(graph, world)),
    notCovered: causesNotNamed(tree, graphs, world).map(({ id }) => id),
    keepOrder: tree.keepOrder,
    untimed: [...tree.steps.values()].flatMap(({ id, kind, minutes }) =>
      minutes === undefined && (kind === "look" || kind === "measure" || kind === "do") ? [id] : [],
    ),
  };
}

export function treeGraphs(tree: Procedure, world: World): readonly Graph[] {
  return graphsOf(
    tree,
    tree.serves.map(({ id }) => id),
    world,
  );
}

function graphCoverage(graph: Graph, world: World): GraphCoverage {
  const facts = causeFacts(graph, world);
  const walks = facts.causes.map((cause) => facts.walk(cause));
  const weight = walks.reduce((sum, { row }) => sum + row.likelihood, 0);
  const isTimed = walks.length > 0 && walks.every(({ minutes }) => minutes);
  const mean = walks.reduce((sum, { row, minutes }) => sum + (row.likelihood / weight) * (minutes?.mean ?? 0), 0);
  return {
    families: graph.families,
    causes: walks.map((walk) => causeCoverage(walk, facts, weight)),
    checks: facts.checks.map((check) => checkCoverage(check, graph, world)),
    meanMinutes: isTimed ? mean : undefined,
    worstMinutes: isTimed ? Math.max(...walks.map(({ minutes }) => minutes?.worst ?? 0)) : undefined,
    spent: isTimed ? spentBy(walks, graph, weight) : [],
    alike: facts.causes.flatMap((first, i) =>
      facts.causes
        .slice(i + 1)
        .flatMap((second) => (facts.apart(first, second) ? [] : [[first.id, second.id] as const])),
    ),
    withoutCause: answersWithoutCause(graph, world).map(({ step, answer }) => ({ step: step.id, answer })),
    pairs: facts.causes.flatMap((first) =>
      facts.causes.flatMap((second) =>
        first === second ? [] : [{ first: first.id, second: second.id, reaches: facts.second(first, second) }],
      ),
    ),
  };
}

function causeCoverage(walk: CauseWalk, facts: CauseFacts, weight: number): CauseCoverage {
  const { row, ends, minutes, inVain } = walk;
  const found = ends.filter(({ kind }) => kind === "found").length;
  return {
    cause: row.id,
    likelihood: row.likelihood,
    basis: row.basis,
    share: row.likelihood / weight,
    shows: Object.fromEntries(facts.checks.map((check) => [check.step.id, facts.shown(row, check)])),
    verdict: found === 0 ? "not" : found === ends.length && walk.isComplete ? "covered" : "partly",
    ends: ends.map(({ kind, step, inside, named, share, way }) => ({
      kind,
      step: step.id,
      inside: inside?.id,
      named,
      share,
      way,
    })),
    meanMinutes: minutes?.mean,
    worstMinutes: minutes?.worst,
    inVain: inVain.map(({ id }) => id),
  };
}

function checkCoverage({ node, step, answers }: Check, graph: Graph, world: World): CheckCoverage {
  const inside = insides(graph, world)[node];
  const edges = graph.nodes[node]?.edges ?? [];
  const times = answers.map((answer) => {
    const edge = edges.find(({ branch, kind }) => branch.id === answer && kind !== "unlicensed");
    return edge && minutesOf(step, edge, inside)?.mean;
  });
  const isTimed = times.every((time) => time !== undefined);
  return {
    step: step.id,
    answers,
    minutes: isTimed ? times.reduce((sum, time) => sum + time, 0) / times.length : undefined,
    needs: step.needs.map(({ id }) => id),
    sets: step.sets.map(({ id }) => id),
    clears: step.clears.map(({ id }) => id),
  };
}

function spentBy(walks: readonly CauseWalk[], graph: Graph, weight: number): GraphCoverage["spent"] {
  const spent = new Map<number, number>();
  for (const { row, spent: own } of walks)
    for (const [node, minutes] of own) spent.set(node, (spent.get(node) ?? 0) + (row.likelihood / weight) * minutes);
  const all = [...spent.values()].reduce((sum, minutes) => sum + minutes, 0);
  return [...spent]
    .map(([node, minutes]) => ({ step: graph.nodes[node]?.id ?? "", share: minutes / all }))
    .sort((a, b) => b.share - a.share || (a.step < b.step ? -1 : 1));
}
