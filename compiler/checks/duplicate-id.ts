import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "duplicate-id",
  group: "shape",
  severity: "error",
  summary: "The same name stands for two things.",
  why: "Only one of the two would be used, and the reader of the other would never know.",
  more: `
Keys may not repeat in one place; tree ids, routine ids and the entries of a catalog section may not repeat across files; a routine's steps and outcomes share one set of names.
`,
});
