import type { words as english } from "../en/measure.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  systems: { us: "Unidades de EE.\u00a0UU.", metric: "Métricas" },
  choose: "Unidades",
  unitOf: (ask) => `Unidad de: ${ask}`,
  sign: "Más o menos",
  possible: (bounds) => `Posible: ${bounds}`,
  empty: "Escriba primero la lectura.",
  noNumber: "Eso no es un número. Use cifras, con punto o coma para los decimales.",
  thousands: (typed) => `«${typed}» se puede leer de dos maneras. Escríbalo sin separador de miles.`,
  outside: (bounds) => `Esto solo puede ir de ${bounds}. Lea otra vez o revise la unidad.`,
  unusual: (reading, usual) => `Eso no es usual: ${reading}. Lo usual es ${usual}. ¿Es correcto?`,
  isRight: (reading) => `Sí, ${reading} es correcto`,
  start: "Iniciar el cronómetro",
  stop: "Detener el cronómetro",
  again: "Cronometrar otra vez",
  running: "El cronómetro está en marcha.",
  stopped: (time) => `Detenido en ${time}.`,
  how: "Cómo se calcula",
  range: (low, high) => `${low} a ${high}`,
  below: (below) => `menos de ${below}`,
  from: (from) => `${from} o más`,
  between: (from, below) => `de ${from} a menos de ${below}`,
};
