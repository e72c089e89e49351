/**
 * Each cause of a tree, followed through it for one kind of equipment.
 *
 * Assumptions: there is one fault. At a check it shows what its row says, else what the check shows `normally`, else
 * anything; what the equipment can't answer is left out, and a row that leaves nothing else counts as not written. A
 * repair of another cause does not mend it, so the proof behind that repair fails and leads on. The reader holds the
 * licences. A routine comes back with an outcome where the table names one; else its own stops are ends too. Repeats are
 * counted.
 *
 * A way ends *found* where the cause is named, *misled* where the visit ends and the last cause that was named, and not
 * disproved, is another one, and *stranded* where it ends and none was.
 */

import { holds } from "../../4-specialise/specialise.ts";
import type { Branch, CauseRow, Step, World } from "../../model/base.ts";
import type { WayStep } from "../../model/complaint.ts";
import type { Edge, Graph, GraphNode } from "../../model/graph.ts";
import { Kept } from "../../model/kept.ts";
import { impossibleBranches } from "./answers.ts";
import { GraphFacts } from "./graph-facts.ts";
import { reachableFrom, type Successors } from "./reach.ts";
import { behind, insides, type RoutineMinutes, timed, together } from "./routine-minutes.ts";
import { type Choice, type Minutes, type Position, type Timing, type Unrolled, unroll } from "./unroll.ts";
import { wayTo } from "./ways.ts";

/** A step that shows something: a look, a measurement, or a routine that can end in several ways. Proofs are not among them. */
export interface Check {
  readonly node: number;
  readonly step: Step;
  /** What it can show on this equipment. */
  readonly answers: readonly string[];
}

interface End {
  readonly kind: "found" | "misled" | "stranded";
  /** The step; inside a routine, its stop. */
  readonly step: Step;
  /** The step that uses the routine; undefined where the end is one of the tree's own. */
  readonly inside: Step | undefined;
  /** Where a visit was misled: the cause that was named. */
  readonly named: string | undefined;
  readonly way: readonly WayStep[];
  /** Of all visits; undefined like the minutes. */
  readonly share: number | undefined;
}

export interface CauseWalk {
  readonly row: CauseRow;
  /** One entry for each place and kind, the nearest first; of two as near the one by name. */
  readonly ends: readonly End[];
  /** Nodes it comes to. */
  readonly visited: ReadonlySet<number>;
  readonly taken: ReadonlySet<Branch>;
  /** `found` steps of other causes whose repair was made, and disproved, on some way. */
  readonly inVain: readonly Step[];
  /** Until it is named, or the visit ends; undefined where the ways have no limit or a routine can't be timed. */
  readonly minutes: Minutes | undefined;
  /** False when there were too many ways to follow them all; then some may be missing. */
  readonly isComplete: boolean;
  /** Minutes spent at each step on average, by node; empty where they are not known. */
  readonly spent: ReadonlyMap<number, number>;
}

export interface CauseFacts {
  readonly causes: readonly CauseRow[];
  readonly checks: readonly Check[];
  /** 1 for each node that a reader with the licences comes to, whatever shows; outcomes that no routine has lead nowhere. */
  readonly reachable: Uint8Array;
  /** 1 for each node behind which, for such a reader, some cause is named; itself included. */
  readonly leading: Uint8Array;
  /** What a cause may show at a check, in the order of the check's answers. */
  shown(cause: CauseRow, check: Check): readonly string[];
  /** The last step on the way to an end at which nothing is said of a cause, neither by its row nor by the check. */
  lastUnsaid(cause: CauseRow, end: End): Step | undefined;
  walk(cause: CauseRow): CauseWalk;
  /** A check of this tree at which two causes have nothing in common. */
  apart(a: CauseRow, b: CauseRow): Check | undefined;
  /** With both there, and the first found and mended: whether the ways from its failed proof come to the second. */
  second(first: CauseRow, second: CauseRow): "always" | "sometimes" | "never";
}

const kept = new Kept<Graph, CauseFacts>();
export function causeFacts(graph: Graph, world: World): CauseFacts {
  let facts = kept.get(graph);
  if (!facts) {
    facts = new Walker(graph, world);
    kept.set(graph, facts);
  }
  return facts;
}

