/** What the page says at an end, kept with the visit: its record can be read after the page has changed. */
import { textOf } from "../measure/dom.ts";
import { branchesOf, DONE, type Place } from "../walk/engine.ts";
import { anchorOf, type Plan } from "../walk/plan.ts";
import type { Ending, Named, Noted, Planned } from "../walk/store.ts";

/** @param history Up to the end. */
export function endingOf(plan: Plan, history: readonly Noted[], place: Place): Ending {
  const end = document.getElementById(anchorOf(place.at));
  const step = plan.steps[place.at];
  // After a proof, the reasons are those of the cause that was mended.
  const mended = place.at === DONE ? history.findLast(({ kind }) => kind === "found") : undefined;
  const reasons = mended === undefined ? end : document.getElementById(anchorOf(mended.step));
  const left = [...(reasons?.querySelectorAll<HTMLElement>("[data-left]") ?? [])].flatMap((item) => {
    const id = item.dataset.left ?? "";
    const title = titleOf(plan, id);
    const why = textOf(item)
      .slice(textOf(item.querySelector("b")).length)
      .trim();
    return place.states.includes(id) ? [{ id, title, why: why === "" ? title : why }] : [];
  });
  const still = place.states.filter((id) => !left.some((one) => one.id === id));
  const call = blocksOf(end?.querySelector("[data-call]"));
  return {
    step: place.at,
    title: textOf(end?.querySelector("h3")) || place.at,
    ...(step?.kind === "found" && { cause: step.cause }),
    left,
    still: still.map((id) => ({ id, title: titleOf(plan, id) })),
    ...(call !== "" && { call }),
  };
}

/** Its paragraphs, each a sentence of its own. */
function blocksOf(element: Element | null | undefined): string {
  return [...(element?.querySelectorAll("p, li") ?? [])]
    .map(textOf)
    .map((text) => (/[.!?:]$/.test(text) ? text : `${text}.`))
    .join(" ");
}

function titleOf(plan: Plan, state: string): string {
  return plan.states[state] ?? state;
}

/** What the plan knows of a step that is left by this answer, for the record of it. */
export function plannedOf(plan: Plan, key: string, answer: string | undefined): Planned {
  const step = plan.steps[key];
  if (step === undefined) return {};
  const parts = step.parts?.map((id): Named => ({ id, title: plan.parts[id] ?? id }));
  // A measured proof has ranges of its own: the one that leads to the end is the one that holds.
  const isFixed = answer === "fixed" || branchesOf(step).find(({ id }) => id === answer)?.to === DONE;
  return {
    ...(step.minutes !== undefined && { minutes: step.minutes }),
    ...(parts && { parts }),
    ...(step.kind === "found" && { cause: step.cause }),
    ...(step.proves !== undefined && { proves: { step: step.proves, shows: isFixed ? "fixed" : "not-fixed" } }),
  };
}
