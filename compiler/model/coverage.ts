/**
 * What a tree covers and what it costs, as plain data: for the coverage board, the command and the search for a better
 * order. Minutes count from the first step until the cause is named or the visit ends, repairs in vain included; steps
 * without `minutes` take none. Shares are parts of one.
 */
import type { WayStep } from "./complaint.ts";

export interface TreeCoverage {
  readonly tree: string;
  readonly path: string;
  readonly symptom: string;
  /** One for each group of families that meet the tree alike. */
  readonly graphs: readonly GraphCoverage[];
  /** Causes that the catalog lists for the symptom and the tree never names. */
  readonly notCovered: readonly string[];
  /** Why the order stays as it is. */
  readonly keepOrder: string | undefined;
  /** Steps that somebody does and that say no `minutes`. */
  readonly untimed: readonly string[];
}

export interface GraphCoverage {
  readonly families: readonly string[];
  readonly causes: readonly CauseCoverage[];
  readonly checks: readonly CheckCoverage[];
  /** Weighted by likelihood, over all causes; undefined where there is no cause, or one can't be timed. */
  readonly meanMinutes: number | undefined;
  readonly worstMinutes: number | undefined;
  /** By step: its share in the mean minutes, the largest first. Steps that take nothing are left out. */
  readonly spent: readonly { readonly step: string; readonly share: number }[];
  /** Pairs that no check tells apart, in the order of the table. */
  readonly alike: readonly (readonly [string, string])[];
  readonly withoutCause: readonly { readonly step: string; readonly answer: string }[];
  /** With both there: whether the ways on from the failed proof of the first come to the second. */
  readonly pairs: readonly {
    readonly first: string;
    readonly second: string;
    readonly reaches: "always" | "sometimes" | "never";
  }[];
}

export interface CauseCoverage {
  readonly cause: string;
  /** As it is written, relative to the others. */
  readonly likelihood: number;
  readonly basis: string | undefined;
  /** Part of the likelihoods of all causes that the equipment can have. */
  readonly share: number;
  /** By check: the answers it may show there. */
  readonly shows: Readonly<Record<string, readonly string[]>>;
  readonly verdict: "covered" | "partly" | "not";
  readonly ends: readonly CauseEnd[];
  readonly meanMinutes: number | undefined;
  readonly worstMinutes: number | undefined;
  /** `found` steps of other causes whose repair may be made before. */
  readonly inVain: readonly string[];
}

export interface CauseEnd {
  readonly kind: "found" | "misled" | "stranded";
  /** The `found` or `stop` step, or the proof that can only succeed. */
  readonly step: string;
  /** Where it is a stop inside a routine: the step that uses the routine. */
  readonly inside: string | undefined;
  /** The cause that was named instead. */
  readonly named: string | undefined;
  /** Of the visits for this cause; undefined where it can't be told. */
  readonly share: number | undefined;
  /** A shortest one. */
  readonly way: readonly WayStep[];
}

export interface CheckCoverage {
  readonly step: string;
  readonly answers: readonly string[];
  /** Mean over the answers, the routine it uses included; undefined where that can't be timed. */
  readonly minutes: number | undefined;
  readonly needs: readonly string[];
  readonly sets: readonly string[];
  readonly clears: readonly string[];
}
