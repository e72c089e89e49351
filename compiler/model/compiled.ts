/**
 * The compiled base: what the compiler emits and the site reads. Plain JSON, no spans, no references into source files.
 *
 * Every `Html` string was made from CommonMark by the compiler; raw HTML and unsafe links were refused before, so it may
 * be inserted as it is. Everything else is plain text and must be escaped.
 */
import type { Board } from "./board.ts";
import type { Fact } from "./format.ts";
import type { Code } from "./formula.ts";

/** HTML made by the compiler from CommonMark: block level (`<p>`, lists). */
export type Html = string;
/** HTML made by the compiler from CommonMark, phrasing content only: fit for a heading, a label, a link. */
export type InlineHtml = string;

export interface CompiledBase {
  readonly format: 1;
  readonly base: string;
  readonly title: InlineHtml;
  readonly owner: InlineHtml;
  /** BCP 47 tag of the texts. */
  readonly language: string;
  /** The other languages in which there is a site of this base; left out where there is none. */
  readonly languages?: readonly CompiledLanguage[];
  /** Defers to codes, manuals and licences; belongs on every tree page. */
  readonly notice: Html;
  /** The day this was compiled, as the caller gave it: YYYY-MM-DD. */
  readonly compiledOn: string;
  /** Where the site is found, with a slash at its end. */
  readonly address?: string;
  readonly areas: Readonly<Record<string, InlineHtml>>;
  readonly families: Readonly<Record<string, CompiledFamily>>;
  readonly symptoms: Readonly<Record<string, CompiledSymptom>>;
  readonly causes: Readonly<Record<string, CompiledCause>>;
  readonly states: Readonly<Record<string, CompiledState>>;
  readonly hazards: Readonly<Record<string, CompiledHazard>>;
  readonly tools: Readonly<Record<string, CompiledThing>>;
  readonly parts: Readonly<Record<string, CompiledThing>>;
  readonly contacts: Readonly<Record<string, CompiledContact>>;
  readonly licences: Readonly<Record<string, CompiledThing>>;
  readonly formulas: Readonly<Record<string, CompiledFormula>>;
  /** By id. Only routines without a fault are here. */
  readonly routines: Readonly<Record<string, CompiledRoutine>>;
  /** Ordered by id. */
  readonly trees: readonly CompiledTree[];
  /** What the trees cover, and what they cost. */
  readonly board: Board;
  /** Id of the tree that leads to the family when nobody knows it. */
  readonly unknownEquipment?: string;
}

export interface CompiledLanguage {
  /** BCP 47 tag. */
  readonly code: string;
  /** Its name in itself. */
  readonly title: string;
  /** From the folder of this site to that of the other, with a slash at its end. */
  readonly path: string;
  /** Which pages are there, by id; left out where all of this site's are. */
  readonly pages?: Readonly<Record<"trees" | "symptoms" | "formulas", readonly string[]>>;
}

export interface CompiledFamily {
  readonly title: InlineHtml;
  readonly what?: Html;
  /** How to recognise it by what one sees. */
  readonly looks: Html;
  readonly area: string;
  readonly facts: Readonly<Record<string, Fact>>;
}
export interface CompiledSymptom {
  readonly title: InlineHtml;
  /** What customers say: plain text, for the search. */
  readonly says: readonly string[];
  readonly area: string;
  /** How somebody at the house can notice it: `sees`, `hears`, `smells`, `tastes`, `measures`. May be empty. */
  readonly by: readonly string[];
  readonly what?: Html;
  /** Ids of the trees for this symptom. */
  readonly trees: readonly string[];
}
export interface CompiledCause {
  readonly title: InlineHtml;
  readonly what: Html;
  readonly consequence?: Html;
}
export interface CompiledState {
  readonly title: InlineHtml;
  readonly means: Html;
  /** What is true while it does not hold. */
  readonly without: Html;
  readonly mustClear: boolean;
  /** Routines with one outcome that clear it: how to put it back when somebody has to leave early. */
  readonly clearedBy: readonly string[];
}
export type SignalWord = "danger" | "warning" | "caution" | "notice";
export interface CompiledHazard {
  readonly title: InlineHtml;
  readonly signal: SignalWord;
  /** ISO 7010 code, such as W012. */
  readonly sign?: string;
  readonly consequence: Html;
  readonly precaution: Html;
}
export interface CompiledThing {
  readonly title: InlineHtml;
  readonly what?: Html;
}
export interface CompiledContact {
  readonly title: InlineHtml;
  readonly reach?: Html;
  readonly when?: Html;
  /** Ids of the licences this person holds. */
  readonly holds: readonly string[];
}

