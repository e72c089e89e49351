/** A visit in words: the list of visits on the start screen, and the way so far. */

import { words } from "#words/walk";
import { button, type Child, el } from "../measure/dom.ts";
import { EQUIPMENT } from "./engine.ts";
import type { Noted, Visit } from "./store.ts";

/** Every entry in the order in which it was given. */
export function entryList(history: readonly Noted[]): HTMLElement {
  return el("ol", { class: "entries" }, ...history.filter(isTold).map(entryRow));
}

export function isTold({ kind, step }: Noted): boolean {
  return kind !== "use" && step !== EQUIPMENT;
}

export function entryRow({ asked, said }: Noted): HTMLElement {
  return el("li", {}, led(asked), el("b", {}, said === "" ? words.done : said));
}

/** What was asked, ready for its answer: a question needs no colon. */
export function led(asked: string): string {
  return /[?!:.]$/.test(asked) ? `${asked} ` : `${asked}: `;
}

export function equipmentOf(history: readonly Noted[]): string {
  return history[0]?.step === EQUIPMENT ? history[0].said : "";
}

export function visitList(
  visits: readonly Visit[],
  act: { resume: (visit: Visit) => void; remove: (visit: Visit) => void },
): HTMLElement {
  const rows = visits.map((visit) => {
    const remove = button({ "data-act": "remove" }, words.remove);
    remove.addEventListener("click", () => act.remove(visit));
    const buttons: Child[] = [remove];
    if (visit.state !== "ended") {
      const resume = button({ class: "primary", "data-act": "resume" }, words.resume);
      resume.addEventListener("click", () => act.resume(visit));
      buttons.unshift(resume);
    }
    const when = new Date(visit.began).toLocaleString(document.documentElement.lang, {
      dateStyle: "medium",
      timeStyle: "short",
    });
    const steps = words.stepsDone(countOf(visit.history));
    const state = words.states[visit.left !== undefined && visit.state === "open" ? "left" : visit.state];
    const where = [equipmentOf(visit.history), visit.address].filter((text) => text !== undefined).join(", ");
    const about = `${when}, ${where}: ${steps}, ${state}`;
    return el(
      "details",
      { "data-visit": visit.id, "data-state": visit.state, ...(visit.state === "open" && { open: "" }) },
      el("summary", {}, about),
      el("div", { class: "buttons" }, ...buttons),
      entryList(visit.history),
    );
  });
  return el(
    "section",
    { class: "visits", "data-visits": "", "aria-labelledby": "visits_h" },
    el("h2", { id: "visits_h" }, words.visits),
    ...rows,
  );
}

export function countOf(history: readonly Noted[]): number {
  return history.filter((entry) => entry.step !== EQUIPMENT).length;
}
