import { causesNotNamed } from "../5-analyse/facts/covered.ts";
import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "cause-not-covered",
  group: "causes",
  severity: "warning",
  summary: "The catalog says that a cause produces this symptom, and the tree for it never names that cause.",
  why: "Somebody meets this fault one day, and the tree can only lead past it.",
  more: `
The catalog lists under a cause the symptoms that it can produce. A tree for one of these should name the cause at a \`found\`
step that some of its equipment comes to. A cause that stands in the tree's own table is not told here: if it is never
named, \`cause-misled\` or \`cause-stranded\` show the way on which it is missed. Where a cause can't occur on what the tree
serves, accept it and say so.
`,
  *onProcedure({ procedure, graphs, world }) {
    const { file } = procedure;
    const span = file.positions.value(file.data, "symptom") ?? procedure.at;
    for (const { id, at } of causesNotNamed(
      procedure,
      graphs.map(({ graph }) => graph),
      world,
    ))
      yield {
        at: { file: file.path, start: span.start, end: span.end },
        message: `\`${id}\` can produce this symptom, and \`${procedure.id}\` never names it`,
        related: [{ at, text: "the catalog says so" }],
        hint: `add a way that ends in \`found: ${id}\`, take the symptom out of the catalog, or accept it with the reason`,
        about: id,
      };
  },
});
