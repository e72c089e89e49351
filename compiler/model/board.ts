/**
 * What a whole base covers, as plain data: for the board on the site and for the command. Made of `coverage.ts`, which
 * says what minutes and shares are; places in files are left out.
 */
import type { CauseCoverage, CheckCoverage, GraphCoverage, TreeCoverage } from "./coverage.ts";

export interface Board {
  /** The day on which it was counted: YYYY-MM-DD. */
  readonly on: string;
  /** Pairs of symptom and equipment family. */
  readonly counts: Readonly<Record<Verdict | "not-applicable", number>>;
  /** Covered pairs of all that apply, 0 to 1; 1 where none applies. */
  readonly share: number;
  /** Pairs that apply, in the order of the catalogs: symptom by symptom, family by family. */
  readonly cells: readonly BoardCell[];
  /** Ordered by id. */
  readonly trees: readonly BoardTree[];
  /** Causes that the catalog lists for a symptom and that no tree for it names. */
  readonly neverConcluded: readonly { readonly symptom: string; readonly cause: string }[];
  /** Those overdue and those due soon, the most urgent first. */
  readonly reviews: readonly Review[];
}

export type Verdict = CauseCoverage["verdict"];

export interface BoardCell {
  readonly symptom: string;
  readonly family: string;
  readonly verdict: Verdict;
  /** Trees for the symptom that serve the family. */
  readonly trees: readonly string[];
  /** Why it is not covered, or not in whole; empty where it is. */
  readonly reasons: readonly Reason[];
}

export type Reason =
  | { readonly kind: "no-tree" }
  /** The tree has no table of causes for this equipment, so nobody can say what it finds. */
  | { readonly kind: "no-causes"; readonly tree: string }
  /** The catalog lists the cause for the symptom, and none of the trees names it. */
  | { readonly kind: "never-concluded"; readonly cause: string }
  | { readonly kind: "sometimes" | "never"; readonly tree: string; readonly cause: string };

export interface BoardTree
  extends Pick<TreeCoverage, "tree" | "path" | "symptom" | "notCovered" | "keepOrder" | "untimed"> {
  readonly groups: readonly BoardGroup[];
}

/** Families that meet the tree alike. */
export interface BoardGroup extends Omit<GraphCoverage, "causes" | "checks" | "pairs"> {
  readonly causes: readonly BoardCause[];
  readonly checks: readonly Pick<CheckCoverage, "step" | "answers" | "minutes">[];
  /** With both there: those for which the failed proof of the first does not always lead on to the second. */
  readonly pairs: GraphCoverage["pairs"];
  /**
   * Mean minutes of the checks alone, as the tree asks them and in the best order known; undefined where less than the
   * rule `better-order` asks for is saved, or the two can't be compared.
   */
  readonly order: { readonly now: number; readonly best: number; readonly isExact: boolean } | undefined;
}

export interface BoardCause extends Omit<CauseCoverage, "ends"> {
  readonly ends: readonly (Omit<CauseCoverage["ends"][number], "way"> & {
    readonly way: readonly { readonly step: string; readonly answer?: string }[];
  })[];
}

export interface Review {
  readonly kind: "tree" | "routine";
  readonly id: string;
  readonly reviewed: string;
  /** The last day on which the review is good. */
  readonly due: string;
  /** Below nought: overdue. */
  readonly daysLeft: number;
}

/** A review that is good for fewer days is due soon. */
export const SOON_DAYS = 60;
