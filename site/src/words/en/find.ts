/** Texts of finding: the field, and what its script says. */
export const words = {
  button: "Find",
  /** By what is listed on the page. */
  counted: {
    tree: (count: number) => (count === 1 ? "1 tree" : `${count} trees`),
    calculator: (count: number) => (count === 1 ? "1 calculator" : `${count} calculators`),
  },
  found: (counted: string) => `${counted} found`,
  foundMore: (counted: string, shown: number) => `${counted} found, the first ${shown} shown`,
  nothing: "Nothing found. Try another word for it.",
  listed: (counted: string) => `${counted} listed`,
  why: { says: "They say", causes: "Cause", parts: "Part" },
} as const;
