import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "unknown-reference",
  group: "shape",
  severity: "error",
  summary: "A name is used that nothing in the base carries.",
  why: "A way on, a tool or a caution that does not exist leaves the reader with nothing in hand.",
  more: `
Ids of steps, answers, routines, outcomes and catalog entries are looked up; the nearest known name is offered, else
what speaks of the same thing by its id or title, else what there is. \`done\` can only be reached from the proof of a \`found\` step.
`,
});
