import type { words as english } from "../en/page.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  skip: "Saltar al contenido",
  compiled: (day) => `Compilado el ${day}.`,
  signs: "Qué significan las palabras de señal y las señales",
  calculators: "Calculadoras",
  coverage: "Para instructores: qué cubren los árboles",
};
