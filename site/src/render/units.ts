/** Which units go together in the two systems: settled when the page is made, from the compiler's own factors. */
import { sameDimension, type Unit, unitOf } from "../../../compiler/model/units.ts";
import { type PairTable, type Quantity, quantityOf, type System } from "../measure/units.ts";
import { plain } from "./html.ts";

/** US unit to metric unit. */
const METRIC: Readonly<Record<string, string>> = {
  gal: "L",
  "fl oz": "mL",
  qt: "L",
  kgal: "m³",
  gpm: "L/min",
  gph: "L/h",
  gpd: "L/d",
  psi: "kPa",
  ftH2O: "mH2O",
  inH2O: "kPa",
  in: "mm",
  ft: "m",
  "°F": "°C",
  "Δ°F": "Δ°C",
  lb: "kg",
  oz: "g",
  gr: "g",
  gpg: "mg/L",
  hp: "kW",
  "gpm/ft²": "m/h",
  "lb/ft³": "g/L",
  "gr/ft³": "g/L",
  "gr/lb": "g/kg",
  // What water costs.
  "1/kgal": "1/m³",
};
/** Metric unit to US unit, where that isn't the reverse of the above, or where the above has two. */
const US: Readonly<Record<string, string>> = {
  L: "gal",
  "m³": "gal",
  "m³/h": "gpm",
  "L/s": "gpm",
  kPa: "psi",
  bar: "psi",
  cm: "in",
  g: "oz",
  "g/L": "lb/ft³",
};
/** The same in both systems, though their parts are not: conductivity, dissolved matter, light. */
const IN_BOTH = new Set(["mg/L", "µg/L", "ppm", "mg·min/L", "µS/cm", "mS/cm", "mJ/cm²", "mW/cm²", "W/m²", "mg"]);

/**
 * Dissolved matter is in mg/L everywhere; hardness alone is in grains per gallon in the US.
 *
 * @param about What was asked: only the word tells hardness from other matter.
 */
function counterpartOf(unit: string, about: string): { readonly system: System; readonly other: string } | undefined {
  if (unit === "mg/L" && /hardness/i.test(about)) return { system: "metric", other: "gpg" };
  if (IN_BOTH.has(unit)) return undefined;
  const metric = METRIC[unit];
  if (metric !== undefined) return { system: "us", other: metric };
  const us = US[unit] ?? Object.keys(METRIC).find((one) => METRIC[one] === unit);
  if (us !== undefined) return { system: "metric", other: us };
  return byParts(unit);
}

/** `ft³/d` by `ft` and `d`: a part without a counterpart stays as it is. `gpm/ft³` has none that anybody uses. */
function byParts(unit: string): { readonly system: System; readonly other: string } | undefined {
  let system: System | undefined;
  let isWhole = true;
  const other = unit.replace(/[^/·²³]+/gu, (part) => {
    const simple = METRIC[part] ?? US[part] ?? Object.keys(METRIC).find((one) => METRIC[one] === part);
    if (simple?.includes("/")) isWhole = false;
    if (simple === undefined) return part;
    system ??= METRIC[part] === undefined ? "metric" : "us";
    return simple;
  });
  return system === undefined || other === unit || !isWhole ? undefined : { system, other };
}

interface Paired {
  readonly key: string;
  readonly numbers: PairTable[string];
  readonly other: string;
}

const kept = new Map<string, Paired | undefined>();

function paired(unit: string, about: string): Paired | undefined {
  const found = counterpartOf(unit, about);
  if (!found) return undefined;
  const name = `${unit}|${found.other}`;
  if (kept.has(name)) return kept.get(name);
  const [us, metric] = found.system === "us" ? [unit, found.other] : [found.other, unit];
  const [from, to] = [unitOf(us), unitOf(metric)];
  const isPair = from && to && sameDimension(from.dimension, to.dimension);
  const result = isPair ? { key: `${us}|${metric}`, numbers: numbersOf(from, to), other: found.other } : undefined;
  kept.set(name, result);
  return result;
}

function numbersOf(us: Unit, metric: Unit): PairTable[string] {
  // Fifteen digits: 3.785411784, not 3.7854117839999994.
  const factor = Number((us.factor / metric.factor).toPrecision(15));
  const shift = Number(((metric.offset - us.offset) / us.factor).toPrecision(12));
  return shift === 0 ? [factor] : [factor, shift];
}

/** @param about What was asked, as compiled HTML, or a name. */
export function quantityFor(unit: string, about: string): Quantity {
  const pair = paired(unit, plain(about));
  return quantityOf(pair ? { [pair.key]: pair.numbers } : {}, unit, pair?.other);
}

/** The pairs that a page needs, each once. */
export function pairsFor(asked: Iterable<readonly [unit: string, about: string]>): PairTable {
  const table: Record<string, PairTable[string]> = {};
  for (const [unit, about] of asked) {
    const pair = paired(unit, plain(about));
    if (pair) table[pair.key] = pair.numbers;
  }
  return table;
}
