import { causeFacts, endWords } from "../5-analyse/facts/causes.ts";
import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "cause-stranded",
  group: "causes",
  severity: "error",
  summary: "On some way that fits a cause, the visit ends without any cause named.",
  why: "The tree says that it finds this cause; on this way the customer waits, and nobody knows what is wrong.",
  more: `
Causes are followed as \`cause-misled\` explains. A way is at fault when it ends at a \`stop\`, also one inside a routine, and
no cause was named on it, or only such as a failed proof has ruled out since. A stop inside a routine counts where neither
\`shows\` nor \`normally\` says by which outcome the routine comes back; inside a remedy it doesn't count. Of each cause the
nearest such end is told. Answers that have nothing to do with any cause (the floor is wet, the pump can't be locked off)
are kept apart by \`normally\`: name there what is shown when nothing of the kind is in the way.
`,
  *onGraph({ graph, world }) {
    if (graph.procedure.causes.size === 0) return;
    const facts = causeFacts(graph, world);
    for (const cause of facts.causes) {
      const end = facts.walk(cause).ends.find(({ kind }) => kind === "stranded");
      if (!end) continue;
      const unsaid = facts.lastUnsaid(cause, end);
      yield {
        at: cause.at,
        message: `a visit for \`${cause.id}\` can end at ${endWords(end)} without its being named`,
        way: end.way,
        hint: unsaid
          ? `say under \`shows\` what \`${cause.id}\` shows at \`${unsaid.id}\`, or what is shown there \`normally\``
          : `lead this way on to a check that finds \`${cause.id}\`, or name it before the stop`,
        about: cause.id,
      };
    }
  },
});
