/** Runs every rule over one procedure, and joins what it finds for several families into one finding each. */
import { graphsOf } from "../4-specialise/specialise.ts";
import type { Procedure, World } from "../model/base.ts";
import type { Finding } from "../model/complaint.ts";
import type { Graph } from "../model/graph.ts";
import { GraphFacts } from "./facts/graph-facts.ts";
import { filesOfBase, proseOf } from "./facts/prose.ts";
import type { BaseView, Rule } from "./rule.ts";

export interface Analysis {
  readonly findings: readonly Finding[];
  readonly graphs: readonly Graph[];
}

/** @param families For a tree those it serves; for a routine those of every tree that uses it. */
export function analyseProcedure(
  procedure: Procedure,
  families: readonly string[],
  world: World,
  rules: readonly Rule[],
  today: string,
): Analysis {
  const graphs = graphsOf(procedure, families, world);
  const facts = graphs.map((graph) => new GraphFacts(graph, world));
  const findings: Finding[] = [];
  for (const rule of rules) {
    if (rule.onGraph) {
      const joined = new Map<string, { finding: Finding; families: string[] }>();
      for (const one of facts)
        for (const found of rule.onGraph(one)) {
          const key = `${found.at.file} ${found.at.start} ${found.message}`;
          const earlier = joined.get(key);
          if (earlier) earlier.families.push(...one.graph.families);
          else
            joined.set(key, {
              finding: { rule: rule.name, ...found },
              families: [...one.graph.families],
            });
        }
      for (const { finding, families: concerned } of joined.values())
        findings.push({ ...finding, families: concerned, allFamilies: concerned.length === families.length });
    }
    if (rule.onProcedure)
      for (const found of rule.onProcedure({ procedure, graphs: facts, world, today }))
        findings.push({ rule: rule.name, ...found });
    for (const found of rule.onTexts?.(proseOf(procedure.file), world) ?? [])
      findings.push({ rule: rule.name, ...found });
  }
  return { findings, graphs };
}

export function analyseFormulas({ formulas }: World, rules: readonly Rule[]): Finding[] {
  return rules.flatMap((rule) =>
    [...formulas.values()].flatMap((formula) =>
      [...(rule.onFormula?.(formula) ?? [])].map((found) => ({ rule: rule.name, ...found })),
    ),
  );
}

export function analyseBase(view: BaseView, rules: readonly Rule[]): Finding[] {
  const files = filesOfBase(view.world);
  return rules.flatMap((rule) =>
    [
      ...(rule.onBase?.(view) ?? []),
      ...files.flatMap((file) => [...(rule.onTexts?.(proseOf(file), view.world) ?? [])]),
    ].map((found) => ({ rule: rule.name, ...found })),
  );
}
