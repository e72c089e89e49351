import { reachableFrom } from "../5-analyse/facts/reach.ts";
import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "unreachable-step",
  group: "graph",
  severity: "error",
  summary: "No way from the start leads to a step, for any family; or a routine never ends in one of its outcomes.",
  why: "Somebody wrote this step because it was needed; no reader will ever see it.",
  more: `
A step must be reachable for at least one of the families that the tree serves. Where a whole part hangs in the air,
its first step is reported, and the steps behind it are counted. Nothing is said about a procedure in which some branch
leads to an unknown name: mend that first.
`,
  *onProcedure({ procedure, graphs }) {
    if (procedure.incomplete || graphs.length === 0) return;
    const reached = new Set<string>();
    for (const { graph, reachable } of graphs)
      for (const node of graph.nodes) if (reachable[node.index]) reached.add(node.id);
    // A step that everybody reaching it passes over is for families that don't come here: not seen, so not reached.
    const lost = [...procedure.steps.values()].filter((step) => !reached.has(step.id) && step.of === undefined);
    const present = new Set(graphs.flatMap(({ graph }) => graph.nodes.map(({ id }) => id)));
    const ids = [...procedure.steps.keys()];
    const number = new Map(ids.map((id, i) => [id, i]));
    // What is lost behind a step that is reached has reasons of its own.
    const successors = [...procedure.steps.values()].map(({ id: from, branches }) =>
      reached.has(from)
        ? []
        : branches.flatMap(({ to, again }) =>
            [to, again?.else].flatMap((id) => (id === undefined ? [] : (number.get(id) ?? -1))),
          ),
    );
    const told = new Set<string>();
    // A step that another lost step leads to is behind that one, unless the two lie on a circle: then the first is told.
    const heads = lost.filter(
      (step) => !lost.some((other) => other !== step && leadsTo(other.id, step.id) && !leadsTo(step.id, other.id)),
    );
    for (const step of heads) {
      if (told.has(step.id)) continue;
      const behind = reachableFrom(successors, number.get(step.id) ?? -1);
      const others = lost.filter((other) => other !== step && behind[number.get(other.id) ?? -1] === 1);
      for (const other of [step, ...others]) told.add(other.id);
      const families = graphs.flatMap(({ graph }) => graph.families);
      const rest =
        others.length === 0 ? "" : `, nor to the ${others.length === 1 ? "step" : `${others.length} steps`} behind it`;
      yield {
        at: step.at,
        message: present.has(step.id)
          ? `no way from the start leads to \`${step.id}\`${rest}`
          : `\`${step.id}\` is for no family that comes this way`,
        families,
        allFamilies: graphs.every(({ graph }) => graph.allFamilies) || graphs.length > 1,
        hint: present.has(step.id)
          ? "let an answer lead to it, or delete it"
          : "serve a family that it is for, or delete it",
        about: step.id,
      };
    }
    for (const [outcome, { at }] of procedure.outcomes)
      if (!reached.has(outcome))
        yield {
          at,
          message: `no step of the routine \`${procedure.id}\` ends in \`${outcome}\``,
          hint:
            outcome === "done"
              ? "let the last step lead to `done`, or declare the outcomes"
              : "let a step lead to it, or delete it",
          about: outcome,
        };

    function leadsTo(from: string, to: string): boolean {
      return reachableFrom(successors, number.get(from) ?? -1)[number.get(to) ?? -1] === 1;
    }
  },
});
