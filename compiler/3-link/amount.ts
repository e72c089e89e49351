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
  const near = nearest(symbol, [...unitSymbols, "L/min", "mg/L", "mL/min", "BV/h", "µS/cm", "m/s", "lb/d"]);
  linker.complain({
    rule: "unit-mismatch",
    at,
    message: `\`${symbol}\` is not a unit known here`,
    hint: near
      ? `\`${near}\` may be meant`
      : `units are made of ${unitSymbols.join(", ")}, with ², ³, products by · and one division`,
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
