/** A timer for a reading in a unit of time. The moment of starting is kept, so that it runs on over a reload. */

import { words } from "#words/measure";
import { button, el } from "./dom.ts";
import { asPrinted } from "./units.ts";

/** Seconds in each unit that can be timed. */
const SECONDS: Readonly<Record<string, number>> = { s: 1, min: 60, h: 3600 };

export function canTime(unit: string): boolean {
  return Object.hasOwn(SECONDS, unit);
}

/**
 * @param name Under which the start is kept: one for each visit, step and reading.
 * @param fill Called with the time in the unit, as a reader would write it down.
 */
export function timerFor(name: string, unit: string, ask: string, fill: (typed: string) => void): HTMLElement {
  const key = `headwater-timer ${name}`;
  let began = keptStart(key);
  const press = button({ "data-act": "timer" });
  const shown = el("span", { class: "elapsed", role: "timer", "aria-label": ask, "data-elapsed": "" });
  const said = el("span", { class: "timed", role: "status" });
  const box = el("div", { class: "timer", "data-timer": "" }, press, shown, said);
  const label = () => {
    press.textContent = began === undefined ? words.start : words.stop;
    press.setAttribute("aria-pressed", String(began !== undefined));
  };
  const tick = (): void => {
    if (began === undefined) return;
    shown.textContent = clock((Date.now() - began) / 1000);
    // A field that has left the page takes its timer's face along; the start stays kept.
    setTimeout(() => box.isConnected && tick(), 200);
  };
  press.addEventListener("click", () => {
    if (began === undefined) {
      began = Date.now();
      keepStart(key, began);
      said.textContent = words.running;
      label();
      tick();
      return;
    }
    const seconds = (Date.now() - began) / 1000;
    began = undefined;
    keepStart(key, undefined);
    shown.textContent = "";
    label();
    press.textContent = words.again;
    said.textContent = words.stopped(clock(seconds));
    const amount = seconds / (SECONDS[unit] ?? 1);
    // Nobody's thumb is better than a tenth of a second.
    fill(asPrinted(amount.toFixed(unit === "s" ? (seconds < 100 ? 1 : 0) : unit === "min" ? 2 : 3)));
  });
  label();
  if (began !== undefined) setTimeout(tick);
  return box;
}

/** What is kept of it is forgotten: the step was answered. */
export function forgetTimer(name: string): void {
  keepStart(`headwater-timer ${name}`, undefined);
}

function clock(seconds: number): string {
  const minutes = Math.floor(seconds / 60);
  return asPrinted(
    minutes === 0 ? `${seconds.toFixed(1)}\u00a0s` : `${minutes}:${(seconds % 60).toFixed(1).padStart(4, "0")}`,
  );
}

function keptStart(key: string): number | undefined {
  try {
    return Number(localStorage.getItem(key)) || undefined;
  } catch {
    return undefined;
  }
}

function keepStart(key: string, began: number | undefined): void {
  try {
    if (began === undefined) localStorage.removeItem(key);
    else localStorage.setItem(key, String(began));
  } catch {
    // Then it runs as long as the page stands.
  }
}
