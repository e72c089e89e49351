/** One reading to type: its field, its unit, its timer, and what is said when it can't be or seldom is. */

import { words } from "#words/measure";
import { button, el, textOf } from "./dom.ts";
import { digitsTyped, readNumber } from "./number.ts";
import { canTime, forgetTimer, timerFor } from "./timer.ts";
import {
  boundsIn,
  boundsInBoth,
  digits,
  fromOwn,
  inBoth,
  type PairTable,
  type Quantity,
  quantityOf,
  rounded,
  type System,
  toOwn,
  unitFor,
  withUnit,
} from "./units.ts";

/** What can be read, and what usually is, in the author's unit. */
export type Bounds = readonly [lowest: number, highest: number, usualFrom?: number, usualTo?: number];

export interface Field {
  readonly id: string;
  readonly ask: string;
  readonly box: HTMLElement;
  readonly input: HTMLInputElement;
  readonly quantity: Quantity;
  /** In the author's unit; undefined unless it can be read like that. */
  value(): number | undefined;
  /** As it was typed, in the unit in which it was. */
  typed(): { readonly text: string; readonly unit: string };
  /** As it was typed, with its unit: for the eye. */
  shown(): string;
  digits(): number;
  type(text: string, unit: string): void;
  useSystem(system: System): void;
  /** Says why it can't be read like that, if so. */
  refuse(): boolean;
  /** It is unusual, and the reader hasn't said yet that it is right. */
  isDoubted(): boolean;
  /**
   * Asks whether an unusual reading is right, once.
   *
   * @param takesFocus Whether the reader has to answer before anything else.
   * @returns whether there is a question open.
   */
  doubt(takesFocus: boolean): boolean;
  /** Its timer runs no longer. */
  close(): void;
}

/**
 * @param row The row of the page's table of readings, which names the reading and its units.
 * @param name Unique on the device: for the timer.
 * @param changed Called whenever what is typed changes.
 * @param confirmed Called when the reader says that an unusual reading is right.
 */
