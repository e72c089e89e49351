/** What the walk and the calculators have in common: the choice of units, and the computation unfolded. */

import { words } from "#words/measure";
import { button, el } from "./dom.ts";
import type { Field } from "./field.ts";
import { chooseSystem, systemNow } from "./system.ts";
import type { System } from "./units.ts";

/** Sets the fields to the device's system, and gives the buttons that change it; nothing where no unit has a counterpart. */
export function systemChoice(fields: readonly Field[], hasPair: boolean, changed: () => void): HTMLElement | undefined {
  const now = systemNow();
  for (const field of fields) field.useSystem(now);
  if (!hasPair) return undefined;
  const buttons = (["us", "metric"] as const).map((system) => {
    const press = button({ "data-system": system }, words.systems[system]);
    press.addEventListener("click", () => {
      chooseSystem(system);
      for (const field of fields) field.useSystem(system);
      mark(system);
      changed();
    });
    return press;
  });
  const mark = (system: System): void => {
    for (const one of buttons) one.setAttribute("aria-pressed", String(one.dataset.system === system));
  };
  mark(now);
  return el("div", { class: "systems", role: "group", "aria-label": words.choose }, ...buttons);
}

/**
 * The formula of the page with what was read in the place of the names: `9.5 L ÷ 42 s = 13.6 L/min`.
 *
 * @param written The formula on the page, whose inputs are `[data-in]`.
 */
export function unfolded(written: Element, shownOf: (name: string) => string, result: string): HTMLDetailsElement {
  const copy = el("span", { "data-computed": "" });
  for (const child of written.cloneNode(true).childNodes) copy.append(child.cloneNode(true));
  for (const input of copy.querySelectorAll<HTMLElement>("[data-in]"))
    input.replaceWith(el("b", {}, shownOf(input.dataset.in ?? "")));
  copy.append(` = ${result}`);
  return el("details", { class: "unfold", "data-unfold": "" }, el("summary", {}, words.how), el("p", {}, copy));
}
