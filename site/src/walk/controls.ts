/** What the reader can press or type at one step: made from the step's own HTML, which it replaces on the screen. */
import { button, el, phrase, textOf } from "./dom.ts";
import { computed, type Entry, LICENSED, open, type Place, rangeOf, repeatName, UNLICENSED } from "./engine.ts";
import { readNumber, showNumber } from "./number.ts";
import { type Plan, type PlanStep, routineOf } from "./plan.ts";
import { words } from "./words.ts";

/** Called with the answer, and with the words in which it is kept. */
export type Answered = (answer: Omit<Entry, "step">, said: string) => void;

export function controlsFor(
  plan: Plan,
  place: Place,
  step: PlanStep,
  section: HTMLElement,
  answered: Answered,
): HTMLElement | undefined {
  if (place.asks !== undefined) return licence(answered);
  switch (step.kind) {
    case "look":
      return answers(place, step, section, answered);
    case "measure":
      return measure(place, step, section, answered);
    case "do":
      return single("go-on", words.doneGoOn, () => answered({}, ""));
    case "found":
      return step.next === undefined
        ? undefined
        : single("go-on", step.mends === true ? words.mend : words.goOn, () => answered({}, ""));
    case "use":
      return useRoutine(plan, step, section, answered);
    default:
      return undefined;
  }
}

function single(act: string, label: string, press: () => void): HTMLElement {
  const only = button({ class: "primary", "data-act": act }, label);
  only.addEventListener("click", press);
  return el("div", { class: "controls", "data-controls": "" }, only);
}

function licence(answered: Answered): HTMLElement {
  const group = el(
    "div",
    { class: "controls answers", "data-controls": "", role: "group", "aria-label": words.licence },
    el("p", { class: "asked" }, words.licence),
  );
  for (const [answer, say] of [
    [LICENSED, words.licensed],
    [UNLICENSED, words.unlicensed],
  ] as const) {
    const press = button({ "data-answer": answer }, say);
    press.addEventListener("click", () => answered({ answer }, say));
    group.append(press);
  }
  return group;
}

function answers(
  place: Place,
  step: PlanStep & { kind: "look" },
  section: HTMLElement,
  answered: Answered,
): HTMLElement {
  const heading = section.querySelector("h3");
  // Only the step that is walked needs a name for its heading: on the page it would be dead weight.
  if (heading !== null) heading.id = `${section.id}__h`;
  const label = { role: "group", "aria-labelledby": heading?.id ?? "" };
  const group = el("div", { class: "controls answers", "data-controls": "", ...label });
  for (const branch of open(step.answers, place.family)) {
    const say = section.querySelector(`[data-branch="${branch.id}"] .say`);
    const press = button({ "data-answer": branch.id }, phrase(say));
    press.addEventListener("click", () => answered({ answer: branch.id }, textOf(press)));
    group.append(press, ...repeatNote(place, branch));
  }
  return group;
}

/** How often a bounded repeat was taken already; nothing before the first time. */
function repeatNote(place: Place, branch: { id: string; to: unknown }): HTMLElement[] {
  if (!Array.isArray(branch.to)) return [];
  const taken = place.counts[repeatName(place, branch.id)] ?? 0;
  if (taken === 0) return [];
  return [el("p", { class: "repeat", "data-repeat": branch.id }, words.repeat(taken, branch.to[1] as number))];
}

function useRoutine(
  plan: Plan,
  step: PlanStep & { kind: "use" },
  section: HTMLElement,
  answered: Answered,
): HTMLElement {
  // The routine's own cautions hold before its first step, so they are shown before it is begun.
  const routine = routineOf(step.start);
  const intro = section.ownerDocument.querySelector(`[data-routine="${routine}"] [data-intro]`);
  const controls = single("go-on", words.beginRoutine, () => answered({}, ""));
  if (intro !== null && plan.steps[step.start] !== undefined) {
    const copy = intro.cloneNode(true) as HTMLElement;
    copy.removeAttribute("data-intro");
    copy.hidden = false;
    controls.prepend(copy);
  }
  return controls;
}

interface Field {
  readonly id: string;
  readonly ask: string;
  readonly unit: string;
  readonly input: HTMLInputElement;
  readonly refusal: HTMLElement;
  readonly between: readonly [number, number];
}

