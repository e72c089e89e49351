/** A visit in words: the list of visits on the start screen, the way so far, and the summary at the end. */
import { button, type Child, el } from "../measure/dom.ts";
import { DONE, EQUIPMENT, type Place } from "./engine.ts";
import { anchorOf, type Plan } from "./plan.ts";
import type { Noted, Visit } from "./store.ts";
import { words } from "./words.ts";

/** Every entry in the order in which it was given. */
export function entryList(history: readonly Noted[]): HTMLElement {
  const rows = history
    .filter((entry) => entry.kind !== "use" && entry.step !== EQUIPMENT)
    .map((entry) => el("li", {}, led(entry.asked), el("b", {}, entry.said === "" ? words.done : entry.said)));
  return el("ol", { class: "entries" }, ...rows);
}

/** What was asked, ready for its answer: a question needs no colon. */
function led(asked: string): string {
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
    const about = `${when}, ${equipmentOf(visit.history)}: ${steps}, ${state}`;
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

/**
 * @param end The section of the step at which the visit ended: it holds whom to call and what stays on.
 */
export function summaryOf(plan: Plan, visit: Visit, place: Place, end: HTMLElement, again: () => void): HTMLElement {
  const { history } = visit;
  const of = (...kinds: string[]) => history.filter((entry) => kinds.includes(entry.kind));
  const endTitle = end.querySelector("h3")?.textContent ?? "";
  const causes = of("found").map((entry) => entry.asked);
  if (end.dataset.kind === "found") causes.push(endTitle);
  const work = of("do");
  // After a proof, the reasons are those of the cause that was mended.
  const mended = place.at === DONE ? of("found").at(-1) : undefined;
  const reasons = mended === undefined ? end : (document.getElementById(anchorOf(mended.step)) ?? end);
  const left = [...reasons.querySelectorAll<HTMLElement>("[data-left]")].filter((item) =>
    place.states.includes(item.dataset.left ?? ""),
  );
  const named = new Set(left.map((item) => item.dataset.left));
  const still = place.states.filter((state) => !named.has(state));
  const call = end.querySelector("[data-call]");

  const print = button({ "data-act": "print" }, words.print);
  print.addEventListener("click", () => {
    const root = document.documentElement;
    root.dataset.print = "summary";
    window.addEventListener("afterprint", () => delete root.dataset.print, { once: true });
    window.print();
  });
  const another = button({ "data-act": "another" }, words.anotherVisit);
  another.addEventListener("click", again);

  const part = (name: string, ...content: Child[]) => [el("h3", {}, name), ...content];
  return el(
    "section",
    { class: "visit-summary", "data-summary": "", "aria-labelledby": "summary_h" },
    el("h2", { id: "summary_h" }, words.summary),
    el("p", { class: "visit-line" }, `${visit.title}. ${words.equipment}: ${equipmentOf(history)}.`),
    ...part(words.found, el("p", { "data-found": "" }, causes.length === 0 ? words.foundNothing : causes.join("; "))),
    ...part(words.result, el("p", { "data-end": place.at }, endTitle)),
    ...part(words.answers, entryList(of("look", "measure", "licence"))),
    ...(work.length === 0 ? [] : part(words.work, el("ol", { class: "entries" }, ...work.map(workLine)))),
    ...(left.length === 0 ? [] : part(words.left, el("ul", {}, ...left.map(shownCopy)))),
    ...(still.length === 0
      ? []
      : part(words.stillTrue, el("p", { "data-still": "" }, still.map((id) => plan.states[id] ?? id).join("; ")))),
    ...(call === null ? [] : part(words.call, call.cloneNode(true))),
    el("div", { class: "buttons" }, print, another),
  );
}

function shownCopy(item: HTMLElement): HTMLElement {
  const copy = item.cloneNode(true) as HTMLElement;
  copy.hidden = false;
  return copy;
}

function workLine(entry: Noted): HTMLElement {
  return el("li", {}, entry.asked);
}
