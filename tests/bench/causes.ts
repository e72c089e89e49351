/** What it costs to walk every cause through its tree: the rules of the group over specialised graphs, against the whole check. */
import { specialise } from "../../compiler/4-specialise/specialise.ts";
import { causePairs } from "../../compiler/5-analyse/facts/cause-pairs.ts";
import { GraphFacts } from "../../compiler/5-analyse/facts/graph-facts.ts";
import { Compiler, coverageOf, type Input, rules } from "../../compiler/index.ts";

const TODAY = "2026-10-10";
const ROUNDS = 5;
const ofCauses = rules.filter(({ group }) => group === "causes");

interface CauseFigures {
  /** Of all trees: the five rules, with the pairs that are kept of each tree. */
  readonly walkMs: number;
  readonly checkMs: number;
  /** What the board and the command ask for on top: pairs of faults, shares of time, tables. */
  readonly coverageMs: number;
}

/** The best of several rounds; each walks graphs made anew, since what was walked is kept with them. */
export function measureCauses(input: Input): CauseFigures {
  const best = {
    walkMs: Number.POSITIVE_INFINITY,
    checkMs: Number.POSITIVE_INFINITY,
    coverageMs: Number.POSITIVE_INFINITY,
  };
  for (let round = 0; round < ROUNDS; round++) {
    const compiler = new Compiler({ today: TODAY });
    const began = performance.now();
    compiler.check(input);
    best.checkMs = Math.min(best.checkMs, performance.now() - began);
    const { world, trees } = compiler.linked(input);
    let walked = 0;
    for (const procedure of trees) {
      const families = procedure.serves.map(({ id }) => id);
      const graphs = specialise(procedure, families, world);
      const facts = graphs.map((graph) => new GraphFacts(graph, world));
      for (const one of facts) one.reachable;
      const start = performance.now();
      for (const { onGraph, onProcedure } of ofCauses) {
        if (onGraph) for (const one of facts) for (const _ of onGraph(one));
        if (onProcedure) for (const _ of onProcedure({ procedure, graphs: facts, world, today: TODAY }));
      }
      causePairs(graphs, families.length, world);
      walked += performance.now() - start;
    }
    best.walkMs = Math.min(best.walkMs, walked);
    const start = performance.now();
    for (const tree of trees) coverageOf(tree, world);
    best.coverageMs = Math.min(best.coverageMs, performance.now() - start);
  }
  return best;
}
