import type { words as english } from "../en/proof.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  title: (tree) => `Demostración de seguridad: ${tree}`,
  procedureOf: (tree, chart) => `<b>Procedimiento:</b> ${tree} (${chart})`,
  chart: "diagrama",
  compiled: (compiled, reviewed, by) => `Compilado el ${compiled}. Revisado el ${reviewed} por ${by}.`,
  says: "Calculado sobre todos los caminos de este procedimiento. Una línea vale para todo el equipo nombrado arriba, salvo que diga para cuál es.",
  own: "El procedimiento mismo",
  routine: (letter, title) => `Rutina ${letter}: ${title}`,
  forRoutine: (letter) => `para la rutina ${letter}`,
  onlyFor: (families) => `Solo para: ${families}`,
  needs: {
    title: "Cada requisito se cumple por todos los caminos hasta su paso",
    columns: { step: "Paso", needs: "Requiere", by: "Se produce en" },
    beginning: "Se cumple cuando empieza el procedimiento",
  },
  cautions: {
    title: "Cada riesgo tiene antes su mensaje de seguridad por todos los caminos",
    columns: { step: "Paso", hazard: "Riesgo, y por qué", caution: "Mensaje de seguridad" },
    beginning: "Al comienzo del procedimiento",
    here: "En el paso mismo",
  },
  licences: {
    title: "Trabajo con licencia",
    columns: { step: "Paso", licence: "Licencia", without: "Sin ella" },
  },
  ends: {
    title: "Cada final, y lo que ahí todavía puede ser cierto",
    columns: { end: "Final", still: "Todavía cierto, y por qué" },
    from: (step) => `desde ${step}`,
    nothing: "Nada",
  },
  nothing: "No requiere nada, no causa ningún riesgo y no tiene un final propio.",
  done: "Hecho",
  routineEnds: (outcome) => `La rutina termina: ${outcome}`,
  because: {
    declared: "el paso lo dice",
    state: (state) => `hace que sea cierto: ${state}`,
    tool: (tool) => `herramienta: ${tool}`,
    part: (part) => `pieza: ${part}`,
    reading: (unit) => `lectura en ${unit}`,
    word: (word) => `el texto dice «${word}»`,
  },
  notProven: {
    title: "Lo que no está demostrado",
    reader: "que el lector haga lo que dice un paso, y que lo haga bien",
    claims:
      "que un paso produzca de verdad las condiciones que dice establecer, o que un equipo sea de la familia por la que se tomó",
    catalogs:
      "que los catálogos nombren todos los riesgos, todas las palabras que los anuncian y todas las licencias que pide la ley local",
    enough:
      "que las palabras de un mensaje de seguridad basten; está demostrado que cada uno está antes de su paso, no lo que dice",
  },
  sign: {
    title: "Firmado",
    says: "He leído esta demostración y he juzgado, para nuestro trabajo, lo que no demuestra.",
    columns: { name: "Nombre", date: "Fecha", signature: "Firma" },
  },
};