export interface CompiledFormula {
  readonly title: InlineHtml;
  /** What it is for. */
  readonly for: Html;
  readonly limits: Html;
  readonly source: InlineHtml;
  /** In the author's order. */
  readonly inputs: Readonly<Record<string, CompiledReading>>;
  readonly constants: readonly { readonly name: string; readonly value: string; readonly why?: InlineHtml }[];
  readonly value: CompiledValue;
  readonly examples: readonly {
    /** By the input's name, in the input's unit. */
    readonly given: Readonly<Record<string, number>>;
    /** The same as the author wrote it, with its unit. */
    readonly written: Readonly<Record<string, string>>;
    /** As the author wrote it, with its unit. */
    readonly gives: string;
    readonly within: string;
    readonly source: InlineHtml;
  }[];
}

/** A caution at a step: the hazard's entry, and this step's own words for how to avoid it (else the catalog's). */
export interface CompiledNote {
  readonly hazard: string;
  readonly note: Html;
}

interface Procedure {
  readonly id: string;
  readonly title: InlineHtml;
  readonly summary?: Html;
  readonly reviewed: { readonly on: string; readonly by: string };
  /** Id of the first step. */
  readonly start: string;
  /** Cautions for the whole procedure, shown before its first step. */
  readonly notes: readonly CompiledNote[];
  /**
   * All steps in the order of the file, remedies and proofs in place behind their `found` step (they carry `of`).
   * Ids are unique within the procedure and fit for an HTML id; those made by the compiler contain `--`.
   */
  readonly steps: readonly CompiledStep[];
  /** What the safety analysis established, once per group of families that meet the same steps. */
  readonly proofs: readonly CompiledProof[];
}

/** What no compiler can know; part of every proof, on a terminal and on the page. */
export const notProven: readonly string[] = [
  "that the reader does what a step says, and does it well",
  "that a step really brings about the states it says it sets, or a unit is of the family it was taken for",
  "that the catalogs name every hazard, every trigger word and every licence that local law asks for",
  "that the words of a caution are enough; whether each stands before its step is proven, what it says is not",
];

/** Why the order of work is safe, as a safety officer would want to see it. Step ids are those of the procedure. */
export interface CompiledProof {
  readonly families: readonly string[];
  /** For each step with a need: the steps that bring the state about, so that it holds on every way. */
  readonly needs: readonly {
    readonly step: string;
    readonly state: string;
    /** The routine that wants it, where the step uses one. */
    readonly routine?: string;
    readonly by: readonly ProofSource[];
  }[];
  /** For each raised hazard: where its caution stands. */
  readonly cautions: readonly {
    readonly step: string;
    readonly hazard: string;
    readonly because: {
      readonly kind: "declared" | "state" | "tool" | "part" | "reading" | "word";
      readonly what: string;
    };
    readonly at: readonly ProofSource[];
  }[];
  /** For each step that asks for a licence, itself or by an outcome of its routine: where a reader without it goes. */
  readonly licences: readonly {
    readonly step: string;
    readonly licence: string;
    readonly routine?: string;
    readonly away: string;
  }[];
  /** For each end that can be reached: the states that may hold there, with the reason why they stay. */
  readonly ends: readonly {
    readonly end: string;
    /** For `done`: the `found` step whose proof leads there. For a stop inside a routine: the step that uses it. */
    readonly of?: string;
    /** The routine that holds the end, when it is a stop inside one. */
    readonly routine?: string;
    readonly left: readonly { readonly state: string; readonly reason?: Html }[];
  }[];
}
/** A step; the step itself; or the beginning: the head of the procedure, or what it may rely on. */
export type ProofSource = { readonly step: string } | "here" | "beginning";
export interface CompiledTree extends Procedure {
  readonly symptom: string;
  /** Family ids this tree serves, in the author's order. */
  readonly serves: readonly string[];
  /** Ids of all routines that this tree uses, directly or not, in the order of first use. */
  readonly routines: readonly string[];
  /** Tools and parts of all steps and routines. */
  readonly bring: readonly CompiledBring[];
  readonly causes: Readonly<Record<string, { readonly likelihood: number; readonly basis?: Html }>>;
  /** What the causes show; one for all families to which they show the same. Empty without a table of causes. */
  readonly evidence: readonly CompiledEvidence[];
  /** Whom to call where a reader is not sure and no check decides: a contact's id. */
  readonly inDoubt?: string;
}

