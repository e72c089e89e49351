/** What a reader wants to know at any step: how long it took, whom to call, what going back undoes. */

import { words } from "#words/visit";
import { el } from "../measure/dom.ts";
import { minutesPlanned, minutesUsed } from "../record/time.ts";
import type { Place } from "../walk/engine.ts";
import type { Plan } from "../walk/plan.ts";
import type { Visit } from "../walk/store.ts";

/** Minutes used against minutes planned, for the steps that were done. */
export function workTime({ began, history }: Visit): string {
  return words.minutes(minutesUsed(began, history), minutesPlanned(history));
}

/** Nothing where the base names nobody. */
export function callHere(): HTMLElement | undefined {
  const call = document.querySelector("[data-in-doubt] [data-call]");
  return call === null
    ? undefined
    : el(
        "details",
        { class: "aside", "data-call-here": "" },
        el("summary", {}, words.whomToCall),
        call.cloneNode(true),
      );
}

/** What the record no longer says after going back, and what it says again: the house knows nothing of it. */
export function undone(plan: Plan, before: Place | undefined, after: Place): string[] {
  const named = (states: readonly string[], without: readonly string[]) =>
    states.flatMap((state) => (without.includes(state) ? [] : (plan.states[state] ?? state))).join("; ");
  const gone = named(before?.states ?? [], after.states);
  const again = named(after.states, before?.states ?? []);
  return [gone === "" ? "" : words.undone(gone), again === "" ? "" : words.holdsAgain(again)].filter(
    (text) => text !== "",
  );
}
