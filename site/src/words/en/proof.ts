/** Texts of a tree's safety proof: HTML, and what is put into them is HTML. */
export const words = {
  title: (tree: string) => `Safety proof: ${tree}`,
  procedureOf: (tree: string, chart: string) => `<b>Procedure:</b> ${tree} (${chart})`,
  chart: "chart",
  compiled: (compiled: string, reviewed: string, by: string) =>
    `Compiled on ${compiled}. Reviewed on ${reviewed} by ${by}.`,
  says: "Worked out over every way through this procedure. A line is true for all the equipment named above, unless it says whom it is for.",
  own: "The procedure itself",
  routine: (letter: string, title: string) => `Routine ${letter}: ${title}`,
  forRoutine: (letter: string) => `for routine ${letter}`,
  onlyFor: (families: string) => `Only for: ${families}`,
  needs: {
    title: "Each need holds on every way to its step",
    columns: { step: "Step", needs: "Needs", by: "Brought about by" },
    beginning: "Holds when the procedure begins",
  },
  cautions: {
    title: "Each hazard has its caution before it on every way",
    columns: { step: "Step", hazard: "Hazard, and why", caution: "Caution" },
    beginning: "At the head of the procedure",
    here: "At the step itself",
  },
  licences: {
    title: "Licensed work",
    columns: { step: "Step", licence: "Licence", without: "Without it" },
  },
  ends: {
    title: "Each end, and what may still be true there",
    columns: { end: "End", still: "Still true, and why" },
    from: (step: string) => `from ${step}`,
    nothing: "Nothing",
  },
  nothing: "It needs nothing, raises no hazard and has no end of its own.",
  done: "Done",
  routineEnds: (outcome: string) => `The routine ends: ${outcome}`,
  because: {
    declared: "the step says so",
    state: (state: string) => `it makes true: ${state}`,
    tool: (tool: string) => `tool: ${tool}`,
    part: (part: string) => `part: ${part}`,
    reading: (unit: string) => `reading in ${unit}`,
    word: (word: string) => `the text says “${word}”`,
  },
  notProven: {
    title: "What is not proven",
    /** In English the terminal says the same, from the compiler's own list. */
    reader: "that the reader does what a step says, and does it well",
    claims: "that a step really brings about the states it says it sets, or a unit is of the family it was taken for",
    catalogs: "that the catalogs name every hazard, every trigger word and every licence that local law asks for",
    enough:
      "that the words of a caution are enough; whether each stands before its step is proven, what it says is not",
  },
  sign: {
    title: "Signed",
    says: "I have read this proof, and have judged for our work what it does not prove.",
    columns: { name: "Name", date: "Date", signature: "Signature" },
  },
} as const;
