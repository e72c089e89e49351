import type { words as english } from "../en/home.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  title: "¿Qué dice el cliente?",
  find: (such) =>
    `Dígalo como lo dice el cliente${such.length === 0 ? "" : `: ${such.join(" o ")}`}. También sirve una causa o una pieza. Las faltas de ortografía no importan.`,
  quoted: (phrase) => `«${phrase}»`,
  found: "Árboles encontrados, primero el mejor",
  byPart: "Solo sé cuál es la pieza",
  areas: "Áreas",
  senses: "Mostrar solo lo que se puede",
  sense: {
    all: "todo",
    sees: "ver",
    hears: "oír",
    smells: "oler",
    tastes: "saborear",
    measures: "medir",
  },
  kinds: (count) => `${count} tipos de equipo`,
  families: (titles) => `Para: ${titles}.`,
  noTree: "Todavía no hay procedimiento.",
  partsSay:
    "Abra una pieza para ver qué árboles la usan y para qué causas. Una pieza en la camioneta no es un diagnóstico: el árbol averigua si es la causa.",
  onTheWay: "de paso, para ninguna causa propia",
  trees: (count) => (count === 1 ? "1 árbol" : `${count} árboles`),
  noParts: "Los árboles de esta base no usan piezas.",
};
