import type { words as english } from "../en/tree.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  symptom: (title) => `<b>Síntoma:</b> ${title}`,
  families: (titles) => `<b>Para:</b> ${titles}`,
  first: "Lo primero",
  cautions: "Mensajes de seguridad para toda la visita",
  bring: "Qué llevar",
  bringFor: {
    checks: "Para las comprobaciones",
    parts: "Piezas para una reparación, primero la más probable",
    tools: "Herramientas para una reparación, primero la más probable",
  },
  ofVisits: (percent, causes) => `${percent < 1 ? "menos de 1" : percent} de cada 100 visitas: ${causes}`,
  equipment: "Equipo",
  unknown: "No sé cuál es",
  steps: "Paso a paso",
  beginAt: (step) => `Empiece en ${step}`,
  end: "Final",
  done: "Hecho",
  doneSays:
    "La falla está reparada y la comprobación lo ha mostrado. Deje el lugar seco y limpio, y diga al cliente qué se encontró.",
  routine: (letter) => `Rutina ${letter}`,
  outcomes: "<b>La rutina termina.</b> Vuelva al paso que le envió aquí:",
  step: (number) => `paso <b>${number}</b>`,
  causes: "Qué puede ser",
  allCauses: "Todas las causas, qué tan probable es cada una y qué muestra",
  causesSay:
    "Las probabilidades son relativas entre sí, antes de mirar nada. Se omite una comprobación en la que todas las causas muestran lo mismo.",
  likelihood: (likelihood, all) => `Probabilidad ${likelihood} de ${all}.`,
  shows: "Muestra:",
  or: "; o bien: ",
  inDoubt: "Si no está seguro",
  inDoubtSays:
    "No adivine. Mire otra vez. Si eso no lo decide, vuelva a dejar como estaba lo que no debe quedar cambiado, y llame. Diga lo que vio y lo que no pudo decidir.",
  stop: "Si tiene que parar",
  stopSays: (sign) =>
    `Vuelva a dejar como estaba lo que lleva la marca ${sign} y es cierto cuando usted para. Lo último que se cambió se repone primero, porque puede depender de lo que se cambió antes. Lo que no se pueda reponer deben saberlo el cliente y su oficina antes de que usted se vaya.`,
  states: "Qué significa «solo con»",
  without: (means) => `<b>Sin ello:</b> ${means}`,
  back: (ways) => `<b>Para volver a dejarlo como estaba:</b> ${ways}`,
  reviewed: (day, by) => `Revisado el ${day} por ${by}.`,
  proof: "Por qué el orden del trabajo es seguro",
  chart: "El diagrama",
  print: "Para imprimir",
};
