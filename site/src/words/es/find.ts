import type { words as english } from "../en/find.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  button: "Buscar",
  counted: {
    tree: (count) => (count === 1 ? "1 árbol" : `${count} árboles`),
    calculator: (count) => (count === 1 ? "1 calculadora" : `${count} calculadoras`),
  },
  found: (counted) => `Resultado: ${counted}`,
  foundMore: (counted, shown) => `Resultado: ${counted}; se muestran los primeros ${shown}`,
  nothing: "No se encontró nada. Pruebe con otra palabra.",
  listed: (counted) => `En la lista: ${counted}`,
  why: { says: "Dicen", causes: "Causa", parts: "Pieza" },
};
