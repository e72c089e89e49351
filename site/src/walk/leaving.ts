/** Leaving early, and coming back: what has to be put back first, and what has to be made true again. */

import { words } from "#words/walk";
import { button, type Child, el, textOf } from "../measure/dom.ts";
import { undecided } from "./causes.ts";
import { type Place, unmetNeeds, type WayBack, waysBack } from "./engine.ts";
import { anchorOf, type Plan } from "./plan.ts";
import type { Noted } from "./store.ts";

/** The sign of what must be put back; nothing for a state that may stay. */
export function stateSign(state: string): Node | undefined {
  return document.querySelector(`#state_${state} .symbol`)?.cloneNode(true);
}

export function leaving(
  plan: Plan,
  place: Place,
  history: readonly Noted[],
  isKept: boolean,
  act: { leave: () => void; stay: () => void },
): HTMLElement {
  const ways = waysBack(plan, place);
  const staying = place.states.filter((state) => plan.back[state] === undefined);
  const open = undecided(history);
  const leave = button({ class: "primary", "data-act": "leave" }, words.leave.now);
  leave.addEventListener("click", act.leave);
  const stay = button({ "data-act": "stay" }, ways.length === 0 ? words.leave.goOn : words.leave.stay);
  stay.addEventListener("click", act.stay);
  const text = [words.leave.nothing, words.leave.one][ways.length] ?? words.leave.order;
  return panel(
    words.leave.title,
    el("p", {}, text),
    ways.length === 0 ? undefined : el("ol", {}, ...ways.map((way) => wayBack(plan, place, way))),
    ways.length === 0 ? undefined : el("p", {}, words.leave.stuck),
    staying.length === 0
      ? undefined
      : el("p", {}, words.leave.stays(staying.map((state) => plan.states[state] ?? state).join("; "))),
    open.length === 0 ? undefined : el("p", { "data-undecided": "" }, words.leave.undecided(open.join(" "))),
    el("p", {}, isKept ? words.leave.kept : words.notKept),
    el("div", { class: "buttons" }, leave, stay),
  );
}

export function returning(plan: Plan, place: Place, history: readonly Noted[], goOn: () => void): HTMLElement {
  const go = button({ class: "primary", "data-act": "go-on" }, words.backAgain.goOn);
  go.addEventListener("click", goOn);
  const rows = place.states.map((state) => {
    const by = [...history].reverse().find((entry) => plan.steps[entry.step]?.sets?.includes(state));
    const step = by && document.getElementById(anchorOf(by.step));
    const link =
      step &&
      el(
        "p",
        {},
        `${words.backAgain.by} `,
        el("a", { class: "go", href: `#${step.id}` }, `${textOf(step.querySelector(".number"))} ${by.asked}`),
      );
    return el("li", { "data-again": state }, ...stateWords(plan, state), link ?? undefined);
  });
  return panel(
    words.backAgain.title,
    el("p", {}, words.backAgain.order),
    el("ol", {}, ...rows),
    el("div", { class: "buttons" }, go),
  );
}

function panel(title: string, ...content: readonly Child[]): HTMLElement {
  const heading = el("h2", { id: "leaving_h" }, title);
  return el("section", { class: "leaving", "data-leaving": "", "aria-labelledby": heading.id }, heading, ...content);
}

function stateWords(plan: Plan, state: string): Child[] {
  return [el("h3", {}, stateSign(state), plan.states[state] ?? state), ofState(state, ".means")];
}

/** A copy of what the page says of a state. */
function ofState(state: string, what: string): HTMLElement | undefined {
  const entry = document.getElementById(`state_${state}`)?.nextElementSibling?.querySelector(what);
  return entry?.cloneNode(true) as HTMLElement | undefined;
}

function wayBack(plan: Plan, place: Place, way: WayBack): HTMLElement {
  const how =
    way.routine === undefined ? rest(plan, place, way.states[0] ?? "") : routineSteps(plan, place, way.routine);
  const states = way.states.flatMap((state) => stateWords(plan, state));
  return el("li", { "data-back": way.states.join(" ") }, ...states, ...how);
}

/** The routine in place, cautions and all, without the steps that are for other equipment. */
function routineSteps(plan: Plan, place: Place, id: string): Child[] {
  const routine = document.getElementById(`routine-${id}`);
  const content = [...(routine?.querySelectorAll<HTMLElement>("[data-intro], .step") ?? [])]
    .filter(({ dataset }) => plan.steps[dataset.step ?? ""]?.families?.includes(place.family) !== false)
    .map((part) => {
      const copy = part.cloneNode(true) as HTMLElement;
      for (const name of ["id", "hidden", "data-step", "data-intro"]) copy.removeAttribute(name);
      for (const link of copy.querySelectorAll(".stop-link")) link.remove();
      return copy;
    });
  const summary = el("summary", {}, words.leave.routine(textOf(routine?.querySelector("h2"))));
  const unmet = unmetNeeds(plan, place, id).map((state) => plan.states[state] ?? state);
  return [
    el("details", { "data-steps": id }, summary, ...content),
    unmet.length === 0 ? undefined : el("p", {}, words.leave.unmet(unmet.join("; "))),
  ];
}

/**
 * Without a routine: the steps that end the state, those of the work under way alone where it has some; else what is so
 * without it.
 */
function rest(plan: Plan, place: Place, state: string): Child[] {
  const links = [...(ofState(state, ".back")?.querySelectorAll("a") ?? [])].filter((link) => {
    const step = plan.steps[document.getElementById(link.hash.slice(1))?.dataset.step ?? ""];
    return step !== undefined && step.families?.includes(place.family) !== false;
  });
  const underWay = [...place.calls, place.at].map((key) => workOf(anchorOf(key)));
  const near = links.filter((link) => underWay.includes(workOf(link.hash.slice(1))));
  if (near.length > 0) return [el("p", {}, words.leave.rest), ...near];
  return links.length > 0 ? [el("p", {}, words.leave.steps), ...links] : [ofState(state, ".without")];
}

/** A routine's steps are one work, and so are the steps of a remedy. */
function workOf(anchor: string): string {
  return anchor.split(anchor.includes("__") ? "__" : "--")[0] ?? anchor;
}
