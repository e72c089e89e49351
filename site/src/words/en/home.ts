/** Texts of the home page and of the page of parts: HTML, and what is put into them is HTML. */
export const words = {
  title: "What does the customer say?",
  /** @param such Two phrases of customers at most, in quotes. */
  find: (such: readonly string[]) =>
    `Say it as the customer says it${such.length === 0 ? "" : `: ${such.join(" or ")}`}. A cause or a part will do too. Misspellings do no harm.`,
  quoted: (phrase: string) => `“${phrase}”`,
  found: "Trees found, best first",
  byPart: "I only know the part",
  areas: "Areas",
  senses: "List only what one can",
  sense: {
    all: "everything",
    sees: "see",
    hears: "hear",
    smells: "smell",
    tastes: "taste",
    measures: "measure",
  },
  kinds: (count: number) => `${count} kinds of unit`,
  families: (titles: string) => `For: ${titles}.`,
  noTree: "No procedure yet.",
  partsSay:
    "Open a part to see which trees use it, and for which causes. A part on the van is no diagnosis: the tree finds out whether it is the cause.",
  onTheWay: "on the way, for no cause of its own",
  trees: (count: number) => (count === 1 ? "1 tree" : `${count} trees`),
  noParts: "The trees of this base use no parts.",
} as const;
