/** Texts around every page. */
export const words = {
  skip: "Skip to the content",
  compiled: (day: string) => `Compiled on ${day}.`,
  signs: "What the signal words and signs mean",
  calculators: "Calculators",
  coverage: "For trainers: what the trees cover",
} as const;
