/** Texts of a formula's page and of their list: HTML, and what is put into them is HTML. */
export const words = {
  title: "Calculators",
  says: "The sums of the trade, each with its limits, worked examples and source. The compiler works every example out again before a page is made.",
  find: "What do you want to know? A word of the title, of its use or of what goes in. Misspellings do no harm.",
  found: "Calculators found, best first",
  none: "This base has no formulas.",
  all: "All calculators",
  for: "What it is for",
  limits: (limits: string) => `<b>Its limits.</b> ${limits}`,
  constants: "Fixed amounts in it:",
  inputs: "What goes in",
  examples: "Worked examples",
  gives: (amount: string, within: string) => `gives <b>${amount}</b> <small>(within ${within})</small>`,
  sourceOf: (source: string) => `Source: ${source}`,
  fillIn: (example: number) => `Fill in example ${example}`,
  source: "Source",
} as const;
