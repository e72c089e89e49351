import type { words as english } from "../en/board.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  standings: { covered: "cubierto", partly: "en parte", not: "sin cubrir", "not-applicable": "no corresponde" },
  boardHead: {
    area: "área",
    symptom: "síntoma",
    equipment: "equipo",
    coverage: "cobertura",
    symptomId: "id del síntoma",
    equipmentId: "id del equipo",
  },
  causesHead: {
    area: "área",
    symptom: "síntoma",
    tree: "árbol",
    cause: "causa",
    equipment: "equipo",
    likelihood: "probabilidad",
    found: "se encuentra",
    mean: "minutos de media",
    worst: "minutos en el peor caso",
  },
  shown: (chosen, covered, all, partly, not) =>
    `Se muestra: ${chosen}. ${covered} de ${all} pares cubiertos, ${partly} en parte, ${not} sin cubrir.`,
};
