/** What a rule is. One file in `checks/` exports one; the registry is generated from the folder's listing. */
import type { Formula, Procedure, World } from "../model/base.ts";
import type { Finding, Severity } from "../model/complaint.ts";
import type { RuleName } from "../model/rule-names.ts";
import type { Place } from "../model/source.ts";
import type { CausePairs } from "./facts/cause-pairs.ts";
import type { GraphFacts } from "./facts/graph-facts.ts";
import type { Prose } from "./facts/prose.ts";

export type Group = "shape" | "graph" | "readings" | "safety" | "causes" | "cost" | "prose";

/** One procedure with all its graphs. */
interface ProcedureView {
  readonly procedure: Procedure;
  readonly graphs: readonly GraphFacts[];
  readonly world: World;
  /** YYYY-MM-DD. */
  readonly today: string;
}

/** The whole base, for what only shows when everything is known. */
export interface BaseView {
  readonly world: World;
  /**
   * Every `section/id` that some tree needs, directly or by way of routines and catalog entries; undefined while a tree
   * can't be read, so that nobody knows.
   */
  readonly used: ReadonlySet<string> | undefined;
  readonly trees: readonly TreeView[];
}

/** What is kept of a tree once it has been dealt with. */
interface TreeView {
  readonly id: string;
  readonly serves: readonly string[];
  readonly mentions: readonly string[];
  readonly pairs: CausePairs;
  readonly texts: readonly PlacedText[];
}

/** A text that a page shows. */
export interface PlacedText {
  readonly text: string;
  readonly at: Place;
  /** The step or entry that it belongs to. */
  readonly about: string;
}

export interface Rule {
  /** The name of its file; permanent, never used again for something else. */
  readonly name: RuleName;
  readonly group: Group;
  readonly severity: Severity;
  /** What it finds, in one sentence. */
  readonly summary: string;
  /** Why that matters to the person at the unit, in one sentence; shown with every complaint. */
  readonly why: string;
  /** The rest of the explanation, CommonMark: what exactly is checked, what is not, how to mend it. */
  readonly more: string;
  /** Rules without any of these are found by the phases before, in the course of their work. */
  readonly onGraph?: (facts: GraphFacts) => Iterable<Omit<Finding, "rule" | "families" | "allFamilies">>;
  readonly onProcedure?: (view: ProcedureView) => Iterable<Omit<Finding, "rule">>;
  /** Once for each formula of the catalog. */
  readonly onFormula?: (formula: Formula) => Iterable<Omit<Finding, "rule">>;
  /** Once for each file, with every text in it that is said to the reader. */
  readonly onTexts?: (texts: readonly Prose[], world: World) => Iterable<Omit<Finding, "rule">>;
  readonly onBase?: (view: BaseView) => Iterable<Omit<Finding, "rule">>;
}

/** Only checks the type; a rule is plain data and functions. */
export function defineRule(rule: Rule): Rule {
  return rule;
}
