/** The one message model. Phases and checks make findings; the front door adds severity and reason; renderers draw them. */
import type { RuleName } from "./rule-names.ts";
import type { Place } from "./source.ts";

export type Severity = "error" | "warning" | "advice";

/** A further place that belongs to the complaint. */
interface Related {
  readonly at: Place;
  readonly text: string;
}

/** One step of the way that shows a fault. */
export interface WayStep {
  /** Step id; in a remedy or proof the compiler's own id with `--`. */
  readonly step: string;
  /** Id of the answer, range, case or outcome that leads on; absent where there is only one way on, and at the end. */
  readonly answer?: string;
  readonly at: Place;
  /** Where the complaint is about states: those that hold once this step is done, in the order of the catalog. */
  readonly states?: readonly string[];
}

/** What a phase or check has found. */
export interface Finding {
  readonly rule: RuleName;
  readonly at: Place;
  /** One sentence that stands alone, no full stop, names in backticks. */
  readonly message: string;
  readonly related?: readonly Related[];
  /** The shortest way from the start that shows it; a loop begins and ends at the same step. */
  readonly way?: readonly WayStep[];
  /** Families it holds for; absent or empty: it has nothing to do with families. */
  readonly families?: readonly string[];
  /** True when `families` are all that the procedure serves. */
  readonly allFamilies?: boolean;
  /** What the fault comes to at the unit, in the catalog's words. */
  readonly meaning?: string;
  /** One action the author can take. */
  readonly hint?: string;
  /** What an `accept` may name: the step or entry the finding is about. */
  readonly about?: string;
}

export interface Complaint extends Finding {
  readonly severity: Severity;
  /** Why it matters to the person at the unit. */
  readonly why: string;
}

/** What each phase returns. Broken parts are left out of `value`, so that one fault gives one complaint. */
export interface Outcome<T> {
  readonly value: T;
  readonly findings: readonly Finding[];
}