export function fieldFor(
  row: HTMLElement,
  prefix: string,
  bounds: Bounds,
  pairs: PairTable,
  name: string,
  changed: () => void,
  confirmed: () => void,
): Field {
  const id = row.dataset.reading ?? "";
  const ask = textOf(row.querySelector("th"));
  const quantity = quantityOf(pairs, row.dataset.unit ?? "1", row.dataset.other);
  // What nobody has named is unusual only where it is impossible.
  const [low, high, usualFrom = low, usualTo = high] = bounds;
  const inputId = `${prefix}read_${id}`;
  const timerName = `${name} ${id}`;

  let unit = quantity.own;
  let text = "";
  /** The unit in which the text was typed: it may be shown in the other one. */
  let typedIn = unit;
  let sureOf: string | undefined;

  const input = el("input", {
    id: inputId,
    "data-input": id,
    type: "text",
    inputmode: "decimal",
    autocomplete: "off",
    enterkeyhint: "done",
    "aria-describedby": `${inputId}_hint ${inputId}_no`,
  });
  const sign = button({ class: "sign", "data-act": "sign", "aria-label": `${words.sign}: ${ask}` }, "±");
  const units = el("select", { "data-unit-of": id, "aria-label": words.unitOf(ask) });
  for (const one of quantity.other === undefined ? [] : [quantity.own, quantity.other])
    units.append(el("option", { value: one }, one));
  const hint = el("p", { id: `${inputId}_hint`, class: "hint" });
  const refusal = el("p", { id: `${inputId}_no`, class: "refusal", "data-refusal": id, role: "alert" });
  const question = el("div", { class: "doubt", "data-doubt": id });
  const box = el(
    "div",
    { class: "field" },
    el("label", { for: inputId }, ask),
    el(
      "div",
      { class: "entry" },
      sign,
      input,
      quantity.other === undefined ? el("span", { class: "unit" }, quantity.own === "1" ? "" : quantity.own) : units,
      canTime(quantity.own)
        ? timerFor(timerName, quantity.own, ask, (time) => {
            field.type(time, quantity.own);
            input.focus();
          })
        : undefined,
    ),
    hint,
    refusal,
    question,
  );

  const number = (): number => {
    const typed = readNumber(text);
    if (!("number" in typed)) return Number.NaN;
    const own = toOwn(typed.number, typedIn, quantity);
    // What is shown as a bound in the other unit is one, whatever the conversion leaves behind the fifth digit.
    for (const end of [low, high]) if (Math.abs(own - end) <= 5e-5 * Math.abs(end)) return end;
    return own;
  };
  const because = (): string | undefined => {
    const typed = readNumber(text);
    if ("number" in typed) {
      const own = number();
      return own >= low && own <= high ? undefined : words.outside(boundsInBoth([low, high], quantity));
    }
    if (typed.refused === "empty") return words.empty;
    return typed.refused === "thousands" ? words.thousands(text.trim()) : words.noNumber;
  };
  const say = (message: string | undefined): void => {
    if (refusal.textContent !== (message ?? "")) refusal.textContent = message ?? "";
    if (message === undefined) input.removeAttribute("aria-invalid");
    else input.setAttribute("aria-invalid", "true");
  };
  const show = (): void => {
    const typed = readNumber(text);
    if (unit === typedIn || !("number" in typed)) input.value = text;
    else {
      // Shown to as many digits as were typed: nobody is told more than was read.
      const other =
        unit === quantity.own ? toOwn(typed.number, typedIn, quantity) : fromOwn(typed.number, unit, quantity);
      const precise = Number(other.toPrecision(Math.max(3, digitsTyped(text))));
      input.value = digits(quantity.shift === 0 ? precise : rounded(other, quantity)).replace("−", "-");
    }
    hint.textContent = words.possible(boundsIn([low, high], unit, quantity));
    units.value = unit;
    sign.hidden = fromOwn(low, unit, quantity) >= 0;
  };
  const changedText = (): void => {
    question.replaceChildren();
    // While typing, a refusal goes as soon as it is mended, and comes only when the field is left.
    if (because() === undefined) say(undefined);
    changed();
  };

  const field: Field = {
    id,
    ask,
    box,
    input,
    quantity,
    value: () => (because() === undefined ? number() : undefined),
    typed: () => ({ text, unit: typedIn }),
    shown: () => withUnit(text.trim().replace("-", "−"), typedIn),
    digits: () => digitsTyped(text),
    type(typed, as) {
      text = typed;
      typedIn = unit = as === quantity.other ? as : quantity.own;
      show();
      changedText();
    },
    useSystem(system) {
      unit = unitFor(system, quantity);
      if (text === "") typedIn = unit;
      show();
    },
    refuse() {
      say(because());
      return because() !== undefined;
    },
    isDoubted() {
      const own = number();
      return (own < usualFrom || own > usualTo) && sureOf !== `${text} ${typedIn}`;
    },
    doubt(takesFocus) {
      if (!field.isDoubted()) return false;
      const questionId = `${inputId}_doubt`;
      const yes = button({ "data-act": "sure", "aria-describedby": questionId }, words.isRight(field.shown()));
      yes.addEventListener("click", () => {
        sureOf = `${text} ${typedIn}`;
        question.replaceChildren();
        confirmed();
      });
      const usual = boundsInBoth([usualFrom, usualTo], quantity);
      question.replaceChildren(el("p", { id: questionId }, words.unusual(reading(), usual)), yes);
      if (takesFocus) yes.focus();
      return true;
    },
    close: () => forgetTimer(timerName),
  };
  const reading = (): string =>
    typedIn === quantity.own && quantity.other !== undefined ? inBoth(number(), quantity) : field.shown();

  input.addEventListener("input", () => {
    text = input.value;
    typedIn = unit;
    changedText();
  });
  input.addEventListener("change", () => {
    if (text !== "") say(because());
  });
  units.addEventListener("change", () => {
    unit = units.value;
    if (text === "") typedIn = unit;
    show();
    changed();
  });
  sign.addEventListener("click", () => {
    const shown = input.value.trim();
    text = /^[-−–]/.test(shown) ? shown.slice(1) : `-${shown}`;
    typedIn = unit;
    input.value = text;
    input.focus();
    changedText();
  });
  show();
  return field;
}
