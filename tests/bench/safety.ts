/** What the safety analysis costs: the rules of its group over specialised graphs, reachability known. */

import { parseFile } from "../../compiler/1-parse/parse.ts";
import { quickValidator } from "../../compiler/2-shape/validators.ts";
import { specialise } from "../../compiler/4-specialise/specialise.ts";
import { GraphFacts } from "../../compiler/5-analyse/facts/graph-facts.ts";
import { Compiler, rules, type SourceFile } from "../../compiler/index.ts";
import { largeBase } from "./large-base.ts";

const TODAY = "2026-10-10";
const ROUNDS = 7;
const safety = rules.filter(({ group }) => group === "safety");

type Linked = ReturnType<Compiler["linked"]>;
const link = (files: readonly SourceFile[]): Linked => new Compiler({ today: TODAY }).linked({ files, pictures: [] });

/** Milliseconds for one pass over all trees of a base. */
function analysis({ world, trees }: Linked): number {
  let spent = 0;
  for (const procedure of trees) {
    const families = procedure.serves.map(({ id }) => id);
    const graphs = specialise(procedure, families, world).map((graph) => new GraphFacts(graph, world));
    for (const facts of graphs) facts.reachable;
    const start = performance.now();
    let found = 0;
    for (const { onGraph, onProcedure } of safety) {
      if (onGraph) for (const facts of graphs) for (const _ of onGraph(facts)) found++;
      if (onProcedure) for (const _ of onProcedure({ procedure, graphs, world, today: TODAY })) found++;
    }
    spent += performance.now() - start;
    if (found > 0) throw new Error(`${procedure.id} is to be sound, and has ${found} faults`);
  }
  return spent;
}

/** The best of several rounds, in turns. */
function best(...works: readonly (() => number)[]): number[] {
  const times = works.map(() => Number.POSITIVE_INFINITY);
  for (let round = 0; round < ROUNDS; round++)
    for (const [i, work] of works.entries()) times[i] = Math.min(times[i] ?? 0, work());
  return times;
}

/** One tree in which every fourth step brings a state about, relies on it and ends it. */
function longTree(steps: number, families: number): SourceFile[] {
  const body = Array.from({ length: steps }, (_, i) => {
    const next = i + 1 < steps ? `step-${i + 1}` : "end";
    const work = ["sets: [bypassed]", "needs: [bypassed]", "clears: [bypassed]", "minutes: 1"][i % 4];
    return i % 4 === 3
      ? `  step-${i}: {look: Does it drip?, answers: {drips: ${next}, dry: end}}`
      : `  step-${i}: {do: Turn it, ${work}, then: ${next}}`;
  });
  const served = Array.from({ length: families }, (_, i) => `own-${i}`);
  return baseWith(`start: by-number
serves: [${served.join(", ")}]
steps:
  by-number: {sort: equipment.number, cases: {${served.map((_, i) => `${i}: step-${4 * i}`).join(", ")}}}
${body.join("\n")}
  end: {stop: That is all, kind: normal, leaves: {bypassed: The house has water}}
`);
}

function baseWith(tree: string, routines: readonly SourceFile[] = []): SourceFile[] {
  return [
    ...largeBase(0),
    ...routines,
    // Each begins the tree at another step, so that no two have the same graph.
    {
      path: "catalog/own.yaml",
      text: `format: 1\nequipment:\n${Array.from({ length: 12 }, (_, i) => `  own-${i}: {title: Own ${i}, looks: A box, area: units, facts: {number: ${i}}}`).join("\n")}\n`,
    },
    {
      path: "units/tree.yaml",
      text: `format: 1\ntree: tree\ntitle: A tree\nsymptom: symptom-0\nreviewed: {on: 2026-10-02, by: the generator}\n${tree}`,
    },
  ];
}

/** A routine that uses the next, eight deep; the innermost brings a state about and ends it. */
const nested: readonly SourceFile[] = Array.from({ length: 8 }, (_, i) => ({
  path: `routines/nested-${i}.yaml`,
  text: `format: 1
routine: nested-${i}
title: Nested ${i}
reviewed: {on: 2026-10-02, by: the generator}
steps:
  - do: Turn it
    sets: [bypassed]
  - ${i < 7 ? `use: nested-${i + 1}` : "do: Look at it\n    needs: [bypassed]"}
  - do: Turn it back
    clears: [bypassed]
`,
}));
function using(times: number): SourceFile[] {
  const body = Array.from({ length: 50 }, (_, i) => {
    const next = i < 49 ? `step-${i + 1}` : "end";
    return i < times ? `  step-${i}: {use: nested-0, then: ${next}}` : `  step-${i}: {do: Turn it, then: ${next}}`;
  });
  return baseWith(
    `start: step-0\nserves: [own-0]\nsteps:\n${body.join("\n")}\n  end: {stop: That is all, kind: normal}\n`,
    nested,
  );
}

export interface SafetyFigures {
  readonly analysisMs: number;
  readonly validationMs: number;
  /** Time per step of a tree of 800 steps against one of 100. */
  readonly bySteps: number;
  /** Time per family of a tree for twelve families against one for two. */
  readonly byFamilies: number;
  /** A routine nested eight deep, used 50 times, against the same used once. */
  readonly byUses: number;
}

export function measureSafety(): SafetyFigures {
  const large = largeBase(1000);
  const linked = link(large);
  const data = large.flatMap((file) => (file.path.startsWith("area-") ? [parseFile(file).value?.data] : []));
  const validate = (): number => {
    const start = performance.now();
    for (const one of data) quickValidator("tree")(one);
    return performance.now() - start;
  };
  const [analysisMs = 0, validationMs = 0] = best(() => analysis(linked), validate);
  // Linked anew each time, so that the routines have to be summed up again.
  const many = (files: readonly SourceFile[]) => (): number => {
    let sum = 0;
    for (let i = 0; i < 10; i++) sum += analysis(link(files));
    return sum;
  };
  const [long = 0, short = 0, twelve = 0, two = 0, often = 0, once = 0] = best(
    many(longTree(800, 3)),
    many(longTree(100, 3)),
    many(longTree(100, 12)),
    many(longTree(100, 2)),
    many(using(50)),
    many(using(1)),
  );
  return {
    analysisMs,
    validationMs,
    bySteps: long / 8 / short,
    byFamilies: twelve / 6 / two,
    byUses: often / once,
  };
}
