/**
 * The best order of a tree's checks for one kind of equipment, beside what the tree itself takes for them.
 *
 * Compared is what both pay for: checks before any cause is named; what must be brought about for them; and the work that
 * leads to a single check and sets nothing, which counts as part of it. What a check needs is priced by the cheapest step
 * that brings it about, with what that needs in turn; an earlier step whose readings a check computes with is such a step
 * too. A routine counts with its longest outcome, so that nothing is promised that it can't keep.
 */
import type { Procedure, World } from "../../model/base.ts";
import type { Graph, GraphNode } from "../../model/graph.ts";
import { Kept } from "../../model/kept.ts";
import { bestOrder, type Order } from "../order/order.ts";
import type { FaultTable } from "../order/table.ts";
import { type CauseFacts, type Check, causeFacts } from "./causes.ts";
import { hasBit } from "./flow.ts";
import { reachableFrom } from "./reach.ts";
import { insides, minutesOf, type RoutineMinutes } from "./routine-minutes.ts";
import { type StateFacts, stateFacts } from "./states.ts";

/** Sets of causes looked into for one tree; some tenths of a second at the most, and hardly ever used up. */
const BUDGET = { exact: 5_000, bounded: 1_000 };

/** Share of the minutes; saving less is not worth unlearning an order for. */
export const WORTH_IT = 0.15;

export interface CheckOrder {
  /** Of the tree as it is, in mean minutes over its causes. */
  readonly now: number;
  readonly best: Order;
}

/**
 * @param share Of the tree's minutes that must be saved, 0 to 1.
 * @returns Undefined where less is saved; and where the two can't be compared: a cause is not found on all its ways or
 *   only by checks behind a repair, a check has no minutes, or nobody can tell what it needs.
 */
export function checkOrder(graph: Graph, world: World, share: number): CheckOrder | undefined {
  if (graph.procedure.causes.size < 2) return undefined;
  const facts = causeFacts(graph, world);
  if (facts.causes.some((cause) => facts.walk(cause).ends.some(({ kind }) => kind !== "found"))) return undefined;
  const work = priced(graph, facts, stateFacts(graph, world), insides(graph, world));
  if (!work) return undefined;
  const total = facts.causes.reduce((sum, { likelihood }) => sum + likelihood, 0);
  let now = 0;
  for (const cause of facts.causes) {
    const { minutes, spent } = facts.walk(cause);
    if (!minutes) return undefined;
    for (const node of work.nodes) now += (cause.likelihood / total) * (spent.get(node) ?? 0);
  }
  const best = searched(graph.procedure, work.table, now * (1 - share));
  return best && { now, best };
}

/** Kinds of equipment often differ in nothing that matters here. */
const kept = new Kept<Procedure, Map<string, Order | undefined>>();
function searched(procedure: Procedure, table: FaultTable, below: number): Order | undefined {
  let orders = kept.get(procedure);
  if (!orders) {
    orders = new Map();
    kept.set(procedure, orders);
  }
  const content = JSON.stringify([
    below,
    table.causes.map(({ id, weight, shows }) => [id, weight, [...shows]]),
    table.checks,
    [...(table.setUp ?? [])],
  ]);
  if (!orders.has(content)) orders.set(content, bestOrder(table, BUDGET, below));
  return orders.get(content);
}

