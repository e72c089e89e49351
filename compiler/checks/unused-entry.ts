import { hasBit } from "../5-analyse/facts/flow.ts";
import type { GraphFacts } from "../5-analyse/facts/graph-facts.ts";
import { holdsAfter, stateFacts } from "../5-analyse/facts/states.ts";
import { defineRule } from "../5-analyse/rule.ts";
import type { Section, Step } from "../model/base.ts";

const names: Readonly<Partial<Record<Section, string>>> = {
  symptoms: "symptom",
  causes: "cause",
  equipment: "equipment family",
  states: "state",
  hazards: "hazard",
  tools: "tool",
  parts: "part",
  contacts: "contact",
  licences: "licence",
  sources: "source",
};

export default defineRule({
  name: "unused-entry",
  group: "shape",
  severity: "warning",
  summary: "A catalog entry or routine that no tree needs; or an acceptance or a `leaves` that matches nothing.",
  why: "What nobody uses is not kept true, and the next author takes it for checked.",
  more: `
An entry counts as used when a tree names it, or a routine that a tree uses, or another entry that is used itself (a
state names the hazards it raises). A symptom is used by a tree for it, not by a cause that mentions it. A hazard with
trigger words is always in use: it watches over every text. An \`accept\` that silences nothing is reported as well, and in a
tree a \`leaves\` for a state that can't hold at that end.
`,
  *onProcedure({ procedure, graphs, world }) {
    // What holds at a stop inside a routine is for its users to say.
    if (procedure.kind !== "tree") return;
    for (const step of procedure.steps.values())
      for (const { state } of step.leaves) {
        const ends = graphs.filter((facts) => isReached(facts, step));
        if (ends.length === 0 || !world.catalogs.states.has(state.id)) continue;
        if (ends.some((facts) => mayHoldAt(facts, step, state.id))) continue;
        yield {
          at: state.at,
          message: `\`${state.id}\` can't hold at \`${step.id}\`, so there is nothing to leave`,
          hint: "delete it, or let a step on the way set the state",
          about: step.id,
        };
      }
  },
  *onBase({ world, used }) {
    if (!used) return;
    for (const [section, name] of Object.entries(names) as [Section, string][])
      for (const { id, at, entry } of world.catalogs[section].values()) {
        if (used.has(`${section}/${id}`)) continue;
        if (section === "hazards" && "words" in entry && (entry.words?.length ?? 0) > 0) continue;
        yield {
          at,
          message: `no tree uses the ${name} \`${id}\``,
          hint: section === "symptoms" ? "write a tree for it, or delete it" : "use it, or delete it",
          about: id,
        };
      }
    for (const { id, at } of world.routines.values())
      if (!used.has(`routines/${id}`))
        yield { at, message: `no tree uses the routine \`${id}\``, hint: "use it, or delete the file", about: id };
  },
});

function isReached({ graph, reachable }: GraphFacts, step: Step): boolean {
  return graph.nodes.some((node) => node.step === step && reachable[node.index] === 1);
}

/** Whether the state may hold at a stop, or at a `done` behind what was found. */
function mayHoldAt({ graph, world }: GraphFacts, end: Step, state: string): boolean {
  const facts = stateFacts(graph, world);
  const bit = facts.bit(state) ?? 0;
  return graph.nodes.some(({ index, step, edges }) => {
    const may = facts.mayBefore(index);
    if (!may) return false;
    if (step === end && end.kind === "stop") return hasBit(may, bit);
    if (step === undefined || (step !== end && step.of !== end.id)) return false;
    return edges.some(({ to }, edge) => {
      const change = facts.change(index, edge)?.may;
      return change !== undefined && graph.nodes[to]?.step === undefined && holdsAfter(change, bit, hasBit(may, bit));
    });
  });
}
