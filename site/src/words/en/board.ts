/** Texts that the coverage board and its script have in common, and the heads of its files. */
export const words = {
  standings: { covered: "covered", partly: "partly", not: "not", "not-applicable": "does not apply" },
  boardHead: {
    area: "area",
    symptom: "symptom",
    equipment: "equipment",
    coverage: "coverage",
    symptomId: "symptom id",
    equipmentId: "equipment id",
  },
  causesHead: {
    area: "area",
    symptom: "symptom",
    tree: "tree",
    cause: "cause",
    equipment: "equipment",
    likelihood: "likelihood",
    found: "found",
    mean: "mean minutes",
    worst: "worst minutes",
  },
  shown: (chosen: string, covered: number, all: number, partly: number, not: number) =>
    `Shown: ${chosen}. ${covered} of ${all} pairs covered, ${partly} partly, ${not} not.`,
} as const;
