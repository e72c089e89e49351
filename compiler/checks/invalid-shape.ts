import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "invalid-shape",
  group: "shape",
  severity: "error",
  summary: "A part of a file does not keep to the format.",
  why: "A misspelt word would silently drop a caution or a way on; so nothing that isn't known is let pass.",
  more: `
Every word, type and form is laid down in the JSON Schemas of the folder \`schema\`. An editor with YAML support that is pointed at them completes the words and explains each on hover. A file with a fault of shape is not analysed further, but what it declares is known to the others.
`,
});
