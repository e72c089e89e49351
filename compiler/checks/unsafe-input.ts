import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "unsafe-input",
  group: "shape",
  severity: "error",
  summary: "A file holds something that could harm its reader's device or stall the compiler.",
  why: "The pages are opened on the technician's own phone; a text must not be able to run code there or reach other hosts.",
  more: `
Refused are: raw HTML, links to anything but \`https://\`, \`http://\`, \`mailto:\`, \`tel:\` and places on the same page, pictures by address, picture paths that leave the pictures folder, aliases that multiply, nesting without reason, files of more than 2 MB; in a drawing (SVG) also scripts and whatever points out of it.
`,
});
