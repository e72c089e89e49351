import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "missing-picture",
  group: "shape",
  severity: "error",
  summary: "A step names a picture that is not in the pictures folder.",
  why: "An empty frame in a cellar is worse than none: the reader looks for what isn't there.",
  more: `
Pictures are files below \`pictures/\`; a step names the path below that folder. What ends otherwise than in \`svg\`, \`png\`, \`jpg\`, \`jpeg\`, \`webp\`, \`avif\` or \`gif\` is none, and stays out of the site.
`,
});
