import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "unit-mismatch",
  group: "readings",
  severity: "error",
  summary: "Units do not fit together, or one is not known.",
  why: "A pressure compared with a flow, or gallons taken for litres, gives a number that looks right and isn't.",
  more: `
Every reading, value and threshold has a unit. The dimension of the formula must be that of the value's unit, and the dimension of a threshold that of the value; within one dimension, units are converted.
`,
});