/**
 * A tool or part that a visit may need. First what the checks need, in the order of first mention; then what only a
 * repair needs, the likeliest first.
 */
export interface CompiledBring {
  readonly kind: "tool" | "part";
  readonly id: string;
  /** Some step that is no repair needs it, whatever the cause. */
  readonly always: boolean;
  /** 0 to 1: how often a repair needs it, by the likelihoods of the tree's causes; 0 where none is given. */
  readonly share: number;
  /** Causes whose repair needs it, the likeliest first. */
  readonly causes: readonly string[];
}

export interface CompiledEvidence {
  readonly families: readonly string[];
  /**
   * The causes that these families can have, in the author's order. `shows` has by check of the tree the answers, ranges
   * or outcomes that the cause can show to these families; a check that is not named can show any of its own. After its
   * proof has said `not-fixed`, the cause that was mended is spoken against too.
   */
  readonly causes: Readonly<
    Record<string, { readonly weight: number; readonly shows: Readonly<Record<string, readonly string[]>> }>
  >;
  /** By check of the tree: how a reader goes on who is not sure of it. A check that is not here hands over. */
  readonly unsure: Readonly<Record<string, Unsure>>;
}

/**
 * How to go on from a check of which the reader is not sure.
 *
 * `take`: as by this answer, which every cause that is still possible can show. `ask`: another check first; `answers`
 * says what each of its answers leads to, `unsure` what being unsure of it does. `own`: as the check that was asked
 * instead says itself, which is an end. Where nothing is said: hand over.
 */
export type Unsure =
  | { readonly take: string }
  | { readonly ask: string; readonly answers: Readonly<Record<string, Unsure>>; readonly unsure?: Unsure }
  | { readonly own: true };

export interface CompiledRoutine extends Procedure {
  /** States that must hold before it begins. */
  readonly needs: readonly string[];
  /** Outcome id to what it means. A routine with the single outcome `done` has just that, and no words for it. */
  readonly outcomes: Readonly<Record<string, { readonly say?: InlineHtml }>>;
}

/** Where a branch leads. `to` is a step id of the same procedure, in a routine an outcome id, in a tree's proof `done`. */
export type Target =
  | { readonly to: string }
  | {
      readonly again: {
        readonly to: string;
        readonly atMost: number;
        readonly else: string;
      };
    };

interface StepBase {
  readonly id: string;
  /** The `found` step that this remedy or proof step belongs to. */
  readonly of?: string;
  readonly title: InlineHtml;
  readonly how?: Html;
  readonly why?: Html;
  readonly minutes?: number;
  readonly tools: readonly string[];
  readonly parts: readonly string[];
  readonly needs: readonly string[];
  readonly sets: readonly string[];
  readonly clears: readonly string[];
  readonly notes: readonly CompiledNote[];
  /** The licence this step is reserved for. */
  readonly licence?: string;
  /** Where a reader without the licence goes instead of doing the step. */
  readonly unlicensed?: Target;
  /** Family ids this step is for; absent: all that the procedure serves. */
  readonly families?: readonly string[];
  /** Address below the base's `pictures` folder. */
  readonly picture?: { readonly file: string; readonly alt: string };
}
/** Ids that the format gives: the answers of a proof, and the one outcome of a routine that names none. */
export const OWN_WORDS = ["fixed", "not-fixed", "done"] as const;

