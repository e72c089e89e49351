import type { words as english } from "../en/formula.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  title: "Calculadoras",
  says: "Los cálculos del oficio, cada uno con sus límites, ejemplos resueltos y fuente. El compilador vuelve a calcular cada ejemplo antes de hacer una página.",
  find: "¿Qué quiere saber? Una palabra del título, de su uso o de lo que entra. Las faltas de ortografía no importan.",
  found: "Calculadoras encontradas, primero la mejor",
  none: "Esta base no tiene fórmulas.",
  all: "Todas las calculadoras",
  for: "Para qué sirve",
  limits: (limits) => `<b>Sus límites.</b> ${limits}`,
  constants: "Cantidades fijas que contiene:",
  inputs: "Lo que entra",
  examples: "Ejemplos resueltos",
  gives: (amount, within) => `da <b>${amount}</b> <small>(con un margen de ${within})</small>`,
  sourceOf: (source) => `Fuente: ${source}`,
  fillIn: (example) => `Rellenar con el ejemplo ${example}`,
  source: "Fuente",
};
