import { hasBit } from "../5-analyse/facts/flow.ts";
import { stateWay, withStates } from "../5-analyse/facts/state-ways.ts";
import { bestMeans, meansWords, stateFacts } from "../5-analyse/facts/states.ts";
import { defineRule } from "../5-analyse/rule.ts";
import { plainText } from "../words/markdown.ts";

export default defineRule({
  name: "need-not-met",
  group: "safety",
  severity: "error",
  summary: "A step needs a state that does not hold on every way to it.",
  why: "One way that skips the isolating step puts somebody in front of a unit that is under pressure or live.",
  more: `
A state counts at a step only if it holds on **every** way there, for every family: set before by a step or by a routine
on all its ways to that outcome, and not cleared since. What a routine \`needs\`, and what its own steps rely on, is
asked where it is used; inside the routine it is taken as given. The hint names a routine that would bring the state about.
`,
  *onGraph({ graph, reachable, world }) {
    const facts = stateFacts(graph, world);
    for (const { index, step } of graph.nodes) {
      if (!step || !reachable[index] || (step.needs.length === 0 && facts.neededInside(index).size === 0)) continue;
      const before = facts.mustBefore(index);
      const needs = [
        ...step.needs.map(({ id, at }) => ({ state: id, asked: `\`${step.id}\``, at, inside: undefined })),
        ...[...facts.neededInside(index)].map(([state, inside]) => ({
          state,
          asked: `the routine \`${step.routine?.id}\`, used at \`${step.id}\`,`,
          at: step.titleAt,
          inside,
        })),
      ];
      for (const { state, asked, at, inside } of needs) {
        const bit = facts.bit(state);
        if (bit === undefined || !before || hasBit(before, bit)) continue;
        const found = stateWay(graph, facts, state, "must", (node, held) => node === index && !held);
        if (!found) continue;
        const means = bestMeans("set", state, [], graph, world);
        const without = world.catalogs.states.get(state)?.entry.without;
        yield {
          at,
          message: `${asked} needs \`${state}\`, which does not hold on every way to it`,
          ...(without ? { meaning: plainText(without) } : {}),
          ...(inside ? { related: [{ at: inside, text: "needed here" }] } : {}),
          way: withStates(graph, facts, found, "must"),
          hint:
            means.length > 0
              ? `use ${meansWords(means)} on this way, before \`${step.id}\``
              : `let a step on this way set \`${state}\`, before \`${step.id}\``,
          about: step.id,
        };
      }
    }
  },
});