class Walker implements CauseFacts {
  readonly #graph: Graph;
  readonly causes: readonly CauseRow[];
  readonly checks: readonly Check[];
  readonly reachable: Uint8Array;
  readonly #checkAt = new Map<number, Check>();
  readonly #inside: readonly (RoutineMinutes | undefined)[];
  readonly #edges: readonly (readonly Edge[])[];
  #leading: Uint8Array | undefined;
  readonly #shown = new Map<CauseRow, Map<Check, readonly string[]>>();
  readonly #found = new Map<string, number>();
  readonly #walks = new Map<CauseRow, { readonly unrolled: Unrolled; readonly walk: CauseWalk }>();

  constructor(graph: Graph, world: World) {
    const { reachable: open } = new GraphFacts(graph, world);
    this.#graph = graph;
    this.causes = causesFor(graph, world);
    this.#inside = insides(graph, world);
    const impossible = new Set(impossibleBranches(graph, open).map(({ branch }) => branch));
    this.#edges = graph.nodes.map((node) => node.edges.filter((edge) => this.#canBeTaken(node, edge, impossible)));
    this.reachable = reachableFrom(this.#successors(), graph.start);
    this.checks = graph.nodes.flatMap((node) => (this.reachable[node.index] ? (this.#checkOf(node) ?? []) : []));
    for (const check of this.checks) this.#checkAt.set(check.node, check);
    for (const { step } of graph.nodes)
      if (step?.cause && !this.#found.has(step.cause.id)) this.#found.set(step.cause.id, this.#found.size + 1);
  }

  #canBeTaken({ index, step }: GraphNode, edge: Edge, impossible: ReadonlySet<Branch>): boolean {
    if (edge.to < 0 || edge.kind === "unlicensed" || impossible.has(edge.branch)) return false;
    const inside = step?.kind === "use" ? this.#inside[index] : undefined;
    return !inside || inside.outcomes.has(edge.branch.id);
  }

  /** The `else` of a repeat is taken only by one who came here again. */
  #successors(): Successors {
    const all = this.#edges.map((edges) => edges.map(({ to }) => to));
    return this.#edges.map((edges, node) =>
      edges.flatMap(({ kind, branch, to }) => {
        if (kind !== "else") return [to];
        const back = edges.find((edge) => edge.branch === branch && edge.kind === "again");
        return back && reachableFrom(all, back.to)[node] ? [to] : [];
      }),
    );
  }

  get leading(): Uint8Array {
    if (!this.#leading) {
      const { nodes } = this.#graph;
      const into: number[][] = [...nodes.map((): number[] => []), []];
      for (const { index, step } of nodes) {
        for (const { to } of this.#edges[index] ?? []) into[to]?.push(index);
        if (step?.kind === "found") into[nodes.length]?.push(index);
      }
      this.#leading = reachableFrom(into, nodes.length);
    }
    return this.#leading;
  }

  #checkOf({ index, step }: GraphNode): Check | undefined {
    if (!step || step.of !== undefined) return undefined;
    if (step.kind !== "look" && step.kind !== "measure" && step.kind !== "use") return undefined;
    const answers = [...new Set((this.#edges[index] ?? []).map(({ branch }) => branch.id))];
    // A routine that can only come back in one way shows nothing.
    if (step.kind === "use" && answers.length < 2) return undefined;
    return { node: index, step, answers };
  }

  shown(cause: CauseRow, check: Check): readonly string[] {
    let byCheck = this.#shown.get(cause);
    if (!byCheck) {
      byCheck = new Map();
      this.#shown.set(cause, byCheck);
    }
    let shown = byCheck.get(check);
    if (!shown) {
      shown = said(cause, check.step, check.answers) ?? check.answers;
      byCheck.set(check, shown);
    }
    return shown;
  }

  lastUnsaid(cause: CauseRow, { way, inside }: End): Step | undefined {
    if (inside) return inside;
    const steps = new Set(way.flatMap(({ step, answer }) => (answer === undefined ? [] : [step])));
    const unsaid = this.checks.filter(
      ({ step, answers }) => answers.length > 1 && steps.has(step.id) && !said(cause, step, answers),
    );
    const order = way.map(({ step }) => step);
    return unsaid.sort((a, b) => order.lastIndexOf(b.step.id) - order.lastIndexOf(a.step.id))[0]?.step;
  }

  apart(a: CauseRow, b: CauseRow): Check | undefined {
    return this.checks.find((check) => {
      const shown = this.shown(a, check);
      return !this.shown(b, check).some((answer) => shown.includes(answer));
    });
  }

  /** Stops inside the routine of a node that end a visit. In a remedy nothing can be said of them, and it is not asked. */
  #stops(cause: CauseRow, node: number): RoutineMinutes["stops"] {
    const step = this.#graph.nodes[node]?.step;
    const stops = this.#inside[node]?.stops ?? [];
    if (stops.length === 0 || !step || step.of !== undefined) return [];
    return said(cause, step, branchIds(this.#edges[node])) ? [] : stops;
  }

  /** What a cause lets the reader do at a node; `state` is the number of the cause that was named last, and not disproved. */
  #choices(cause: CauseRow, node: number, state: number): readonly Choice[] {
    const step = this.#graph.nodes[node]?.step;
    const edges = this.#edges[node] ?? [];
    if (!step) return [];
    if (step.cause) {
      if (step.cause.id === cause.id) return [];
      const named = this.#found.get(step.cause.id) ?? 0;
      return edges.map((edge) => ({ edge, state: named }));
    }
    if (step.isProof)
      return edges.flatMap((edge) => (this.#graph.nodes[edge.to]?.step === undefined ? [] : [{ edge, state: 0 }]));
    const check = this.#checkAt.get(node);
    if (!check) return edges.map((edge) => ({ edge, state }));
    const shown = this.shown(cause, check);
    return edges.flatMap((edge) => (shown.includes(edge.branch.id) ? [{ edge, state }] : []));
  }

  walk(cause: CauseRow): CauseWalk {
    return this.#walked(cause).walk;
  }
  #walked(cause: CauseRow): { readonly unrolled: Unrolled; readonly walk: CauseWalk } {
    let walked = this.#walks.get(cause);
    if (!walked) {
      const unrolled = unroll(this.#graph, undefined, (node, state) => this.#choices(cause, node, state));
      walked = { unrolled, walk: this.#sumUp(cause, unrolled) };
      this.#walks.set(cause, walked);
    }
    return walked;
  }

  second(first: CauseRow, second: CauseRow): "always" | "sometimes" | "never" {
    const mended = this.#walked(first).unrolled.positions.filter(({ node }) => this.#names(node, first));
    if (mended.length === 0) return "never";
    const starts = mended.map(({ node, taken }) => ({ node, taken, state: 0 }));
    const onward = unroll(this.#graph, starts, (node, state) => this.#choices(second, node, state));
    let reached = 0;
    let ends = 0;
    for (const position of onward.positions) {
      if (this.#names(position.node, second)) reached += 1;
      if (this.#isOver(second, position) || this.#stops(second, position.node).length > 0) ends += 1;
    }
    return reached === 0 || !onward.isComplete ? "never" : reached === ends ? "always" : "sometimes";
  }
  #names(node: number, { id }: CauseRow): boolean {
    return this.#graph.nodes[node]?.step?.cause?.id === id;
  }

  #sumUp(cause: CauseRow, unrolled: Unrolled): CauseWalk {
    const { nodes } = this.#graph;
    const leaving = ({ node }: Position): number => this.#stops(cause, node).length;
    const times = timed(this.#graph, unrolled, this.#inside, leaving);
    const ends = new Map<string, { end: End; times: (Timing | undefined)[] }>();
    const all: (Timing | undefined)[] = [];
    const end = (position: Position, step: Step, isInside: boolean, time: Timing | undefined): void => {
      all.push(time);
      const named = isInside ? this.#nameOf(position.state) : this.#namedAt(position, step);
      const kind = named === undefined ? "stranded" : named === cause.id ? "found" : "misled";
      const key = `${kind} ${step.id} ${named} ${isInside ? position.node : ""}`;
      const known = ends.get(key);
      if (known) {
        known.times.push(time);
        return;
      }
      const { way } = wayTo(this.#graph, position);
      const last: readonly WayStep[] = isInside ? [{ step: step.id, at: step.at }] : [];
      ends.set(key, {
        end: {
          kind,
          step,
          inside: isInside ? nodes[position.node]?.step : undefined,
          named: kind === "misled" ? named : undefined,
          way: [...way, ...last],
          share: undefined,
        },
        times: [time],
      });
    };
    const visited = new Set<number>();
    const taken = new Set<Branch>();
    const inVain = new Map<string, Step>();
    for (const position of unrolled.positions) {
      const { node, ways, index } = position;
      visited.add(node);
      for (const { edge } of ways) taken.add(edge.branch);
      const step = nodes[node]?.step;
      if (!step) continue;
      const found = step.isProof && ways.length > 0 ? nodes.find((one) => one.id === step.of)?.step : undefined;
      if (found) inVain.set(found.id, found);
      const stops = this.#stops(cause, node);
      for (const stop of stops)
        end(
          position,
          stop.step,
          true,
          behind(times?.[index], stop.minutes, step.minutes ?? 0, 1 / (ways.length + stops.length)),
        );
      if (this.#isOver(cause, position)) end(position, step, false, times?.[index]);
    }
    return {
      row: cause,
      ends: [...ends.values()].map((one) => ({ ...one.end, share: shareOf(one.times) })).sort(byDistance),
      visited,
      taken,
      inVain: [...inVain.values()],
      isComplete: unrolled.isComplete,
      minutes: all.length > 0 && times ? together(all) : undefined,
      spent: times ? this.#spent(cause, unrolled, times) : new Map(),
    };
  }

  /** Whether a visit ends here as its author wrote it, rather than by a fault that is told elsewhere. */
  #isOver(cause: CauseRow, { node, ways }: Position): boolean {
    const { step, edges = [] } = this.#graph.nodes[node] ?? {};
    if (!step || ways.length > 0) return false;
    if (step.kind === "stop" || step.cause?.id === cause.id) return true;
    if (step.cause) return edges.length === 0;
    // A proof that can only succeed.
    return step.isProof && edges.length > 0 && edges.every(({ to }) => to >= 0);
  }

  /** The cause that the reader takes away from an end. */
  #namedAt({ state }: Position, step: Step): string | undefined {
    return step.cause?.id ?? this.#nameOf(state);
  }
  #nameOf(state: number): string | undefined {
    return state === 0 ? undefined : [...this.#found.keys()][state - 1];
  }

  #spent(cause: CauseRow, { positions }: Unrolled, times: readonly Timing[]): Map<number, number> {
    const spent = new Map<number, number>();
    for (const { index, node, ways } of positions) {
      const stops = this.#stops(cause, node);
      const step = this.#graph.nodes[node]?.step;
      const each = (times[index]?.share ?? 0) / (ways.length + stops.length);
      const inside = this.#inside[node];
      let minutes = 0;
      for (const { edge } of ways)
        minutes += each * ((step?.minutes ?? 0) + (inside?.outcomes.get(edge.branch.id)?.mean ?? 0));
      for (const stop of stops) minutes += each * ((step?.minutes ?? 0) + (stop.minutes?.mean ?? 0));
      if (minutes > 0) spent.set(node, (spent.get(node) ?? 0) + minutes);
    }
    return spent;
  }
}

function byDistance(a: End, b: End): number {
  return a.way.length - b.way.length || (endWords(a) < endWords(b) ? -1 : 1);
}

/** For a message: the step, or the stop inside a routine. */
export function endWords({ step, inside }: End): string {
  return inside ? `the stop \`${step.id}\` inside the routine of \`${inside.id}\`` : `\`${step.id}\``;
}

function shareOf(times: readonly (Timing | undefined)[]): number | undefined {
  let sum = 0;
  for (const time of times) {
    if (!time) return undefined;
    sum += time.share;
  }
  return sum;
}

function branchIds(edges: readonly Edge[] = []): string[] {
  return [...new Set(edges.map(({ branch }) => branch.id))];
}

/** What a row or the check says that is shown there, as far as the equipment can answer so; undefined where nothing is left. */
function said({ shows }: CauseRow, { id, normally }: Step, answers: readonly string[]): readonly string[] | undefined {
  for (const words of [shows.get(id), normally]) {
    const can = words && answers.filter((answer) => words.includes(answer));
    if (can && can.length > 0) return can;
  }
  return undefined;
}

/** Families of one graph agree about all conditions, those of causes included. */
function causesFor({ procedure, families }: Graph, world: World): CauseRow[] {
  const family = families[0] ?? "";
  const facts = world.catalogs.equipment.get(family)?.entry.facts ?? {};
  return [...procedure.causes.values()].filter(({ onlyFor }) => !onlyFor || holds(onlyFor, family, facts));
}
