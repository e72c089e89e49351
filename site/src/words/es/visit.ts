import type { words as english } from "../en/visit.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  waiting: "Se está preparando el registro.",
  noReport:
    "El informe no se puede cargar ahora. La visita está guardada; su registro está en la lista de visitas de la página de inicio.",
  anotherVisit: "Empezar otra visita",
  about: "Esta visita",
  aboutNote:
    "Para el registro. Queda en este dispositivo hasta que usted lo comparta; cada línea se puede dejar vacía.",
  address: "Dirección",
  who: "Su nombre",
  said: "Lo que dice el cliente, con sus propias palabras",
  note: (notes, photos) =>
    notes || photos > 0 ? `Nota y fotos aquí (${(notes ? 1 : 0) + photos})` : "Añadir una nota o una foto",
  noteLabel: "Nota en este paso",
  photo: "Tomar una foto",
  photoNote: "Las fotos se reducen y se guardan solo en este dispositivo.",
  photoOf: (number) => `Foto ${number} de este paso`,
  photoRemove: (number) => `Borrar la foto ${number}`,
  photoKept: "La foto está guardada.",
  photoDeleted: "La foto está borrada.",
  photoRefused: "Este archivo no es una imagen que se pueda leer.",
  photoNotKept: "No se pudo guardar la foto: el almacenamiento de este dispositivo está lleno o no está permitido.",
  whomToCall: "A quién llamar",
  undone: (states) =>
    `El registro ya no dice: ${states}. Lo que se hizo en la casa sigue hecho: haga ese paso otra vez o vuelva a dejarlo como estaba.`,
  holdsAgain: (states) => `El registro vuelve a decir: ${states}.`,
  minutes: (used, planned) =>
    planned === 0 ? `${used} min hasta ahora` : `${used} min hasta ahora; previstos para estos pasos: ${planned} min`,
};
