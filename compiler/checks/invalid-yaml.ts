import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "invalid-yaml",
  group: "shape",
  severity: "error",
  summary: "A file is not one readable YAML document.",
  why: "What can't be read can't be checked, and nobody would notice that the procedure is missing.",
  more: `
The commonest reasons: a tab in the indentation, a text with a colon and a blank in it that stands without quotes, a closing quote or bracket that is missing. Put quotes around a text when in doubt. A file holds one document and is saved as UTF-8.
`,
});
