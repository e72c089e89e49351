import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "invalid-formula",
  group: "readings",
  severity: "error",
  summary: "A value can't be computed as it is written.",
  why: "A threshold compared with a wrong number sends the reader down the wrong branch.",
  more: `
A value is a reading, or a product or ratio of readings and numbers: \`treated / raw\`, \`volume / time\`, \`2 * length\`. With more than one reading, \`value\` must say what is compared with the ranges. Temperatures in °C and °F are points on a scale and can only be compared.
`,
});
