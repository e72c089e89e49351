/** Numbers with units, as the format writes them. */
import type { Place } from "../model/source.ts";
import { convert, dimensionWords, readAmount, sameDimension, type Unit, unitOf, unitSymbols } from "../model/units.ts";
import { nearest } from "../words/nearest.ts";
import { kindOf, likelyMeant } from "./formula/check.ts";
import type { Linker } from "./linker.ts";

/** The unit, or a complaint that names the nearest one. */
export function linkUnit(linker: Linker, symbol: string, at: Place): Unit | undefined {
  const unit = unitOf(symbol);
  if (unit) return unit;
  linker.complain({
    rule: "unit-mismatch",
    at,
    message: `\`${symbol}\` is not a unit known here`,
    hint: unitHint(symbol),
  });
  return undefined;
}

/** An amount of the format (`5`, `5 %`, `0,2 L/min`) as a number in `unit`; without a unit of its own it is in that. */
export function linkAmount(linker: Linker, amount: number | string, at: Place, unit: Unit): number | undefined {
  if (typeof amount === "number") return amount;
  const { number, symbol } = readAmount(amount) ?? { number: Number.NaN, symbol: "" };
  if (symbol === "") return number;
  const given = linkUnit(linker, symbol, at);
  if (!given) return undefined;
  if (!sameDimension(given.dimension, unit.dimension)) {
    linker.complain({
      rule: "unit-mismatch",
      at,
      message: `\`${symbol}\` is ${dimensionWords(given.dimension)}, but the value is ${dimensionWords(unit.dimension)} in \`${unit.symbol}\``,
      hint: likelyMeant(kindOf(given), kindOf(unit), "it") ?? `give the amount in \`${unit.symbol}\``,
    });
    return undefined;
  }
  return convert(number, given, unit);
}

function unitHint(symbol: string): string {
  const spelt = spelledOut.get(symbol.toLowerCase());
  if (spelt) return `it is written ${spelt}`;
  const near = nearest(symbol, [...unitSymbols, "L/min", "mg/L", "mL/min", "BV/h", "µS/cm", "m/s", "lb/d"]);
  if (near) return `\`${near}\` may be meant`;
  const word = /^\p{L}{4,}(\/.+)?$/u.exec(symbol);
  const count = `1${word?.[1] ?? ""}`;
  const counted = word && unitOf(count) ? `what is counted has the unit \`"${count}"\`; other ` : "";
  return `${counted}units are made of ${unitSymbols.join(", ")}, with ², ³, products by · and one division`;
}

/** Units by their names, as they are said. A gauge in pounds shows psi. */
const spelledOut: ReadonlyMap<string, string> = new Map(
  Object.entries({
    "`min`": ["minute", "minutes", "mins"],
    "`s`": ["second", "seconds", "secs"],
    "`h`": ["hour", "hours", "hrs"],
    "`d`": ["day", "days"],
    "`L`": ["litre", "litres", "liter", "liters"],
    "`gal`": ["gallon", "gallons"],
    "`qt`": ["quart", "quarts"],
    "`in`": ["inch", "inches"],
    "`ft`": ["foot", "feet"],
    "`m`": ["metre", "metres", "meter", "meters"],
    "`lb` as a weight and `psi` as a pressure": ["pound", "pounds", "lbs"],
    "`oz` as a weight and `fl oz` as a volume": ["ounce", "ounces"],
    "`gr` as a weight and `gpg` as hardness": ["grain", "grains"],
    "`%`": ["percent", "per cent"],
    "`°C`": ["celsius", "degrees celsius"],
    "`°F`": ["fahrenheit", "degrees fahrenheit"],
    "`V`": ["volt", "volts"],
    "`A`": ["amp", "amps", "ampere", "amperes"],
    "`Ω`": ["ohm", "ohms"],
    "`W`": ["watt", "watts"],
  }).flatMap(([written, names]) => names.map((name) => [name, written] as const)),
);
