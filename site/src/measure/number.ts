/** Numbers as people type them on a phone, and as they are shown to them. */
import { asPrinted, digits, OTHER_MARK } from "./units.ts";

export type Typed = { readonly number: number } | { readonly refused: "empty" | "no-number" | "thousands" };

const OF_THOUSANDS = new RegExp(`^[-+]?[1-9]\\d{0,2}[${OTHER_MARK}]\\d{3}$`);

/**
 * Reads a typed number; decimal point and decimal comma both count.
 *
 * A comma before exactly three digits ("1,200") may mean 1200 or 1.2, and so may two separators: these are refused
 * rather than guessed, because the reading decides where the walk goes. "0,125" can only be a decimal. On a page whose
 * numbers have a comma, it is the point ("1.200") that may mean either.
 */
export function readNumber(text: string): Typed {
  const typed = text.replace(/[\s\u00a0\u202f]/g, "").replace(/^[\u2212\u2013]/, "-");
  if (typed === "") return { refused: "empty" };
  if (OF_THOUSANDS.test(typed)) return { refused: "thousands" };
  if (/^[-+]?\d+([.,'’]\d+){2,}$|^[-+]?\d+['’]/.test(typed)) return { refused: "thousands" };
  if (!/^[-+]?(\d+([.,]\d*)?|[.,]\d+)$/.test(typed)) return { refused: "no-number" };
  return { number: Number(typed.replace(",", ".")) };
}

/** How many significant digits somebody typed: 3 in `0.0420`, and in `420`, whose nought may have been read. */
export function digitsTyped(text: string): number {
  return text.replace(/\D/g, "").replace(/^0+/, "").length || 1;
}

/**
 * A result, as exact as its readings: as many significant digits as the reading with the fewest, but two at least. One
 * that begins with 1 keeps one more, or it would be rounded ten times as coarsely as one that begins with 9.
 */
export function asExact(value: number, significant: number): string {
  if (value === 0) return "0";
  const count = Math.max(2, significant);
  // Unless that one is a nought, which would only look more exact.
  const isLonger = /^-?1.*[1-9]e/.test(value.toExponential(Math.min(11, count)));
  const short = value.toPrecision(Math.min(12, count + (isLonger ? 1 : 0)));
  // A long whole number stays whole: 1234, not 1.2e+3.
  return /e/.test(short) || Math.abs(value) >= 10 ** count ? digits(Number(short)) : asPrinted(short);
}

/** A number for reading: at most four significant digits after computing, whole numbers as they are. */
export function showNumber(value: number): string {
  if (Number.isInteger(value)) return digits(value);
  return digits(Math.abs(value) >= 1000 ? Math.round(value) : Number(value.toPrecision(4)));
}
