import type { words as english } from "../en/zoom.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  larger: "Más grande",
  smaller: "Más pequeño",
  whole: "Todo el diagrama",
  back: "Volver a la visita",
  here: (box) => `Usted está aquí: ${box}`,
  been: (box) => `${box}. Usted estuvo aquí.`,
};