export type Branch = Target & {
  /** Answer, range or outcome id; unique within the step. */
  readonly id: string;
  /** Absent where the id is one of `OWN_WORDS` and its author says nothing else: a page has words for it. */
  readonly say?: InlineHtml;
  /** Family ids this branch is for; absent: all. */
  readonly families?: readonly string[];
};
export interface LookStep extends StepBase {
  readonly kind: "look";
  /** In a proof the ids are `fixed` and `not-fixed`. */
  readonly answers: readonly Branch[];
}
export interface CompiledReading {
  readonly id: string;
  readonly ask: InlineHtml;
  readonly unit: string;
  /** What can be read at all, and what is usual; in the reading's unit. */
  readonly between: readonly [lowest: number, highest: number];
  readonly typical?: readonly [lowest: number, highest: number];
}
export interface CompiledValue {
  readonly name: string;
  /** Unit in which the result is shown and in which the ranges are given. */
  readonly unit: string;
  /**
   * For `evaluate`. Inputs are the step's readings by their ids, `step-id.reading` for what was read earlier, each in its
   * own unit, and `equipment.fact` in SI; the result is in `unit`.
   */
  readonly code: Code;
  /** `equipment.fact` to family id to its amount in SI. */
  readonly facts?: Readonly<Record<string, Readonly<Record<string, number>>>>;
  /** The formula for people: plain text, and the inputs by their names in `code`. */
  readonly written: readonly (string | { readonly input: string })[];
  /** What was read earlier: its name in `code` to what was asked there and its unit. */
  readonly earlier?: Readonly<Record<string, { readonly ask: InlineHtml; readonly unit: string }>>;
  /** Id of the catalog formula it is computed by. */
  readonly formula?: string;
}
interface Ends {
  readonly from?: number;
  readonly below?: number;
}
export interface MeasureStep extends StepBase {
  readonly kind: "measure";
  readonly readings: readonly CompiledReading[];
  readonly value: CompiledValue;
  /** `from` is included, `below` is not; in the value's unit. Ends that depend on facts stand under each family's id. */
  readonly ranges: readonly (Branch & Ends & { readonly byFamily?: Readonly<Record<string, Ends>> })[];
}
export interface DoStep extends StepBase {
  readonly kind: "do";
  readonly next: Target;
}
export interface SortStep extends StepBase {
  readonly kind: "sort";
  readonly fact: string;
  /** Evaluated for every family: family id to step id. Families missing here can't come this way. */
  readonly byFamily: Readonly<Record<string, string>>;
  /** For readers without script: the values and where they lead; without a value, all others. `families` lists who has it. */
  readonly cases: readonly { readonly value?: string; readonly to: string; readonly families: readonly string[] }[];
}
export interface UseStep extends StepBase {
  readonly kind: "use";
  readonly routine: string;
  /** One branch per outcome of the routine; its id is the outcome's id. */
  readonly outcomes: readonly Branch[];
}
export interface FoundStep extends StepBase {
  readonly kind: "found";
  readonly cause: string;
  /** First remedy step, else the proof, else the `then`; absent: this is an end. */
  readonly next?: Target;
  readonly leaves: Readonly<Record<string, Html>>;
}
export interface StopStep extends StepBase {
  readonly kind: "stop";
  readonly stopKind: "normal" | "elsewhere" | "hand-over";
  readonly call?: string;
  readonly leaves: Readonly<Record<string, Html>>;
}
export type CompiledStep = LookStep | MeasureStep | DoStep | SortStep | UseStep | FoundStep | StopStep;
