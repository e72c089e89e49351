/** The coverage of all trees put together: which symptom is covered on which equipment, and if not, why. */
import { conditionOf } from "../3-link/linker.ts";
import { holds } from "../4-specialise/specialise.ts";
import type { Procedure, World } from "../model/base.ts";
import { type Board, type BoardCell, type BoardTree, type Reason, type Review, SOON_DAYS } from "../model/board.ts";
import type { GraphCoverage, TreeCoverage } from "../model/coverage.ts";
import type { Graph } from "../model/graph.ts";
import { coverageOf, treeGraphs } from "./coverage.ts";
import { checkOrder, WORTH_IT } from "./facts/check-order.ts";
import { validDays } from "./facts/review.ts";

/** @param today YYYY-MM-DD */
export function boardOf(world: World, trees: readonly Procedure[], today: string): Board {
  const { symptoms, equipment } = world.catalogs;
  const counted = trees.flatMap((tree) => {
    const coverage = coverageOf(tree, world);
    return coverage ? [{ coverage, graphs: treeGraphs(tree, world) }] : [];
  });
  const bySymptom = new Map<string, TreeCoverage[]>();
  for (const { coverage } of counted)
    bySymptom.set(coverage.symptom, [...(bySymptom.get(coverage.symptom) ?? []), coverage]);
  const neverConcluded = [...symptoms.keys()].flatMap((symptom) =>
    neverNamed(symptom, bySymptom.get(symptom) ?? [], world).map((cause) => ({ symptom, cause })),
  );
  const cells = [...symptoms.values()].flatMap(({ id: symptom, entry, at }) => {
    const all = bySymptom.get(symptom) ?? [];
    const never = neverConcluded.flatMap((one) => (one.symptom === symptom ? [one.cause] : []));
    const seenOn = entry["seen-on"] && conditionOf(entry["seen-on"], at);
    return [...equipment.values()].flatMap(({ id: family, entry: { area, facts } }) => {
      const serving = all.filter(({ graphs }) => graphs.some(({ families }) => families.includes(family)));
      const applies = seenOn ? holds(seenOn, family, facts) : area === entry.area;
      if (serving.length === 0 && !applies) return [];
      return [cellOf(symptom, family, serving, never)];
    });
  });
  const count = (verdict: BoardCell["verdict"]): number => cells.filter((cell) => cell.verdict === verdict).length;
  const covered = count("covered");
  return {
    on: today,
    counts: {
      covered,
      partly: count("partly"),
      not: count("not"),
      "not-applicable": symptoms.size * equipment.size - cells.length,
    },
    share: cells.length === 0 ? 1 : covered / cells.length,
    cells,
    trees: counted.map(({ coverage, graphs }) => boardTree(coverage, graphs, world)),
    neverConcluded,
    reviews: reviewsOf([...trees, ...world.routines.values()], world, today),
  };
}

/** Without a tree, all causes of the symptom are. */
function neverNamed(symptom: string, all: readonly TreeCoverage[], { catalogs }: World): string[] {
  const listed = [...catalogs.causes.values()].filter(({ entry }) => entry.symptoms.includes(symptom));
  return listed.map(({ id }) => id).filter((id) => all.every(({ notCovered }) => notCovered.includes(id)));
}

/** With several trees for one pair, a cause is covered where one of them always finds it. */
function cellOf(
  symptom: string,
  family: string,
  serving: readonly TreeCoverage[],
  neverConcluded: readonly string[],
): BoardCell {
  const cell = { symptom, family, trees: serving.map(({ tree }) => tree) };
  if (serving.length === 0) return { ...cell, verdict: "not", reasons: [{ kind: "no-tree" }] };
  const graphs = serving.flatMap(({ tree, graphs: all }) =>
    all.filter(({ families }) => families.includes(family)).map((graph) => ({ tree, graph })),
  );
  const found = new Set(graphs.flatMap(({ graph }) => graph.causes.filter(isCovered).map(({ cause }) => cause)));
  const reasons: Reason[] = [];
  for (const { tree, graph } of graphs) {
    if (graph.causes.length === 0) reasons.push({ kind: "no-causes", tree });
    for (const { cause, verdict } of graph.causes)
      if (!found.has(cause)) reasons.push({ kind: verdict === "partly" ? "sometimes" : "never", tree, cause });
  }
  for (const cause of neverConcluded) reasons.push({ kind: "never-concluded", cause });
  const none = graphs.every(
    ({ graph }) => graph.causes.length > 0 && graph.causes.every(({ verdict }) => verdict === "not"),
  );
  return { ...cell, verdict: reasons.length === 0 ? "covered" : none ? "not" : "partly", reasons };
}
function isCovered({ verdict }: GraphCoverage["causes"][number]): boolean {
  return verdict === "covered";
}

function boardTree(coverage: TreeCoverage, specialised: readonly Graph[], world: World): BoardTree {
  const { graphs, ...tree } = coverage;
  return {
    ...tree,
    groups: graphs.map((graph, i) => {
      const known = specialised[i];
      const order = known && checkOrder(known, world, WORTH_IT);
      return {
        ...graph,
        causes: graph.causes.map((cause) => ({
          ...cause,
          ends: cause.ends.map(({ way, ...end }) => ({ ...end, way: way.map(({ at, states, ...step }) => step) })),
        })),
        checks: graph.checks.map(({ step, answers, minutes }) => ({ step, answers, minutes })),
        pairs: graph.pairs.filter(({ reaches }) => reaches !== "always"),
        order: order && { now: order.now, best: order.best.mean, isExact: order.best.isExact },
      };
    }),
  };
}

const DAY_MS = 86_400_000;
function reviewsOf(procedures: readonly Procedure[], world: World, today: string): Review[] {
  const good = validDays(world);
  return procedures
    .flatMap(({ kind, id, data }): Review[] => {
      const on = Date.parse(data.reviewed.on);
      if (Number.isNaN(on)) return [];
      const due = on + good * DAY_MS;
      const daysLeft = Math.floor((due - Date.parse(today)) / DAY_MS);
      if (daysLeft >= SOON_DAYS) return [];
      return [{ kind, id, reviewed: data.reviewed.on, due: new Date(due).toISOString().slice(0, 10), daysLeft }];
    })
    .sort((a, b) => a.daysLeft - b.daysLeft || (a.kind + a.id < b.kind + b.id ? -1 : 1));
}
