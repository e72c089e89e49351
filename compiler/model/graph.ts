/** A procedure as one family meets it: facts evaluated, steps that are not for the family taken out. */
import type { Branch, Procedure, Step } from "./base.ts";

export interface Edge {
  /** Index of the node it leads to; -1 where the branch leads nowhere (each such edge is a fault, reported once). */
  readonly to: number;
  readonly branch: Branch;
  /**
   * `again` may be taken `branch.again.atMost` times on one visit, and `else` when that is used up. `unlicensed` is taken
   * by a reader who may not do the step, so the step is not done on it.
   */
  readonly kind: "then" | "again" | "else" | "unlicensed";
  /** Why `to` is -1. */
  readonly broken: "no-target" | "not-for-family" | undefined;
}

export interface GraphNode {
  readonly index: number;
  /** Step id, or the name of the end. */
  readonly id: string;
  /** Undefined for the ends `done` and the outcomes of a routine. */
  readonly step: Step | undefined;
  readonly edges: readonly Edge[];
  /** A `sort` that has no case for this family, or the fact is unknown to it: nothing leads on, which is reported there. */
  readonly unsorted: "no-case" | "no-fact" | undefined;
}

export interface Graph {
  readonly procedure: Procedure;
  /** The families that meet exactly this graph. */
  readonly families: readonly string[];
  /** Whether these are all families that the procedure serves. */
  readonly allFamilies: boolean;
  readonly nodes: readonly GraphNode[];
  /** Index of the first step; -1 when it is not known or not for the family. */
  readonly start: number;
  /** Steps of the file that are not for these families. */
  readonly passedOver: ReadonlySet<string>;
}

/** A node that has nothing behind it, as it should be. */
export function isEnd(node: GraphNode): boolean {
  return (
    node.step === undefined || node.step.kind === "stop" || (node.step.kind === "found" && node.edges.length === 0)
  );
}