/** The fault table, and the nodes at which the tree spends what the table has a price for. */
function priced(
  graph: Graph,
  facts: CauseFacts,
  states: StateFacts,
  inside: readonly (RoutineMinutes | undefined)[],
): { readonly table: FaultTable; readonly nodes: ReadonlySet<number> } | undefined {
  const forward = graph.nodes.map(({ step, edges }) =>
    step?.kind === "found"
      ? []
      : edges.filter(({ kind }) => kind !== "unlicensed").flatMap(({ to }) => (to < 0 ? [] : [to])),
  );
  const before = reachableFrom(forward, graph.start);
  const checks = facts.checks.filter(({ node, answers }) => before[node] && answers.length > 1);
  const isLate = ({ node, answers }: Check): boolean => answers.length > 1 && !before[node];
  const late = facts.checks.filter(isLate);
  if (facts.causes.some((cause) => late.some(({ node }) => facts.walk(cause).visited.has(node)))) return undefined;

  const longest = ({ step, edges }: GraphNode, index: number): number => {
    const all = edges.map((edge) => minutesOf(step, edge, inside[index])?.mean);
    return all.includes(undefined)
      ? Number.POSITIVE_INFINITY
      : Math.max(step?.minutes ?? 0, ...all.map((one) => one ?? 0));
  };
  /** By state: the steps that bring it about, the cheapest first. */
  const bringers = new Map<string, GraphNode[]>();
  for (const node of graph.nodes) {
    if (!before[node.index] || !node.step || node.step.kind === "found") continue;
    for (const i of node.edges.keys()) {
      const gained = states.change(node.index, i)?.must.gain;
      if (!gained?.some((word) => word !== 0)) continue;
      for (const [bit, state] of states.states.entries()) {
        if (!hasBit(gained, bit)) continue;
        const others = bringers.get(state) ?? [];
        if (!others.includes(node)) bringers.set(state, [...others, node]);
      }
    }
  }
  for (const list of bringers.values()) list.sort((a, b) => longest(a, a.index) - longest(b, b.index));
  /** The steps that must be done first; undefined where nobody can tell. */
  const needs = (node: GraphNode, known = new Set<GraphNode>()): Set<GraphNode> | undefined => {
    const names = [...(node.step?.needs ?? []).map(({ id }) => id), ...states.neededInside(node.index).keys()];
    const read = [...(node.step?.value?.inputs.values() ?? [])].flatMap(({ step }) => step ?? []);
    const first = [
      ...names.map((state) => bringers.get(state)?.[0]),
      ...read.map((id) => graph.nodes.find((one) => one.id === id)),
    ];
    for (const one of first) {
      if (!one) return undefined;
      if (known.has(one)) continue;
      known.add(one);
      if (!needs(one, known)) return undefined;
    }
    return known;
  };

  const into: number[][] = graph.nodes.map(() => []);
  for (const [from, targets] of forward.entries()) if (before[from]) for (const to of targets) into[to]?.push(from);
  const nodes = new Set<number>();
  const setUp = new Map<string, number>();
  const rows: FaultTable["checks"][number][] = [];
  for (const check of checks) {
    const node = graph.nodes[check.node] as GraphNode;
    const first = needs(node);
    let minutes = longest(node, check.node);
    if (!first || minutes <= 0 || minutes === Number.POSITIVE_INFINITY) return undefined;
    nodes.add(check.node);
    for (const one of first) {
      const price = longest(one, one.index);
      if (price === Number.POSITIVE_INFINITY) return undefined;
      setUp.set(one.id, price);
      nodes.add(one.index);
      // The tree may bring the same about by another step on another way.
      for (const same of bringers.values()) if (same.includes(one)) for (const { index } of same) nodes.add(index);
    }
    for (let at = check.node; ; ) {
      const from = [...new Set(into[at])];
      const { step } = graph.nodes[from[0] ?? -1] ?? {};
      if (from.length !== 1 || step?.kind !== "do" || step.sets.length > 0 || step.clears.length > 0) break;
      at = from[0] as number;
      if (nodes.has(at)) break;
      nodes.add(at);
      minutes += step.minutes ?? 0;
    }
    const needed = [...first].map(({ id }) => id).filter((id) => id !== node.id);
    rows.push({ id: node.id, minutes, answers: check.answers, needs: needed });
  }
  return {
    nodes,
    table: {
      causes: facts.causes.map((cause) => ({
        id: cause.id,
        weight: cause.likelihood,
        shows: new Map(checks.map((check) => [check.step.id, facts.shown(cause, check)])),
      })),
      checks: rows,
      setUp,
    },
  };
}
