/** Which units go together in the two systems: settled when the page is made, from the compiler's own factors. */
import { sameDimension, type Unit, unitOf } from "../../../compiler/model/units.ts";
import { type PairTable, type Quantity, quantityOf, type System } from "../measure/units.ts";

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
  gpg: "mg/L CaCO3",
  hp: "kW",
  "gpm/ft²": "m/h",
  "gpm/ft³": "BV/h",
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

function counterpartOf(unit: string): { readonly system: System; readonly other: string } | undefined {
  if (IN_BOTH.has(unit)) return undefined;
  const metric = METRIC[unit];
  if (metric !== undefined) return { system: "us", other: metric };
  const us = US[unit] ?? Object.keys(METRIC).find((one) => METRIC[one] === unit);
  if (us !== undefined) return { system: "metric", other: us };
  return byParts(unit);
}

/** `ft³/d` by `ft` and `d`: a part without a counterpart stays as it is. */
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

function paired(unit: string): Paired | undefined {
  if (kept.has(unit)) return kept.get(unit);
  const pair = pairOf(unit);
  kept.set(unit, pair);
  return pair;
}

function pairOf(unit: string): Paired | undefined {
  const found = counterpartOf(unit);
  if (!found) return undefined;
  const [us, metric] = found.system === "us" ? [unit, found.other] : [found.other, unit];
  const [from, to] = [unitOf(us), unitOf(metric)];
  const isPair = from && to && sameDimension(from.dimension, to.dimension);
  return isPair ? { key: `${us}|${metric}`, numbers: numbersOf(from, to), other: found.other } : undefined;
}

function numbersOf(us: Unit, metric: Unit): PairTable[string] {
  // Fifteen digits: 3.785411784, not 3.7854117839999994.
  const factor = Number((us.factor / metric.factor).toPrecision(15));
  const shift = Number(((metric.offset - us.offset) / us.factor).toPrecision(12));
  return shift === 0 ? [factor] : [factor, shift];
}

export function quantityFor(unit: string): Quantity {
  const pair = paired(unit);
  return quantityOf(pair ? { [pair.key]: pair.numbers } : {}, unit, pair?.other);
}

/** The pairs that a page needs, each once. */
export function pairsFor(units: Iterable<string>): PairTable {
  const table: Record<string, PairTable[string]> = {};
  for (const unit of units) {
    const pair = paired(unit);
    if (pair) table[pair.key] = pair.numbers;
  }
  return table;
}
