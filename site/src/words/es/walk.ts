import type { words as english } from "../en/walk.ts";
import type { Words } from "../words.ts";

export const words: Words<typeof english> = {
  begin: (family) => `Es este: ${family}`,
  beginOnly: "Empezar el recorrido",
  toBegin: "Elegir el equipo",
  chart: "El diagrama, con su camino marcado",
  whichEquipment: "¿Qué equipo es?",
  back: "Atrás",
  restart: "Empezar de nuevo",
  all: "Todos los pasos",
  walk: "Paso a paso",
  doneGoOn: "Hecho, seguir",
  goOn: "Seguir",
  mend: "Repararlo ahora",
  goOnWith: (value) => `Seguir con ${value}`,
  beginRoutine: "Empezar la rutina",
  equipment: "Equipo",
  trueNow: "Cierto ahora:",
  trueNothing: "no se ha cambiado nada",
  licence: "¿Tiene usted esta licencia?",
  licensed: "Sí, la tengo",
  unlicensed: "No la tengo",
  askedFor: (licence) => `¿Tiene usted esta licencia?: ${licence}`,
  withheld: (steps) => `Se pasó por alto, porque usted no tiene la licencia: ${steps}.`,
  unsure: "No estoy seguro",
  insteadOf: (asked) => `Usted no estaba seguro de esto: ${asked} Lo que encuentre aquí puede aclararlo.`,
  inDoubt: {
    title: "Sin decidir: llame",
    why: "Desde aquí ninguna comprobación lo decide, así que no adivine. Mire otra vez, o llame y diga lo que está abajo.",
    nobody: "Llame a quien le envió.",
    open: "Lo que no se pudo decidir",
    seen: "Lo que se vio",
    nothing: "Nada todavía.",
    again: "Volver y mirar otra vez",
    leave: "Dejar todo como estaba e irse",
  },
  possible: "Todavía posible",
  sharesBy:
    "Según la frecuencia con que se encuentra cada una y según las respuestas dadas. Una parte pequeña no descarta nada.",
  fitsNone:
    "Ninguna causa conocida aquí muestra todas estas respuestas. Revise lo que se respondió y piense en dos fallas a la vez.",
  share: (share) => {
    const much = [
      [0.9, "casi seguro"],
      [0.6, "probable"],
      [0.3, "bastante posible"],
      [0.1, "menos probable"],
      [0, "poco probable"],
    ] as const;
    const percent =
      share < 0.01 ? "menos de 1" : share > 0.99 && share < 1 ? "más de 99" : String(Math.round(share * 100));
    return `${much.find(([least]) => share >= least)?.[1] ?? ""}, ${percent}\u00a0%`;
  },
  against: (count) =>
    count === 1 ? "Una respuesta habla en contra de 1 causa" : `Las respuestas hablan en contra de ${count} causas`,
  spoken: (asked, said) => `${asked} ${said}`,
  tellsApart: "Lo que distingue esta comprobación:",
  stop: "Tengo que parar",
  leave: {
    title: "Antes de irse",
    nothing:
      "No hay que volver a dejar nada como estaba: según este registro, todo lo que debe estar en su lugar lo está.",
    one: "Esto hay que volver a dejarlo como estaba.",
    order:
      "Vuelva a dejar esto como estaba, en este orden. Lo último que se cambió va primero, porque puede depender de lo que se cambió antes. Una rutina que repone varias cosas espera a todo lo que vino después de la primera de ellas.",
    routine: (title) => `Para volver a dejarlo como estaba, siga ${title}`,
    rest: "Para volver a dejarlo como estaba, siga con este trabajo hasta:",
    steps: "Para volver a dejarlo como estaba:",
    unmet: (states) => `Está escrita para cuando esto también es cierto: ${states}. No lo es; omita lo que lo deshace.`,
    stuck:
      "Lo que no se pueda volver a dejar como estaba deben saberlo el cliente y su oficina antes de que usted se vaya. Deje también una nota en el equipo.",
    stays: (states) => `También es cierto, y puede quedar así: ${states}.`,
    undecided: (asked) => `Sin decidir, y hay que decirlo: ${asked}`,
    kept: "El recorrido queda guardado en este dispositivo para que pueda seguir más tarde.",
    now: "Me voy ahora",
    stay: "Quedarse: todavía no se ha dejado nada como estaba",
    goOn: "Quedarse y seguir",
    left: "La visita está guardada. Cuando vuelva, sígala desde la lista de visitas.",
  },
  backAgain: {
    title: "Antes de seguir",
    order:
      "Usted interrumpió esta visita. Todo esto era cierto entonces. Lo que se haya vuelto a dejar como estaba desde entonces tiene que hacerse cierto otra vez, en este orden.",
    by: "Se produjo en:",
    goOn: "Todo esto es cierto otra vez: seguir",
  },
  stepsDone: (count) => (count === 0 ? "primer paso" : count === 1 ? "1 paso hecho" : `${count} pasos hechos`),
  repeat: (taken, atMost) => `Desde aquí se ha vuelto atrás ${taken} de un máximo de ${atMost} veces.`,
  holds: "consta en el registro",
  near: (away, isAbove, end) =>
    away === ""
      ? `Justo en el límite de ${end}.`
      : `${away} por ${isAbove ? "encima" : "debajo"} del límite de ${end}.`,
  band: (say, limits) => `${say}: ${limits}`,
  noValue: "Estas lecturas no dan ningún valor: la fórmula divide por una que es cero. Lea otra vez.",
  noRange: "Ningún rango contiene este valor. Lea otra vez.",
  taken: (what) => `Anulado: ${what}.`,
  restarted: "Se empezó de nuevo. La visita anterior queda en la lista de visitas.",
  notKept:
    "Este navegador no guarda nada en el dispositivo: el recorrido funciona, pero si se recarga la página empieza de nuevo. Guarde la visita como archivo.",
  full: "El almacenamiento de este dispositivo está lleno: el recorrido funciona, pero sus últimas respuestas no se guardan. Guarde la visita como archivo o libere espacio.",
  save: "Guardar esta visita como archivo",
  versionNotKept:
    "Esta versión del procedimiento no se puede guardar en el dispositivo. Si llega una nueva antes de que termine la visita, se verá al recargar.",
  otherVersion:
    "El procedimiento tiene una versión nueva desde que empezó esta visita, y la anterior no está en este dispositivo. La visita sigue con la nueva. Revise sus respuestas.",
  elsewhere: "Esta visita está abierta en otra pestaña de este navegador. Sígala allí o tómela aquí.",
  take: "Seguirla aquí",
  lost: "Esta visita sigue en otra pestaña, o se borró allí. Aquí ya no se cambia nada de ella.",
  walkedElsewhere: "Hay un recorrido en curso en otra pestaña. La versión nueva vendrá cuando haya terminado.",
  broken: () => "El recorrido no puede seguir aquí. Lea en su lugar todos los pasos.",
  changed: (asked) =>
    `El procedimiento ha cambiado desde esta visita: ya no encaja en «${asked}». La visita queda en la lista de visitas; empiece una nueva.`,
  visits: "Visitas en este dispositivo",
  resume: "Seguir con esta visita",
  remove: "Borrar este registro",
  removed: "El registro está borrado.",
  states: { open: "sin terminar", ended: "terminada", "set-aside": "apartada", left: "interrumpida" },
  done: "hecho",
};
