/**
 * Units that a reading or a result may have.
 *
 * Factors to SI are exact by definition (NIST SP 811, appendix B; the US gallon is 231 cubic inches) except the
 * conventional ones marked so. Dimensions are exponents of length, mass, time, current, temperature difference.
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
/** A grain of hardness per US gallon: 64.79891 mg in 3.785411784 L. */
const grain = pound / 7000 / gallon;

const base: Readonly<Record<string, readonly [factor: number, dimension: Dimension, offset?: number]>> = {
  "1": [1, one],
  "%": [0.01, one],
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
  kg: [1, mass],
  g: [0.001, mass],
  mg: [1e-6, mass],
  lb: [pound, mass],
  s: [1, time],
  min: [60, time],
  h: [3600, time],
  d: [86_400, time],
  Pa: [1, pressure],
  kPa: [1000, pressure],
  bar: [100_000, pressure],
  psi: [psi, pressure],
  gpg: [grain, concentration],
  // The trade takes a part per million of water for a milligram per litre.
  ppm: [0.001, concentration],
  gpm: [gallon / 60, flow],
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
};

export const unitSymbols: readonly string[] = Object.keys(base);

/** `m²`, `mg/L`, `L/min`: known symbols with an exponent 2 or 3, one division at most. Undefined for anything else. */
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
  const [above, below, more] = symbol.trim().split("/");
  if (above === undefined || more !== undefined) return undefined;
  const numerator = powerOf(above);
  if (!numerator) return undefined;
  if (below === undefined) return { symbol, ...numerator };
  const denominator = powerOf(below);
  if (!denominator || numerator.offset || denominator.offset) return undefined;
  return {
    symbol,
    factor: numerator.factor / denominator.factor,
    dimension: combine(numerator.dimension, denominator.dimension, -1),
    offset: 0,
  };
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
function scaled(a: Dimension, power: number): Dimension {
  return a.map((exponent) => exponent * power) as unknown as Dimension;
}
export function sameDimension(a: Dimension, b: Dimension): boolean {
  return a.every((exponent, i) => exponent === b[i]);
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
  [[0, 1, -1, 0, 0], "a mass per time"],
  [voltage, "a voltage"],
  [[0, 0, 0, 1, 0], "a current"],
  [[2, 1, -3, -2, 0], "a resistance"],
  [[-3, -1, 3, 2, 0], "a conductivity"],
  [[0, 0, 0, 0, 1], "a temperature"],
];
