/**
 * Units that a reading or a result may have.
 *
 * Factors to SI are exact by definition (NIST SP 811, appendix B; the US gallon is 231 cubic inches) except the
 * conventional ones marked so. Dimensions are exponents of length, mass, time, current, temperature difference; a root
 * can make them fractions.
 */
export type Dimension = readonly [length: number, mass: number, time: number, current: number, temperature: number];

export interface Unit {
  readonly symbol: string;
  readonly dimension: Dimension;
  /** SI value of one of this unit. */
  readonly factor: number;
  /** Added after scaling, for temperatures only (K). A unit with an offset can't be multiplied. */
  readonly offset: number;
}

const L: Dimension = [1, 0, 0, 0, 0];
const volume: Dimension = [3, 0, 0, 0, 0];
const mass: Dimension = [0, 1, 0, 0, 0];
const time: Dimension = [0, 0, 1, 0, 0];
const pressure: Dimension = [-1, 1, -2, 0, 0];
const concentration: Dimension = [-3, 1, 0, 0, 0];
const one: Dimension = [0, 0, 0, 0, 0];
const flow: Dimension = [3, 0, -1, 0, 0];
const voltage: Dimension = [2, 1, -3, -1, 0];
const conductance: Dimension = [-2, -1, 3, 2, 0];

const inch = 0.0254;
const pound = 0.45359237;
const gallon = 231 * inch ** 3;
/** Pound-force per square inch, from the exact pound, standard gravity and inch. */
const psi = (pound * 9.80665) / inch ** 2;
const imperialGallon = 0.00454609;
/** 64.79891 mg: the grain of hardness and of capacity. */
const grain = pound / 7000;
/** A column of one metre of conventional water (1000 kg/m³) under standard gravity. */
const waterColumn = 9806.65;
const energy: Dimension = [2, 1, -2, 0, 0];
const power: Dimension = [2, 1, -3, 0, 0];

const base: Readonly<Record<string, readonly [factor: number, dimension: Dimension, offset?: number]>> = {
  "1": [1, one],
  "%": [0.01, one],
  // Bed volumes: flow in BV/h is what passes a bed in an hour, by the volume of that bed.
  BV: [1, one],
  pH: [1, one],
  m: [1, L],
  cm: [0.01, L],
  mm: [0.001, L],
  in: [inch, L],
  ft: [12 * inch, L],
  L: [0.001, volume],
  mL: [1e-6, volume],
  gal: [gallon, volume],
  "fl oz": [gallon / 128, volume],
  qt: [gallon / 4, volume],
  // A thousand gallons, by which water is charged.
  kgal: [1000 * gallon, volume],
  "imp gal": [imperialGallon, volume],
  kg: [1, mass],
  g: [0.001, mass],
  mg: [1e-6, mass],
  µg: [1e-9, mass],
  lb: [pound, mass],
  oz: [pound / 16, mass],
  gr: [grain, mass],
  s: [1, time],
  min: [60, time],
  h: [3600, time],
  d: [86_400, time],
  Pa: [1, pressure],
  kPa: [1000, pressure],
  bar: [100_000, pressure],
  atm: [101_325, pressure],
  psi: [psi, pressure],
  mH2O: [waterColumn, pressure],
  ftH2O: [waterColumn * 12 * inch, pressure],
  inH2O: [waterColumn * inch, pressure],
  // Hardness, as calcium carbonate. A name of its own, since the US has grains for it and for no other matter.
  "mg/L CaCO3": [0.001, concentration],
  gpg: [grain / gallon, concentration],
  "°fH": [0.01, concentration],
  "°e": [grain / imperialGallon, concentration],
  // 10 mg/L of calcium oxide; by molar masses 100.0869 and 56.0774, so not exact.
  "°dH": [(0.01 * 100.0869) / 56.0774, concentration],
  // The trade takes a part per million of water for a milligram per litre.
  ppm: [0.001, concentration],
  gpm: [gallon / 60, flow],
  gph: [gallon / 3600, flow],
  gpd: [gallon / 86_400, flow],
  J: [1, energy],
  mJ: [0.001, energy],
  W: [1, power],
  mW: [0.001, power],
  kW: [1000, power],
  // 550 foot pound-force a second.
  hp: [550 * 12 * inch * pound * 9.80665, power],
  V: [1, voltage],
  mV: [0.001, voltage],
  A: [1, [0, 0, 0, 1, 0]],
  Ω: [1, [2, 1, -3, -2, 0]],
  S: [1, conductance],
  mS: [0.001, conductance],
  µS: [1e-6, conductance],
  "°C": [1, [0, 0, 0, 0, 1], 273.15],
  "°F": [5 / 9, [0, 0, 0, 0, 1], 459.67 * (5 / 9)],
  K: [1, [0, 0, 0, 0, 1]],
  // Differences: a rise of 1 °C is one of 1.8 °F, and 32 has no part in it.
  "Δ°C": [1, [0, 0, 0, 0, 1]],
  "Δ°F": [5 / 9, [0, 0, 0, 0, 1]],
};

export const unitSymbols: readonly string[] = Object.keys(base);

/**
 * `m²`, `mg/L`, `mg·min/L`: known symbols, each with an exponent 2 or 3, products by `·`, one division at most.
 * Undefined for anything else.
 */
export function unitOf(symbol: string): Unit | undefined {
  const kept = read.get(symbol);
  if (kept) return kept;
  const unit = readUnit(symbol);
  if (unit) read.set(symbol, unit);
  return unit;
}
/** Only units that exist are kept, so it can't grow beyond their combinations. */
const read = new Map<string, Unit>();

