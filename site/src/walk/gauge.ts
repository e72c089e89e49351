/** The ranges of a measurement one above the other, like a gauge in a stream, with a mark where the value stands. */

import { words } from "#words/walk";
import { el, phrase } from "../measure/dom.ts";
import { asExact } from "../measure/number.ts";
import { authored, digits, fromOwn, limitsOf, type Quantity, rounded, withUnit } from "../measure/units.ts";
import { open } from "./engine.ts";
import type { PlanRange } from "./plan.ts";

interface Band {
  readonly id: string;
  readonly from: number;
  readonly below: number;
}

/**
 * Every band is as high as its words need, and the mark stands within its own band at its share of it: near an end on
 * the gauge is near that end in truth. A band without an end is as wide as the others together.
 *
 * @param value In the author's unit.
 * @param unit The one that the reader reads.
 */
export function gauge(
  ranges: readonly PlanRange[],
  family: number,
  value: number,
  here: PlanRange,
  quantity: Quantity,
  unit: string,
  section: HTMLElement,
): HTMLElement | undefined {
  const bands = bandsOf(ranges, family);
  const band = bands.find(({ id }) => id === here.id);
  if (band === undefined || bands.length < 2) return undefined;
  const inUnit = (amount: number): string =>
    withUnit(
      unit === quantity.own ? authored(amount) : digits(rounded(fromOwn(amount, unit, quantity), quantity)),
      unit,
    );
  const saying = (id: string) => phrase(section.querySelector(`[data-branch="${id}"] .say`));

  const ends = bands.flatMap(({ from, below }) => [from, below]).filter(Number.isFinite);
  const spread = Math.max(...ends) - Math.min(...ends) || Math.abs(ends[0] ?? 1) || 1;
  const bottom = Number.isFinite(band.from) ? band.from : band.below - spread;
  const top = Number.isFinite(band.below) ? band.below : band.from + spread;
  const share = Math.min(0.94, Math.max(0.06, (value - bottom) / (top - bottom)));

  const near = [band.from, band.below]
    .filter(Number.isFinite)
    .reduce((one, other) => (Math.abs(other - value) < Math.abs(one - value) ? other : one));
  const away = Math.abs(fromOwn(value, unit, quantity) - fromOwn(near, unit, quantity));
  const isOn = away <= 5e-5 * Math.abs(near);
  const distance = isOn ? "" : withUnit(asExact(away, 2), unit);
  const nearness = words.near(distance, value > near, inUnit(near));
  const rows = [...bands].reverse().map((one) => {
    const isHere = one.id === here.id;
    const row = el(
      "div",
      { class: "band", "data-band": one.id, ...(isHere && { "data-here": "" }) },
      el("span", { class: "end" }, Number.isFinite(one.from) ? inUnit(one.from) : ""),
      el("span", { class: "says" }, saying(one.id)),
    );
    if (isHere) {
      const mark = el("span", { class: "mark", "data-share": share.toFixed(3) });
      mark.style.bottom = `${(share * 100).toFixed(1)}%`;
      row.append(mark);
    }
    return row;
  });
  const listed = bands.map(({ id, from, below }) =>
    words.band(
      saying(id).textContent?.trim() ?? "",
      limitsOf(Number.isFinite(from) ? inUnit(from) : "", Number.isFinite(below) ? inUnit(below) : ""),
    ),
  );
  const label = `${nearness} ${listed.join("; ")}.`;
  return el(
    "div",
    { class: "gauge", "data-gauge": "" },
    el("p", { class: "nearness", "data-nearness": "" }, nearness),
    el("div", { class: "bands", role: "img", "aria-label": label }, ...rows),
  );
}

function bandsOf(ranges: readonly PlanRange[], family: number): Band[] {
  return open(ranges, family)
    .flatMap((one) => {
      const ends = one.ends ? one.ends[family] : one;
      const { from = Number.NEGATIVE_INFINITY, below = Number.POSITIVE_INFINITY } = ends ?? {};
      return ends == null ? [] : [{ id: one.id, from, below }];
    })
    .sort((one, other) => one.from - other.from);
}