function measure(
  place: Place,
  step: PlanStep & { kind: "measure" },
  section: HTMLElement,
  answered: Answered,
): HTMLElement {
  const box = section.querySelector<HTMLElement>("[data-value]");
  const unit = unitOf(box?.dataset.unit);
  const name = box?.dataset.value ?? "";
  const isComputed = name !== "Reading";
  const fields = Object.entries(step.readings).map(([id, between]) => fieldFor(section, id, between));
  const shown = el("output", { class: "value", "data-result": "", for: fields.map((one) => one.input.id).join(" ") });
  const go = el("button", { type: "submit", class: "primary", "data-act": "go-on" }, words.goOn);
  const form = el("form", { class: "controls measuring", "data-controls": "", novalidate: "" });
  for (const field of fields) form.append(fieldBox(field));
  form.append(shown, go);

  const readings = () => Object.fromEntries(fields.flatMap((one) => (isFit(one) ? [[one.id, numberOf(one)]] : [])));
  const result = () => {
    const value = fields.every(isFit) ? computed(step, place, readings()) : undefined;
    return { value, range: value === undefined ? undefined : rangeOf(step.ranges, value, place.family) };
  };
  const compare = () => {
    const { value, range } = result();
    shown.replaceChildren();
    delete shown.dataset.range;
    go.textContent = words.goOn;
    if (!fields.every(isFit)) return;
    if (value === undefined || range === undefined) {
      shown.append(el("b", {}, value === undefined ? words.noValue : words.noRange));
      return;
    }
    const row = section.querySelector(`[data-branch="${range.id}"]`);
    const number = `${showNumber(value)}${unit}`;
    shown.dataset.range = range.id;
    shown.append(
      el("span", { class: "number" }, isComputed ? `${name}: ${number}` : number),
      el("span", { class: "limits" }, textOf(row?.querySelector("th"))),
      el("span", { class: "means" }, phrase(row?.querySelector(".say"))),
      ...repeatNote(place, range),
    );
    go.textContent = words.goOnWith(number);
  };
  for (const field of fields) {
    field.input.addEventListener("input", () => {
      // While typing, a refusal goes as soon as it is mended, and comes only when the field is left.
      if (refusalOf(field) === undefined) refuse(field, undefined);
      compare();
    });
    field.input.addEventListener("change", () => {
      if (field.input.value !== "") refuse(field, refusalOf(field));
    });
  }
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    for (const field of fields) refuse(field, refusalOf(field));
    const wrong = fields.find((one) => !isFit(one)) ?? (result().range === undefined ? fields[0] : undefined);
    if (wrong !== undefined) {
      wrong.input.focus();
      return;
    }
    const { value, range } = result();
    if (value === undefined || range === undefined) return;
    const lines = fields.map((one) => `${one.ask}: ${showReading(one)}${one.unit}`);
    if (isComputed) lines.push(`${name}: ${showNumber(value)}${unit}`);
    const means = phrase(section.querySelector(`[data-branch="${range.id}"] .say`)).textContent?.trim() ?? "";
    answered({ answer: range.id, readings: readings() }, `${lines.join("; ")} (${means})`);
  });
  return form;
}

function unitOf(unit: string | undefined): string {
  return unit === undefined || unit === "1" ? "" : `\u00a0${unit}`;
}

function fieldFor(section: HTMLElement, id: string, between: readonly [number, number]): Field {
  const row = section.querySelector<HTMLElement>(`[data-reading="${id}"]`);
  const inputId = `${section.id}__read_${id}`;
  const described = { "aria-describedby": `${inputId}_hint ${inputId}_no` };
  const plain = { type: "text", inputmode: "decimal", autocomplete: "off", enterkeyhint: "done" };
  return {
    id,
    ask: textOf(row?.querySelector("th")),
    unit: unitOf(row?.dataset.unit),
    input: el("input", { id: inputId, "data-input": id, ...plain, ...described }),
    refusal: el("p", { id: `${inputId}_no`, class: "refusal", "data-refusal": id, role: "alert" }),
    between,
  };
}

function fieldBox(field: Field): HTMLElement {
  const { input, unit } = field;
  return el(
    "div",
    { class: "field" },
    el("label", { for: input.id }, field.ask),
    el("div", { class: "entry" }, input, el("span", { class: "unit" }, unit.trim())),
    el("p", { id: `${input.id}_hint`, class: "hint" }, words.possible(...field.between, unit)),
    field.refusal,
  );
}

function numberOf(field: Field): number {
  const typed = readNumber(field.input.value);
  return "number" in typed ? typed.number : Number.NaN;
}

function showReading(field: Field): string {
  return String(numberOf(field)).replace("-", "\u2212");
}

function refusalOf(field: Field): string | undefined {
  const typed = readNumber(field.input.value);
  const [lowest, highest] = field.between;
  if ("number" in typed) {
    const isInside = typed.number >= lowest && typed.number <= highest;
    return isInside ? undefined : words.outside(lowest, highest, field.unit);
  }
  if (typed.refused === "empty") return words.empty;
  return typed.refused === "thousands" ? words.thousands(field.input.value.trim()) : words.noNumber;
}

function isFit(field: Field): boolean {
  return refusalOf(field) === undefined;
}

function refuse(field: Field, because: string | undefined): void {
  if (field.refusal.textContent !== (because ?? "")) field.refusal.textContent = because ?? "";
  if (because === undefined) field.input.removeAttribute("aria-invalid");
  else field.input.setAttribute("aria-invalid", "true");
}
