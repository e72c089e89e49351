import { answersWithoutCause } from "../5-analyse/facts/covered.ts";
import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "branch-without-cause",
  group: "causes",
  severity: "warning",
  summary: "An answer that no cause of the tree gives, and that leads on to a cause all the same.",
  why: "Whoever gives this answer is led by steps that were made for nobody, to a cause that would not have shown it.",
  more: `
Causes are followed as \`cause-misled\` explains. Told is an answer, range or outcome of a check that some cause comes to,
which none of them takes, where a \`found\` step lies somewhere behind it. An answer behind which there are only ends without
a cause (as it should be, not this unit, hand over) belongs to none and needs none: that is where a reader goes for whom the
table has no cause, or whom a hazard turns away. Steps that no cause comes to are not told one by one, but the answer that
leads there. Mend it by adding the answer to the \`shows\` of the cause that gives it, or the cause that is missing in the
table, or by leading the answer to a stop.
`,
  *onGraph({ graph, world }) {
    for (const { step, answer, at } of answersWithoutCause(graph, world))
      yield {
        at,
        message: `no cause gives the answer \`${answer}\` at \`${step.id}\`, which leads on to one`,
        hint: "add it to the `shows` of the cause that gives it, or lead it to a stop",
        about: step.id,
      };
  },
});
