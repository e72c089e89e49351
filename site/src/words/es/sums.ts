import type { words as english } from "../en/sums.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  noValue: "Estas entradas no dan ningún valor: la fórmula dividiría por cero o sacaría una raíz que no existe.",
  incomplete: "Escriba todas las entradas para ver el resultado.",
  clear: "Vaciar",
  link: "Enlace a este cálculo",
};
