/**
 * Which answers a check can still get, given what was answered before on the same way.
 *
 * Two steps are the same check when they put the same question with the same answers, or measure the same thing with the
 * same readings and unit. An answer holds until something is done: a `do`, a `use` or a remedy may change what is seen, so
 * everything known is dropped there. Sound, not complete: checks are compared one by one, not in their combinations.
 */
import type { Branch, Step } from "../../model/base.ts";
import { codeOf } from "../../model/formula.ts";
import type { Edge, Graph } from "../../model/graph.ts";
import { canOccur, valueInterval } from "./measured.ts";

/** What is known of each check that was made: the answers, or the stretch of values, that are still possible. */
type Known = ReadonlyMap<string, readonly Possible[]>;
type Possible =
  | { readonly kind: "answer"; readonly id: string }
  | { readonly kind: "values"; readonly from: number; readonly below: number };

export interface Impossible {
  readonly node: number;
  readonly branch: Branch;
  readonly because: "empty" | "answered-before";
}

/** Branches of reachable steps that no reader can come to take. */
export function impossibleBranches(graph: Graph, reachable: Uint8Array): Impossible[] {
  const impossible: Impossible[] = [];
  for (const { index, step, edges } of graph.nodes) {
    if (!step?.value || !reachable[index]) continue;
    const scale = valueInterval(step.value);
    for (const { branch, kind } of edges)
      if (branch.range && kind !== "else" && !canOccur(branch.range, scale))
        impossible.push({ node: index, branch, because: "empty" });
  }
  const identities = sharedChecks(graph);
  if (identities.size === 0) return impossible;
  const before = flowKnown(graph, identities);
  for (const { index, edges, step } of graph.nodes) {
    const known = before[index];
    const identity = step && identities.get(step);
    const possible = identity === undefined ? undefined : known?.get(identity);
    if (!step || !possible || !reachable[index]) continue;
    for (const edge of edges)
      if (
        edge.kind !== "else" &&
        !possible.some((p) => agrees(p, edge.branch)) &&
        !impossible.some(({ branch }) => branch === edge.branch)
      )
        impossible.push({ node: index, branch: edge.branch, because: "answered-before" });
  }
  return impossible;
}

/** Only checks that stand more than once in the graph are worth following. */
function sharedChecks(graph: Graph): ReadonlyMap<Step, string> {
  const byTitle = new Map<string, Step[]>();
  for (const { step } of graph.nodes) {
    if (!step || (step.kind !== "look" && step.kind !== "measure")) continue;
    const steps = byTitle.get(step.title);
    if (steps) steps.push(step);
    else byTitle.set(step.title, [step]);
  }
  const shared = new Map<Step, string>();
  for (const steps of byTitle.values()) {
    if (steps.length === 1) continue;
    const identities = steps.map(identityOf);
    for (const [i, step] of steps.entries()) {
      const identity = identities[i] ?? "";
      if (identities.indexOf(identity) !== identities.lastIndexOf(identity)) shared.set(step, identity);
    }
  }
  return shared;
}

function identityOf(step: Step): string {
  const { title, kind, branches, readings, value } = step;
  const about =
    kind === "look"
      ? branches.map(({ id }) => id).sort()
      : [...readings.map(({ id, unit }) => `${id} ${unit}`), value?.unit, value && codeOf(value.expression).join(" ")];
  return [kind, title, ...about].join("\n");
}

function flowKnown(graph: Graph, identities: ReadonlyMap<Step, string>): (Known | undefined)[] {
  const before: (Known | undefined)[] = new Array(graph.nodes.length).fill(undefined);
  if (graph.start < 0) return before;
  before[graph.start] = new Map();
  const waiting = [graph.start];
  for (let head = 0; head < waiting.length; head++) {
    const node = graph.nodes[waiting[head] as number];
    const known = node && before[node.index];
    if (!node || !known) continue;
    for (const edge of node.edges) {
      if (edge.to < 0) continue;
      const arriving = knownAfter(known, node.step, edge, identities);
      const old = before[edge.to];
      const joined = old ? join(old, arriving) : arriving;
      if (joined === old) continue;
      before[edge.to] = joined;
      waiting.push(edge.to);
    }
  }
  return before;
}

function knownAfter(known: Known, step: Step | undefined, edge: Edge, identities: ReadonlyMap<Step, string>): Known {
  // Going back for another round means that something was given time or another try.
  if (
    !step ||
    edge.kind === "again" ||
    step.kind === "do" ||
    step.kind === "use" ||
    step.sets.length > 0 ||
    step.clears.length > 0
  )
    return nothing;
  const identity = identities.get(step);
  if (identity === undefined) return known;
  const { branch } = edge;
  const possible: Possible = branch.range ? { kind: "values", ...branch.range } : { kind: "answer", id: branch.id };
  return new Map(known).set(identity, [possible]);
}
const nothing: Known = new Map();

/** Known on both ways: a check missing on one way may have any answer there. Returns `a` itself when nothing changes. */
function join(a: Known, b: Known): Known {
  const joined = new Map<string, readonly Possible[]>();
  let changed = false;
  for (const [identity, ours] of a) {
    const theirs = b.get(identity);
    if (!theirs) {
      changed = true;
      continue;
    }
    const added = theirs.filter((their) => !ours.some((our) => same(our, their)));
    if (added.length > 0) changed = true;
    joined.set(identity, added.length > 0 ? [...ours, ...added] : ours);
  }
  return changed ? joined : a;
}
function same(a: Possible, b: Possible): boolean {
  return a.kind === "answer"
    ? b.kind === "answer" && a.id === b.id
    : b.kind === "values" && a.from === b.from && a.below === b.below;
}
function agrees(possible: Possible, branch: Branch): boolean {
  if (possible.kind === "answer") return branch.id === possible.id;
  return (
    branch.range !== undefined &&
    Math.max(branch.range.from, possible.from) < Math.min(branch.range.below, possible.below)
  );
}
