/** Numbers with units, and the value that is computed from readings. The formula language grows from here. */
import type { Operand, Reading, Value } from "../model/base.ts";
import type { Place } from "../model/source.ts";
import {
  combine,
  convert,
  type Dimension,
  dimensionWords,
  sameDimension,
  type Unit,
  unitOf,
  unitSymbols,
} from "../model/units.ts";
import { nearest } from "../words/nearest.ts";
import type { Linker } from "./linker.ts";

/** The unit, or a complaint that names the nearest one. */
export function linkUnit(linker: Linker, symbol: string, at: Place): Unit | undefined {
  const unit = unitOf(symbol);
  if (unit) return unit;
  const near = nearest(symbol, [...unitSymbols, "L/min", "mg/L", "mL/min", "µS/cm", "m/s", "lb/d"]);
  linker.complain({
    rule: "unit-mismatch",
    at,
    message: `\`${symbol}\` is not a unit known here`,
    hint: near ? `\`${near}\` may be meant` : `units are made of ${unitSymbols.join(", ")}, with ², ³ and one division`,
  });
  return undefined;
}

/** An amount of the format (`5`, `5 %`, `0,2 L/min`) as a number in `unit`. */
export function linkAmount(linker: Linker, amount: number | string, at: Place, unit: Unit): number | undefined {
  if (typeof amount === "number") return amount;
  const match = /^(-?\d+(?:[.,]\d+)?)\s*(.*)$/.exec(amount.trim());
  const number = Number(match?.[1]?.replace(",", "."));
  const symbol = match?.[2] ?? "";
  if (symbol === "") return number;
  const given = linkUnit(linker, symbol, at);
  if (!given) return undefined;
  if (!sameDimension(given.dimension, unit.dimension)) {
    linker.complain({
      rule: "unit-mismatch",
      at,
      message: `\`${symbol}\` is ${dimensionWords(given.dimension)}, but the value is ${dimensionWords(unit.dimension)} in \`${unit.symbol}\``,
      hint: `give the amount in \`${unit.symbol}\``,
    });
    return undefined;
  }
  return convert(number, given, unit);
}

/**
 * `reading`, `reading / reading`, `2 * a / b`: products and one division, `×` and `÷` understood. The result's
 * dimension must be that of `unit`; the factor between them becomes the value's scale.
 */
export function linkValue(
  linker: Linker,
  definition: { readonly name: string; readonly text: string; readonly at: Place },
  unit: Unit,
  readings: readonly Reading[],
): Value | undefined {
  const { name, text, at } = definition;
  const invalid = (message: string, hint: string): undefined => {
    linker.complain({ rule: "invalid-formula", at, message, hint });
    return undefined;
  };
  const [above = "", below, more] = text.split(/[/÷]/);
  if (more !== undefined)
    return invalid("the formula divides more than once", "multiply the divisors: a / (b * c) is `a / b * c` here");
  const sides: { times: Operand[]; over: Operand[] } = { times: [], over: [] };
  let dimension: Dimension = [0, 0, 0, 0, 0];
  let factor = 1;
  for (const [side, part] of [
    ["times", above],
    ["over", below],
  ] as const) {
    if (part === undefined) continue;
    for (const word of part.split(/[*×·]/).map((piece) => piece.trim())) {
      if (/^\d+([.,]\d+)?$/.test(word)) {
        sides[side].push({ constant: Number(word.replace(",", ".")) });
        continue;
      }
      const reading = readings.find(({ id }) => id === word);
      if (!reading) {
        const near = nearest(
          word,
          readings.map(({ id }) => id),
        );
        return invalid(
          word === ""
            ? "the formula lacks a reading or a number"
            : `the formula speaks of \`${word}\`, which is no reading of this step`,
          near
            ? `\`${near}\` may be meant`
            : `multiply and divide these: ${readings.map(({ id }) => `\`${id}\``).join(", ")}`,
        );
      }
      const readingUnit = unitOf(reading.unit);
      if (!readingUnit) return undefined;
      if (readingUnit.offset)
        return invalid(
          `a temperature in \`${reading.unit}\` can't be computed with`,
          "leave `value` out and compare the reading itself",
        );
      sides[side].push({ reading: word });
      const sign = side === "times" ? 1 : -1;
      dimension = combine(dimension, readingUnit.dimension, sign);
      factor *= readingUnit.factor ** sign;
    }
  }
  if (!sameDimension(dimension, unit.dimension)) {
    linker.complain({
      rule: "unit-mismatch",
      at,
      message: `\`${text}\` gives ${dimensionWords(dimension)}, but its unit \`${unit.symbol}\` is for ${dimensionWords(unit.dimension)}`,
      hint: `choose a unit for ${dimensionWords(dimension)}, or other readings`,
    });
    return undefined;
  }
  return { name, unit: unit.symbol, ...sides, scale: factor / unit.factor };
}
