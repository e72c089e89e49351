import type { Raised } from "../5-analyse/facts/hazards.ts";
import { raisedHazards } from "../5-analyse/facts/hazards.ts";
import { givenNotes, notesHere } from "../5-analyse/facts/notes.ts";
import { shortestWay } from "../5-analyse/facts/ways.ts";
import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "missing-safety-note",
  group: "safety",
  severity: "error",
  summary: "A step raises a hazard, and on some way to it the reader has not been cautioned.",
  why: "A reader follows one way, not all of them; one way without the caution is enough for somebody to be hurt.",
  more: `
A hazard is raised by a step's \`hazards\`, by the states it \`sets\`, by its tools and parts, by a reading that
can exceed the hazard's \`above\`, and by the trigger words of the hazard in what the step says (code and links don't count). The caution must stand in \`safety\` at the step itself, or
at a step before it **on every way** for every family, or at the head of the procedure. It no longer counts once a step
has ended a state that raises the hazard: a unit that was closed and is opened again needs the caution again. A routine
carries the cautions for its own work, since it can be used anywhere; those it gives count behind it.
`,
  *onGraph(facts) {
    const { graph, reachable, world } = facts;
    let notes: ReturnType<typeof givenNotes> | undefined;
    for (const { index, step } of graph.nodes) {
      if (!step || !reachable[index]) continue;
      for (const raised of raisedHazards(step, world)) {
        const { hazard } = raised;
        // The common case; it needs no look at the ways.
        if (notesHere(step, hazard)) continue;
        notes ??= givenNotes(graph, world);
        const given = notes;
        if (given.has(index, hazard)) continue;
        const found = shortestWay(
          graph,
          given.entry(hazard) ? 1 : 0,
          (node, state) => node === index && state === 0,
          (node, edge, state) => {
            const after = given.after(node, graph.nodes[node]?.edges.indexOf(edge) ?? -1, hazard, state === 1);
            return after === undefined ? undefined : Number(after);
          },
        );
        // The flow may join what no single reader can do (a repeat used up); a way that exists is the proof.
        if (!found) continue;
        // Where some step, or a routine on the way, ends the caution again, only one at the step itself is sure to help.
        const undone = graph.nodes.some((node) =>
          node.edges.some((_, i) => given.after(node.index, i, hazard, true) === false),
        );
        const gate = undone
          ? undefined
          : lastGate(
              facts.dominators,
              graph.nodes.map(({ step: s }) => s?.kind),
              index,
            );
        const elsewhere = gate === undefined ? "" : `, or at \`${graph.nodes[gate]?.id}\`, which every way passes`;
        yield {
          at: reasonAt(raised, step),
          message: `\`${step.id}\` raises \`${hazard}\` ${because(raised)}, and no caution stands before it`,
          way: found.way,
          hint: `add \`- hazard: ${hazard}\` under \`safety:\` at \`${step.id}\`${elsewhere}`,
          about: step.id,
        };
      }
    }
  },
});

function because({ by, what }: Raised): string {
  switch (by) {
    case "declared":
      return "by its `hazards`";
    case "state":
      return `by setting \`${what}\``;
    case "tool":
      return `by its tool \`${what}\``;
    case "part":
      return `by its part \`${what}\``;
    case "reading":
      return `by its reading \`${what}\`, which can exceed the limit`;
    case "word":
      return `by the word "${what}"`;
    default:
      return by satisfies never;
  }
}

function reasonAt({ by, what }: Raised, step: Parameters<typeof raisedHazards>[0]): typeof step.at {
  const list = { declared: step.hazards, state: step.sets, tool: step.tools, part: step.parts, reading: [], word: [] }[
    by
  ];
  return list.find(({ id }) => id === what)?.at ?? step.at;
}

/** The nearest step before that every way passes and that shows the reader something. */
function lastGate(dominators: Int32Array, kinds: readonly (string | undefined)[], node: number): number | undefined {
  for (let gate = dominators[node] ?? -1; gate >= 0; gate = dominators[gate] ?? -1)
    if (kinds[gate] === "do" || kinds[gate] === "look" || kinds[gate] === "measure") return gate;
  return undefined;
}
