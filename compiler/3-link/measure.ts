/** Readings, value and ranges of a measurement, in one unit. */
import type { Reading, Value } from "../model/base.ts";
import type * as F from "../model/format.ts";
import type { Unit } from "../model/units.ts";
import { unitOf } from "../model/units.ts";
import { linkAmount, linkUnit, linkValue } from "./amount.ts";
import type { Linker } from "./linker.ts";

export interface LinkedMeasure {
  readonly readings: readonly Reading[];
  /** Undefined when a unit or the formula is at fault; complaints say why. */
  readonly value: Value | undefined;
  /** By range id, in the value's unit: from included, below not, infinite where left out. */
  readonly ranges: ReadonlyMap<string, { readonly from: number; readonly below: number }> | undefined;
}

export function linkMeasure(linker: Linker, data: F.Measure | F.ProveMeasure): LinkedMeasure {
  const definitions = data.readings as Readonly<Record<string, F.Reading>>;
  let unitsKnown = true;
  const readings = Object.entries(definitions).map(([id, reading]): Reading => {
    if (!linkUnit(linker, reading.unit, linker.valueAt(reading, "unit"))) unitsKnown = false;
    const [low = 0, high = 0] = reading.between;
    if (low >= high)
      linker.complain({
        rule: "range-gap",
        at: linker.valueAt(reading, "between"),
        message: `nothing can be read between ${low} and ${high}`,
        hint: "give the lowest number first, then the highest",
        about: id,
      });
    return { id, ask: reading.ask, unit: reading.unit, between: [low, high] };
  });
  if (!unitsKnown) return { readings, value: undefined, ranges: undefined };
  const value = linkMeasureValue(linker, data, readings);
  const unit = value && unitOf(value.unit);
  return { readings, value, ranges: unit && linkRanges(linker, data, unit) };
}

function linkMeasureValue(
  linker: Linker,
  data: F.Measure | F.ProveMeasure,
  readings: readonly Reading[],
): Value | undefined {
  const [first, second] = readings;
  if (!data.value) {
    if (first && !second)
      return { name: first.id, unit: first.unit, times: [{ reading: first.id }], over: [], scale: 1 };
    linker.complain({
      rule: "invalid-formula",
      at: linker.keyAt(data, "readings"),
      message: "with more than one reading, the ranges need to know what is computed",
      hint: "add `value: {name: a / b, unit: ...}`",
    });
    return undefined;
  }
  const { unit: symbol, ...formulas } = data.value as { unit: string; [name: string]: string };
  const unit = linkUnit(linker, symbol, linker.valueAt(data.value, "unit"));
  const [name = "", text = ""] = Object.entries(formulas)[0] ?? [];
  return unit && linkValue(linker, { name, text, at: linker.valueAt(data.value, name) }, unit, readings);
}

function linkRanges(
  linker: Linker,
  data: F.Measure | F.ProveMeasure,
  unit: Unit,
): ReadonlyMap<string, { from: number; below: number }> | undefined {
  const ranges = new Map<string, { from: number; below: number }>();
  let known = true;
  for (const [id, range] of Object.entries(data.ranges as Readonly<Record<string, F.Range>>)) {
    const end = (key: "from" | "below", open: number): number => {
      const amount = range[key];
      if (amount === undefined) return open;
      const number = linkAmount(linker, amount, linker.valueAt(range, key), unit);
      if (number === undefined) known = false;
      return number ?? open;
    };
    ranges.set(id, { from: end("from", Number.NEGATIVE_INFINITY), below: end("below", Number.POSITIVE_INFINITY) });
  }
  return known ? ranges : undefined;
}
