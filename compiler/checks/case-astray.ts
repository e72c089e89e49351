import type { GraphFacts } from "../5-analyse/facts/graph-facts.ts";
import { type Repeats, repeatsOf, takenBehind, wayStep } from "../5-analyse/facts/ways.ts";
import { defineRule } from "../5-analyse/rule.ts";
import type { Step } from "../model/base.ts";
import type { Finding, WayStep } from "../model/complaint.ts";
import { codeOf, evaluate, holdsValue } from "../model/formula.ts";
import type { Edge, GraphNode } from "../model/graph.ts";
import type { CaseFile } from "../model/parsed.ts";
import type { Place } from "../model/source.ts";
import { factAmount, fromSi, readAmount, toSi, unitOf } from "../model/units.ts";
import { nearest } from "../words/nearest.ts";

export default defineRule({
  name: "case-astray",
  group: "causes",
  severity: "error",
  summary: "A training case, walked through its tree, does not end where it should.",
  why: "Either the tree leads an apprentice past a fault that is known, or the case teaches something that is not so.",
  more: `
A case in \`cases/\` says what the customer tells, which causes are really there, and what each check shows. It is walked
from the start: at each check along what it \`shows\`, past each cause of \`hidden\` in its order. While another hidden cause
is left, the proof of a repair shows \`not-fixed\`; behind the last one it shows \`fixed\`. What \`after\` says holds from
the repair of that cause on. With \`ends\` the visit must come to that stop. \`readings\` must lie in the range that is shown.
`,
  *onProcedure({ procedure, graphs, world }) {
    for (const file of world.cases.get(procedure.id) ?? []) {
      const facts = graphs.find(({ graph }) => graph.families.includes(file.data.family));
      const fault = facts
        ? faultOf(new Walk(file, facts))
        : {
            at: placeIn(file, file.data, "family"),
            message: `the tree \`${procedure.id}\` does not serve \`${file.data.family}\``,
            hint: "name a family that it serves",
          };
      if (fault)
        yield { ...fault, about: file.data.case, ...(facts && { families: [file.data.family], allFamilies: false }) };
    }
  },
});

type Fault = Omit<Finding, "rule">;

/** Far more steps than a visit has: who comes here goes round in a circle, which other rules tell of. */
const MOST_STEPS = 1000;

class Walk {
  readonly file: CaseFile;
  readonly facts: GraphFacts;
  readonly way: WayStep[] = [];
  /** How many of the hidden causes were named so far. */
  named = 0;
  readonly #visits = new Map<string, number>();
  readonly #repeats: Repeats;
  #taken: readonly number[];

  constructor(file: CaseFile, facts: GraphFacts) {
    this.file = file;
    this.facts = facts;
    this.#repeats = repeatsOf(facts.graph);
    this.#taken = this.#repeats.none;
  }

  /** What the check shows this time, with its place; `normally` holds for a case as it does for a cause. */
  shown(step: Step): { readonly id: string; readonly at: Place } | undefined {
    const { shows, after = {}, hidden } = this.file.data;
    const visit = this.#visits.get(step.id) ?? 0;
    this.#visits.set(step.id, visit + 1);
    const mended = hidden.slice(0, this.named).reverse();
    const layers = [...mended.map((cause) => after[cause] ?? {}), shows];
    for (const layer of layers) {
      const said = layer[step.id];
      if (said === undefined) continue;
      const list = Array.isArray(said) ? said : [said];
      return { id: list[Math.min(visit, list.length - 1)] ?? "", at: placeIn(this.file, layer, step.id) };
    }
    const [normal] = step.normally ?? [];
    return normal === undefined ? undefined : { id: normal, at: placeIn(this.file, this.file.data, "shows") };
  }

