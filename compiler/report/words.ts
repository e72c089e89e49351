/** Sentences that more than one renderer says. */

import type { Result } from "../compile.ts";
import type { Complaint } from "../model/complaint.ts";

/** Whom it holds for; empty when that is everybody or has no meaning here. */
export function familyWords({ families, allFamilies }: Pick<Complaint, "families" | "allFamilies">): string {
  if (!families || families.length === 0 || allFamilies) return "";
  return families.join(", ");
}

/** What holds behind a step of a way. */
export function stateWords(states: readonly string[]): string {
  return states.length === 0 ? "[nothing]" : `[${states.join(", ")}]`;
}

export function count(number: number, one: string, many = `${one}s`): string {
  return `${number.toLocaleString("en")} ${number === 1 ? one : many}`;
}

/** "2 errors, 1 warning in 12 files (3 trees, 7 routines)". */
export function summaryOf({ complaints, accepted, counts }: Result): string {
  const of = (severity: Complaint["severity"]): number => complaints.filter((c) => c.severity === severity).length;
  const found = [
    of("error") > 0 ? count(of("error"), "error") : "",
    of("warning") > 0 ? count(of("warning"), "warning") : "",
    of("advice") > 0 ? count(of("advice"), "piece of advice", "pieces of advice") : "",
  ].filter(Boolean);
  const where = `${count(counts.files, "file")} (${count(counts.trees, "tree")}, ${count(counts.routines, "routine")}), ${count(counts.graphs, "combination")} of tree and equipment`;
  const silenced = accepted.length > 0 ? `, ${accepted.length} accepted with a reason` : "";
  return found.length === 0 ? `no complaints in ${where}${silenced}` : `${found.join(", ")}${silenced} in ${where}`;
}
