import { defineRule } from "../5-analyse/rule.ts";

export default defineRule({
  name: "unit-mismatch",
  group: "readings",
  severity: "error",
  summary: "Units do not fit together, or one is not known.",
  why: "A pressure compared with a flow, or gallons taken for litres, gives a number that looks right and isn't.",
  more: `
Every reading, value, fact and threshold has a unit. What is added, subtracted, compared or chosen between must be of one
kind, and a formula must give what the unit of its result is for; within one kind, units are converted. Exponents of an
amount are fixed numbers; logarithms and rounding take plain numbers, which a division by one unit makes.

A temperature in °C or °F is a point on a scale. Two may be subtracted or compared; a difference in K, Δ°C or Δ°F may be
added to one. Nothing else may be done with it, since 40 °C are not twice 20 °C.
`,
});
