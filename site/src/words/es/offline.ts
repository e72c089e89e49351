import type { words as english } from "../en/offline.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  storing: (held, files) => `Se está guardando para usar sin red: ${held} de ${files} archivos.`,
  stored: (files, size, day) =>
    `Funciona sin red: los ${files} archivos del ${day} están guardados en este dispositivo, ${size}.`,
  partly: (held, files, size, day) =>
    `Sin red está incompleto: ${held} de ${files} archivos del ${day} están guardados en este dispositivo, ${size}.`,
  full: "El almacenamiento de este dispositivo está lleno; no se pudo guardar todo para usar sin red. Libere espacio y vuelva a abrir esta página.",
  failed:
    "No se pudo guardar todo para usar sin red. Se intentará de nuevo cuando se abra una página con conexión a la red.",
  refused: "Este navegador no guarda nada aquí para usar sin red.",
  newer: "Hay una versión nueva guardada.",
  onItsOwn: "Este recorrido sigue con la versión con la que empezó; hay una nueva guardada.",
  use: "Usar la versión nueva",
  walked: "Hay un recorrido en curso en otra pestaña. La versión nueva vendrá cuando haya terminado.",
};
