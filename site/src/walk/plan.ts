import type { CompiledEvidence } from "../../../compiler/model/compiled.ts";
import type { Code } from "../../../compiler/model/formula.ts";
import type { Bounds } from "../measure/field.ts";
import type { PairTable } from "../measure/units.ts";

/**
 * What the guided walk knows of a tree beside the words on the page: where everything leads. It travels in the page as
 * JSON, so names are short but still words, and everything that is empty is left out. Sections of the page are found by
 * their ids, which are the keys.
 *
 * A step is named by its key: the step's id, or `<routine>__<step>` for a step of a routine. Ids hold no underscore, so
 * a key names one step. A place to go is a key, or `=<outcome>`, which leaves the routine with that outcome; outside
 * every routine `=done` ends the tree.
 */
export type PlanTarget = string | readonly [back: string, atMost: number, otherwise: string];

export interface PlanBranch {
  readonly id: string;
  readonly to: PlanTarget;
  /** Places in `Plan.families`; absent: all. */
  readonly families?: readonly number[];
}

interface Ends {
  /** Included, in the value's unit. */
  readonly from?: number;
  /** Not included, in the value's unit. */
  readonly below?: number;
}
export interface PlanRange extends PlanBranch, Ends {
  /** One for each of `Plan.families`, where the ends differ by family; null: that family has no such range. */
  readonly ends?: readonly (Ends | null)[];
}

interface PlanStepBase {
  /** Places in `Plan.families`; absent: all. */
  readonly families?: readonly number[];
  readonly sets?: readonly string[];
  readonly clears?: readonly string[];
  /** The licence that the reader is asked for, and where a reader without it goes instead. */
  readonly licence?: readonly [licence: string, without: PlanTarget];
  /** What the step is planned to take, and the parts that it calls for: for the record. */
  readonly minutes?: number;
  readonly parts?: readonly string[];
  /** Key of the step that concludes the cause whose repair this proves. */
  readonly proves?: string;
}

export type PlanStep = PlanStepBase &
  (
    | { readonly kind: "look"; readonly answers: readonly PlanBranch[] }
    | {
        readonly kind: "measure";
        /** What can be read, and what usually is where the step or its formula says so, in the reading's unit. */
        readonly readings: Readonly<Record<string, Bounds>>;
        /** Readings by id, `<key>.<reading>` for what was read at an earlier step, `equipment.<fact>` from `facts`. */
        readonly value: Code;
        /** One amount for each of `Plan.families`; null where there is none. */
        readonly facts?: Readonly<Record<string, readonly (number | null)[]>>;
        /** The same as their author wrote them. */
        readonly said?: Readonly<Record<string, readonly (string | null)[]>>;
        readonly ranges: readonly PlanRange[];
      }
    | { readonly kind: "do"; readonly next: PlanTarget }
    /** One key for each of `Plan.families`; null: that family can't come this way. */
    | { readonly kind: "sort"; readonly to: readonly (string | null)[] }
    | { readonly kind: "use"; readonly start: string; readonly outcomes: readonly PlanBranch[] }
    /** `mends`: what follows is the remedy, not somebody else's work. */
    | { readonly kind: "found"; readonly cause: string; readonly next?: PlanTarget; readonly mends?: true }
    | { readonly kind: "stop" }
  );

type PlanEvidence = Omit<CompiledEvidence, "families"> & { readonly families: readonly number[] };

export interface Plan {
  readonly base: string;
  readonly tree: string;
  readonly start: string;
  /** Ids of the families served. */
  readonly families: readonly string[];
  readonly steps: Readonly<Record<string, PlanStep>>;
  /** Units of its measurements that have a counterpart in the other system. */
  readonly units: PairTable;
  /** State id to its title, plain text: only those that the steps name. */
  readonly states: Readonly<Record<string, string>>;
  /**
   * States that must not be left behind, each with the routines that put it back: what a reader who stops early does.
   * Without a routine, what is left to do of the work under way puts it back.
   */
  readonly back: Readonly<Record<string, readonly string[]>>;
  /** What must hold before one of those routines begins. */
  readonly needs: Readonly<Record<string, readonly string[]>>;
  /** Part id to its title, plain text: only those that the steps name. */
  readonly parts: Readonly<Record<string, string>>;
  /** Its title, plain text. */
  readonly symptom: string;
  /** As the compiler has it, with families by their places; absent where the tree has no table of causes. */
  readonly evidence?: readonly PlanEvidence[];
}

/** The routine that a step belongs to; empty for a step of the tree itself. */
export function routineOf(key: string): string {
  return key.includes("__") ? (key.split("__")[0] ?? "") : "";
}

/** Id of the section that holds a step, on the page. A key may begin with a digit, which older tools refuse in an id. */
export function anchorOf(key: string): string {
  return key === "=done" ? "done" : /^[a-z]/.test(key) ? key : `at_${key}`;
}