  /** The edge of a branch, repeats counted. */
  edge(node: GraphNode, branch: string): Edge | undefined {
    for (const edge of node.edges) {
      if (edge.branch.id !== branch || edge.kind === "unlicensed") continue;
      const taken = takenBehind(edge, this.#taken, this.#repeats);
      if (!taken) continue;
      this.#taken = taken;
      return edge;
    }
    return undefined;
  }
}

function placeIn(file: CaseFile, container: object, key: string): Place {
  return { file: file.path, ...(file.positions.value(container, key) ?? { start: 0, end: 0 }) };
}

function faultOf(walk: Walk): Fault | undefined {
  const { file, facts, way } = walk;
  const { graph } = facts;
  const { hidden, ends } = file.data;
  const whole = placeIn(file, file.data, "shows");
  const wrong = (at: Place, message: string, hint: string): Fault => ({ at, message, hint, way: [...way] });
  let at = graph.start;
  for (let count = 0; at >= 0 && count < MOST_STEPS; count++) {
    const node = graph.nodes[at];
    if (!node) return undefined;
    const { step } = node;
    if (step?.kind === "found") {
      const wanted = hidden[walk.named];
      if (step.cause?.id !== wanted) {
        way.push(wayStep(graph, at, undefined));
        return wrong(
          placeIn(file, file.data, "hidden"),
          `the tree names \`${step.cause?.id ?? step.title}\`${wanted === undefined ? "" : `, not \`${wanted}\``}`,
          wanted === undefined
            ? "mend the tree, or name that cause under `hidden`"
            : "mend the tree, or what the case shows on this way",
        );
      }
      walk.named++;
    }
    if (step === undefined || step.kind === "stop" || node.edges.length === 0) {
      way.push(wayStep(graph, at, undefined));
      if (walk.named < hidden.length)
        return wrong(
          placeIn(file, file.data, "hidden"),
          `the visit ends at \`${node.id}\` before \`${hidden[walk.named]}\` is named`,
          "mend the tree, or what the case shows on this way",
        );
      const stop = step?.kind === "stop" ? step.id : undefined;
      if (stop === ends) return undefined;
      return wrong(
        ends === undefined ? whole : placeIn(file, file.data, "ends"),
        stop === undefined ? `the visit ends with a repair, not at \`${ends}\`` : `the visit ends at \`${stop}\``,
        stop === undefined ? "mend the tree, or leave `ends` out" : `mend the tree, or write \`ends: ${stop}\``,
      );
    }
    const next = nextOf(walk, node, step, whole);
    if (next === undefined) return undefined;
    if ("message" in next) {
      way.push(wayStep(graph, at, undefined));
      return { ...next, way: [...way] };
    }
    way.push(wayStep(graph, at, next));
    at = next.to;
  }
  // A branch that leads nowhere is told of by another rule.
  return undefined;
}

/** The edge on which the case goes on; undefined where the graph itself is at fault. */
function nextOf(walk: Walk, node: GraphNode, step: Step, whole: Place): Edge | Fault | undefined {
  const branches = [...new Set(node.edges.filter(({ kind }) => kind !== "unlicensed").map(({ branch }) => branch.id))];
  if (step.isProof) {
    // A measured proof has ranges of its own; the one that leads to the end is the one that holds.
    const holds = branches.includes("fixed")
      ? "fixed"
      : node.edges.find(({ to }) => to >= 0 && walk.facts.graph.nodes[to]?.step === undefined)?.branch.id;
    const isLast = walk.named === walk.file.data.hidden.length;
    const wanted = isLast ? holds : branches.find((branch) => branch !== holds);
    if (holds !== undefined && wanted !== undefined) return walk.edge(node, wanted);
  }
  const [only] = branches;
  if (step.kind === "sort" || (branches.length === 1 && step.kind !== "look" && step.kind !== "measure"))
    return only === undefined ? undefined : walk.edge(node, only);
  const shown = walk.shown(step);
  if (!shown)
    return {
      at: whole,
      message: `the tree asks \`${step.id}\`, and the case does not say what it shows`,
      hint: `add \`${step.id}: ${branches.join("` or `")}\``,
    };
  const edge = walk.edge(node, shown.id);
  if (edge) return readingFault(walk, step, edge) ?? edge;
  const near = nearest(shown.id, branches);
  return {
    at: shown.at,
    message: `\`${step.id}\` cannot show \`${shown.id}\` at \`${walk.file.data.family}\``,
    hint: near ? `\`${near}\` may be meant` : `it can show \`${branches.join("`, `")}\``,
  };
}

/** Whether the figures of the case lie in the range that it says is shown. */
function readingFault({ file, facts }: Walk, { id, value }: Step, { branch }: Edge): Fault | undefined {
  const read = file.data.readings?.[id];
  if (!read || !value || !branch.range) return undefined;
  const at = placeIn(file, file.data.readings ?? {}, id);
  const amounts = new Map<string, number>();
  for (const [name, { unit: symbol }] of value.inputs) {
    const key = name.slice(name.lastIndexOf(".") + 1);
    const from = name.includes(".") ? file.data.readings?.[name.slice(0, name.lastIndexOf("."))] : read;
    const amount = readAmount(String(from?.[key] ?? ""));
    const unit = amount && unitOf(amount.symbol === "" ? symbol : amount.symbol);
    if (!amount || !unit)
      return {
        at,
        message: `\`${id}\` needs the reading \`${name}\``,
        hint: `give it as a figure with its unit, in \`${symbol}\``,
      };
    amounts.set(name, toSi(amount.number, unit));
  }
  const family = facts.world.catalogs.equipment.get(file.data.family)?.entry as {
    facts?: Record<string, string | number | boolean>;
  };
  const si = evaluate(codeOf(value.expression), (name) =>
    name.startsWith("equipment.")
      ? (factAmount(family.facts?.[name.slice("equipment.".length)])?.si ?? Number.NaN)
      : (amounts.get(name) ?? Number.NaN),
  );
  const unit = unitOf(value.unit);
  const { from, below } = branch.range;
  const ends = { ...(Number.isFinite(from) && { from }), ...(Number.isFinite(below) && { below }) };
  if (!unit || holdsValue(ends, fromSi(si, unit))) return undefined;
  return {
    at,
    message: `these readings give ${Number(fromSi(si, unit).toPrecision(4))} ${value.unit}, which is not \`${branch.id}\``,
    hint: "mend the readings, or name the range that they lie in",
  };
}
