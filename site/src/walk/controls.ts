/** What the reader can press or type at one step: made from the step's own HTML, which it replaces on the screen. */

import { words } from "#words/walk";
import { button, el, phrase, textOf } from "../measure/dom.ts";
import { fieldFor } from "../measure/field.ts";
import { systemChoice, unfolded } from "../measure/form.ts";
import { asExact, showNumber } from "../measure/number.ts";
import { systemNow } from "../measure/system.ts";
import { fromOwn, fromPrint, quantityOf, toOwn, unitFor, withUnit } from "../measure/units.ts";
import { computed, type Entry, LICENSED, open, type Place, rangeOf, repeatName, UNLICENSED, UNSURE } from "./engine.ts";
import { gauge } from "./gauge.ts";
import { type Plan, type PlanRange, type PlanStep, routineOf } from "./plan.ts";
import type { Measured } from "./store.ts";

type Answer = Omit<Entry, "step">;

/** What becomes of an answer. */
export interface Answering {
  /** A finger is on it: what would come next can be made ready. Nothing is answered yet, and perhaps won't be. */
  readonly touched: (answer: Answer) => void;
  /** @param said The words in which it is kept. */
  readonly answered: (answer: Answer & Measured, said: string) => void;
}

/** @param visit Tells this visit from all others on the device. */
export function controlsFor(
  plan: Plan,
  visit: string,
  place: Place,
  step: PlanStep,
  section: HTMLElement,
  act: Answering,
): HTMLElement | undefined {
  if (place.asks !== undefined) return licence(act);
  switch (step.kind) {
    case "look":
      return answers(place, step, section, act);
    case "measure":
      return measure(plan, visit, place, step, section, act);
    case "do":
      return single(words.doneGoOn, act);
    case "found":
      return step.next === undefined ? undefined : single(step.mends === true ? words.mend : words.goOn, act);
    case "use":
      return useRoutine(plan, step, act);
    default:
      return undefined;
  }
}

function answering(press: HTMLButtonElement, answer: Answer, said: string, act: Answering): HTMLButtonElement {
  press.addEventListener("pointerdown", () => act.touched(answer));
  press.addEventListener("click", () => act.answered(answer, said));
  return press;
}

function single(label: string, act: Answering): HTMLElement {
  const only = answering(button({ class: "primary", "data-act": "go-on" }, label), {}, "", act);
  return el("div", { class: "controls", "data-controls": "" }, only);
}

function licence(act: Answering): HTMLElement {
  const group = el(
    "div",
    { class: "controls answers", "data-controls": "", role: "group", "aria-label": words.licence },
    el("p", { class: "asked" }, words.licence),
  );
  for (const [answer, say] of [
    [LICENSED, words.licensed],
    [UNLICENSED, words.unlicensed],
  ] as const) {
    group.append(answering(button({ "data-answer": answer }, say), { answer }, say, act));
  }
  return group;
}

function answers(place: Place, step: PlanStep & { kind: "look" }, section: HTMLElement, act: Answering): HTMLElement {
  const heading = section.querySelector("h3");
  // Only the step that is walked needs a name for its heading: on the page it would be dead weight.
  if (heading !== null) heading.id = `${section.id}__h`;
  const label = { role: "group", "aria-labelledby": heading?.id ?? "" };
  const group = el("div", { class: "controls answers", "data-controls": "", ...label });
  for (const branch of open(step.answers, place.family)) {
    const say = section.querySelector(`[data-branch="${branch.id}"] .say`);
    const press = button({ "data-answer": branch.id }, phrase(say));
    group.append(answering(press, { answer: branch.id }, textOf(press), act), ...repeatNote(place, branch));
  }
  group.append(unsure(act));
  return group;
}

function unsure(act: Answering): HTMLElement {
  return answering(
    button({ class: "unsure", "data-answer": UNSURE }, words.unsure),
    { answer: UNSURE },
    words.unsure,
    act,
  );
}