function readUnit(symbol: string): Unit | undefined {
  const whole = powerOf(symbol);
  if (whole) return { symbol, ...whole };
  const [above, below, more] = symbol.trim().split("/");
  if (above === undefined || more !== undefined) return undefined;
  const numerator = productOf(above);
  if (!numerator) return undefined;
  if (below === undefined) return { symbol, ...numerator };
  const denominator = productOf(below);
  if (!denominator || numerator.offset || denominator.offset) return undefined;
  return {
    symbol,
    factor: numerator.factor / denominator.factor,
    dimension: combine(numerator.dimension, denominator.dimension, -1),
    offset: 0,
  };
}

function productOf(text: string): Omit<Unit, "symbol"> | undefined {
  let product: Omit<Unit, "symbol"> | undefined;
  for (const part of text.split("·")) {
    const next = powerOf(part);
    if (!next || (product && (product.offset || next.offset))) return undefined;
    product = product
      ? {
          factor: product.factor * next.factor,
          dimension: combine(product.dimension, next.dimension, 1),
          offset: 0,
        }
      : next;
  }
  return product;
}

function powerOf(text: string): Omit<Unit, "symbol"> | undefined {
  const match = /^(.+?)([²³])?$/u.exec(text.trim());
  const name = match?.[1] ?? "";
  const known = Object.hasOwn(base, name) ? base[name] : undefined;
  if (!known) return undefined;
  const power = match?.[2] === "²" ? 2 : match?.[2] === "³" ? 3 : 1;
  const [factor, dimension, offset = 0] = known;
  if (power > 1 && offset) return undefined;
  return { factor: factor ** power, dimension: scaled(dimension, power), offset };
}

export function combine(a: Dimension, b: Dimension, sign: 1 | -1): Dimension {
  return a.map((exponent, i) => exponent + sign * (b[i] ?? 0)) as unknown as Dimension;
}
export function scaled(a: Dimension, power: number): Dimension {
  return a.map((exponent) => exponent * power) as unknown as Dimension;
}
/** Exponents are small fractions, so what differs by less is rounding. */
export function sameDimension(a: Dimension, b: Dimension): boolean {
  return a.every((exponent, i) => Math.abs(exponent - (b[i] ?? 0)) < 1e-9);
}
export const pureNumber: Dimension = one;

/** A number in `unit` as SI: kelvins from absolute zero for a temperature on a scale. */
export function toSi(amount: number, unit: Unit): number {
  return amount * unit.factor + unit.offset;
}
export function fromSi(amount: number, unit: Unit): number {
  return (amount - unit.offset) / unit.factor;
}

/** `5`, `0,2 L/min`, `12 °C` as a number and the text of its unit; undefined for anything else. */
export function readAmount(text: string): { readonly number: number; readonly symbol: string } | undefined {
  const [, number, symbol = ""] = /^([-−]?\d+(?:[.,]\d+)?)(\s.+|[^\d\s.,].*)?$/u.exec(text.trim()) ?? [];
  return number === undefined
    ? undefined
    : { number: Number(number.replace(",", ".").replace("−", "-")), symbol: symbol.trim() };
}

/** A fact of a family as a quantity in SI; undefined for a word, and for an amount in a unit that is not known. */
export function factAmount(fact: string | number | boolean | undefined): { si: number; unit: Unit } | undefined {
  const amount = typeof fact === "number" ? { number: fact, symbol: "1" } : readAmount(String(fact));
  const unit = amount && unitOf(amount.symbol || "1");
  return amount && unit && { si: toSi(amount.number, unit), unit };
}

/** `amount` of one unit in another of the same dimension. Temperatures are points on a scale, not differences. */
export function convert(amount: number, from: Unit, to: Unit): number {
  if (from.symbol === to.symbol) return amount;
  // Twelve digits: by way of kelvin 49 °C would come out as 120.199 999 999 999 93 °F.
  if (from.offset || to.offset)
    return Number(((amount * from.factor + from.offset - to.offset) / to.factor).toPrecision(12));
  // One division: 5 gpm and its value in L/min must fall on the same side of a threshold.
  return (amount * from.factor) / to.factor;
}

/** In words, for a message: "a pressure", "a flow". */
export function dimensionWords(dimension: Dimension): string {
  return names.find(([known]) => sameDimension(known, dimension))?.[1] ?? "a quantity of another kind";
}
const names: readonly (readonly [Dimension, string])[] = [
  [one, "a plain number"],
  [L, "a length"],
  [[2, 0, 0, 0, 0], "an area"],
  [volume, "a volume"],
  [mass, "a mass"],
  [time, "a time"],
  [pressure, "a pressure"],
  [concentration, "a concentration"],
  [flow, "a flow"],
  [[1, 0, -1, 0, 0], "a speed"],
  [[0, 0, -1, 0, 0], "a number per time"],
  [[-3, 0, 0, 0, 0], "a number per volume"],
  [[0, 1, -1, 0, 0], "a mass per time"],
  [[-3, 1, 1, 0, 0], "a concentration times a time"],
  [energy, "an energy"],
  [power, "a power"],
  [[0, 1, -2, 0, 0], "an energy per area"],
  [[0, 1, -3, 0, 0], "a power per area"],
  [voltage, "a voltage"],
  [[0, 0, 0, 1, 0], "a current"],
  [[2, 1, -3, -2, 0], "a resistance"],
  [[-3, -1, 3, 2, 0], "a conductivity"],
  [conductance, "a conductance"],
  [[0, 0, 0, 0, 1], "a temperature"],
];
