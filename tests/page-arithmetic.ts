/** How much of a walk's page is arithmetic: for the promise that it stays small. */
import { readFileSync } from "node:fs";
import { gzipSync } from "node:zlib";
import type { Plan } from "../site/src/walk/plan.ts";

/**
 * Bytes, compressed, of all that is there because something is computed: bounds, formulas, facts and pairs of units of
 * the tree, and the evaluator. The evaluator counts with its comments and types, so the page itself has less.
 */
export function arithmeticSize({ steps, units }: Plan): number {
  const sums = Object.values(steps).flatMap((step) =>
    step.kind === "measure" ? [step.readings, step.value, step.facts, step.said] : [],
  );
  const evaluator = readFileSync(new URL("../compiler/model/formula.ts", import.meta.url), "utf8");
  return gzipSync(JSON.stringify([sums, units]) + evaluator, { level: 9 }).length;
}

/** The plan in the HTML of a tree's page. */
export function planIn(html: string): Plan {
  const [, json] = /<script[^>]* data-plan[^>]*>([\s\S]*?)<\/script>/.exec(html) ?? [];
  if (json === undefined) throw new Error("the page holds no plan");
  return JSON.parse(json) as Plan;
}
