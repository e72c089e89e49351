import type { words as english } from "../en/signs.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  signals: { danger: "peligro", warning: "advertencia", caution: "precaución", notice: "aviso" },
  title: "Palabras de señal y señales",
  intro: "Un mensaje de seguridad está antes del paso al que se refiere. Léalo antes de tocar nada.",
  meanings: {
    danger: "Mata o hiere gravemente a alguien si no se evita.",
    warning: "Puede matar o herir gravemente a alguien si no se evita.",
    caution: "Puede herir a alguien, con menos gravedad, si no se evita.",
    notice: "Nadie resulta herido, pero se pueden dañar cosas o estropear el agua.",
  },
  words: "Las palabras de señal",
  hazards: "Los riesgos",
};
