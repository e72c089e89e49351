import { causeFacts, endWords } from "../5-analyse/facts/causes.ts";
import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "cause-misled",
  group: "causes",
  severity: "error",
  summary: "On some way that fits a cause, the visit ends with another cause named.",
  why: "The wrong part is changed, and the fault is still there.",
  more: `
Every cause of the tree's table is followed through the tree, for each kind of equipment on which it can occur. At a check
it takes the answers that its \`shows\` names there, else those that the check shows \`normally\`, else any. A repair of
another cause does not mend it: where that repair is proven, the proof fails, and the way goes on by it. So a tree may pass
through another cause's repair, and that is told as a repair in vain, not as a fault. A way is at fault when the visit ends
and the cause named last, and not disproved, is the wrong one. It is taken that there is one fault, that the reader holds
the licences, and that checks show what the table says. Mend it by saying what the cause shows, by a check on the way that
tells the two apart, or by a proof whose \`not-fixed\` leads on.
`,
  *onGraph({ graph, world }) {
    if (graph.procedure.causes.size === 0) return;
    const facts = causeFacts(graph, world);
    for (const cause of facts.causes) {
      const told = new Set<string>();
      for (const end of facts.walk(cause).ends) {
        const { kind, named, way } = end;
        if (kind !== "misled" || named === undefined || told.has(named)) continue;
        told.add(named);
        const unsaid = facts.lastUnsaid(cause, end);
        yield {
          at: cause.at,
          message: `a visit for \`${cause.id}\` can end at ${endWords(end)}, with \`${named}\` named as the cause`,
          way,
          hint: unsaid
            ? `say under \`shows\` what \`${cause.id}\` shows at \`${unsaid.id}\`, or what is shown there \`normally\``
            : `tell \`${cause.id}\` from \`${named}\` by a check on this way, or let a proof lead on when the repair is in vain`,
          about: cause.id,
        };
      }
    }
  },
});
