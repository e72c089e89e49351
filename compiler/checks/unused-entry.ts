import { defineRule } from "../5-analyse/rule.ts";
import type { Section } from "../model/base.ts";

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
  summary: "A catalog entry or routine that no tree needs; or an acceptance that matches nothing.",
  why: "What nobody uses is not kept true, and the next author takes it for checked.",
  more: `
An entry counts as used when a tree names it, or a routine that a tree uses, or another entry that is used itself (a
state names the hazards it raises). A symptom is used by a tree for it, not by a cause that mentions it. A hazard with
trigger words is always in use: it watches over every text. An \`accept\` that silences nothing is reported as well.
`,
  *onBase({ world, used }) {
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