/** How often a bounded repeat was taken already; nothing before the first time. */
function repeatNote(place: Place, branch: { id: string; to: unknown }): HTMLElement[] {
  if (!Array.isArray(branch.to)) return [];
  const taken = place.counts[repeatName(place, branch.id)] ?? 0;
  if (taken === 0) return [];
  return [el("p", { class: "repeat", "data-repeat": branch.id }, words.repeat(taken, branch.to[1] as number))];
}

function useRoutine(plan: Plan, step: PlanStep & { kind: "use" }, act: Answering): HTMLElement {
  // The routine's own cautions hold before its first step, so they are shown before it is begun.
  const routine = routineOf(step.start);
  const intro = document.getElementById(`routine-${routine}`)?.querySelector("[data-intro]");
  const controls = single(words.beginRoutine, act);
  if (intro != null && plan.steps[step.start] !== undefined) {
    const copy = intro.cloneNode(true) as HTMLElement;
    copy.removeAttribute("data-intro");
    copy.hidden = false;
    controls.prepend(copy);
  }
  return controls;
}

function measure(
  plan: Plan,
  visit: string,
  place: Place,
  step: PlanStep & { kind: "measure" },
  section: HTMLElement,
  act: Answering,
): HTMLElement {
  const box = section.querySelector<HTMLElement>("[data-value]");
  const name = box?.dataset.value ?? "";
  // The value of a lone reading is the reading: there is nothing to compute, and no name for it but what was asked.
  const isComputed = !(step.value.length === 1 && step.value[0] === Object.keys(step.readings)[0]);
  const result = quantityOf(plan.units, box?.dataset.unit ?? "1", box?.dataset.other);
  const fields = Object.entries(step.readings).flatMap(([id, bounds]) => {
    const row = section.querySelector<HTMLElement>(`[data-reading="${id}"]`);
    const timer = `${plan.base} ${visit} ${place.at}`;
    return row === null
      ? []
      : fieldFor(row, `${section.id}__`, bounds, plan.units, timer, compare, () => form.requestSubmit());
  });
  const shown = el("output", { class: "value", "data-result": "", for: fields.map((one) => one.input.id).join(" ") });
  const drawn = el("div", {});
  const go = el("button", { type: "submit", class: "primary", "data-act": "go-on" }, words.goOn);
  const form = el("form", { class: "controls measuring", "data-controls": "", novalidate: "" });
  const hasPair = [result, ...fields.map(({ quantity }) => quantity)].some(({ other }) => other !== undefined);
  const systems = systemChoice(fields, hasPair, compare);
  form.append(...(systems ? [systems] : []), ...fields.map((one) => one.box), shown, drawn, go);
  const close = () => {
    for (const field of fields) field.close();
  };
  const answered: Answering["answered"] = (...given) => {
    close();
    act.answered(...given);
  };
  form.append(unsure({ ...act, answered }));

  /** @returns nothing unless every reading can be read like that. */
  function now() {
    const readings: Record<string, number> = {};
    for (const field of fields) {
      const reading = field.value();
      if (reading === undefined) return undefined;
      readings[field.id] = reading;
    }
    const value = computed(step, place, readings);
    return { readings, value, range: value === undefined ? undefined : rangeOf(step.ranges, value, place.family) };
  }

  /** As exact as the readings, but never so coarse that it would seem to lie in another range than it does. */
  function inWords(value: number, range: PlanRange, unit: string): string {
    const [only] = fields;
    if (!isComputed && only && only.typed().unit === unit) return only.shown();
    const amount = fromOwn(value, unit, result);
    for (let count = Math.min(...fields.map((field) => field.digits())); ; count++) {
      const text = asExact(amount, count);
      const again = toOwn(fromPrint(text), unit, result);
      if (count > 11 || rangeOf(step.ranges, again, place.family)?.id === range.id) return withUnit(text, unit);
    }
  }

  function compare(): void {
    const found = now();
    const isOpen = drawn.querySelector<HTMLDetailsElement>("details")?.open === true;
    shown.replaceChildren();
    drawn.replaceChildren();
    delete shown.dataset.range;
    delete shown.dataset.exact;
    go.textContent = words.goOn;
    if (found === undefined) return;
    const { value, range } = found;
    if (value === undefined || range === undefined) {
      shown.append(el("b", {}, value === undefined ? words.noValue : words.noRange));
      return;
    }
    const row = section.querySelector(`[data-branch="${range.id}"]`);
    const unit = unitFor(systemNow(), result);
    const other = unit === result.own ? result.other : result.own;
    const number = inWords(value, range, unit);
    shown.dataset.range = range.id;
    shown.dataset.exact = String(value);
    shown.append(
      el("span", { class: "number" }, isComputed ? `${name}: ${number}` : number),
      ...(other === undefined ? [] : [el("span", { class: "as-well" }, inWords(value, range, other))]),
      el("span", { class: "means" }, phrase(row?.querySelector(".say"))),
      ...repeatNote(place, range),
    );
    const drawing = gauge(step.ranges, place.family, value, range, result, unit, section);
    if (drawing) drawn.append(drawing);
    const written = box?.querySelector("[data-written]");
    if (written) {
      const details = unfolded(written, shownOf, number);
      details.open = isOpen;
      drawn.append(details);
    }
    go.textContent = words.goOnWith(number);
  }

  /** What stands for a name of the formula: a reading, one from an earlier step, or what is so of the equipment. */
  function shownOf(input: string): string {
    const field = fields.find(({ id }) => id === input);
    if (field) return field.shown();
    const fact = step.said?.[input]?.[place.family];
    if (fact != null) return fact;
    const mark = box?.querySelector<HTMLElement>(`[data-in="${input}"]`);
    const key = mark?.dataset.key ?? input;
    return withUnit(showNumber(place.read[key] ?? Number.NaN), mark?.dataset.unit ?? "1");
  }

  // Leaving the field may bring up a refusal, which would push the button away from under the finger that is on it.
  go.addEventListener("mousedown", (event) => event.preventDefault());
  go.addEventListener("pointerdown", () => {
    const found = now();
    // What is asked once more isn't answered yet.
    if (found?.range === undefined || fields.some((field) => field.isDoubted())) return;
    act.touched({ answer: found.range.id, readings: found.readings });
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const wrong = fields.filter((field) => field.refuse())[0];
    if (wrong !== undefined) {
      wrong.input.focus();
      return;
    }
    if (fields.some((field) => field.doubt(true))) return;
    const found = now();
    if (found?.value === undefined || found.range === undefined) {
      fields[0]?.input.focus();
      return;
    }
    const { readings, value, range } = found;
    const unit = unitFor(systemNow(), result);
    const number = inWords(value, range, unit);
    const lines = fields.map((field) => `${field.ask}: ${field.shown()}`);
    if (isComputed) lines.push(`${name}: ${number}`);
    const means = phrase(section.querySelector(`[data-branch="${range.id}"] .say`)).textContent?.trim() ?? "";
    answered(
      {
        answer: range.id,
        readings,
        typed: Object.fromEntries(fields.map((field) => [field.id, [field.typed().text, field.typed().unit] as const])),
        result: [value, result.own],
        asks: Object.fromEntries(fields.map(({ id, ask, quantity }) => [id, [ask, quantity.own] as const])),
        value: [isComputed ? name : (fields[0]?.ask ?? name), number],
        band: { say: means === "" ? range.id : means, ...(range.ends ? range.ends[place.family] : ends(range)) },
      },
      `${lines.join("; ")} (${means})`,
    );
  });
  return form;
}

function ends({ from, below }: PlanRange) {
  return { ...(from !== undefined && { from }), ...(below !== undefined && { below }) };
}
