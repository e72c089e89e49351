/** Numbers as people type them on a phone. */

export type Typed = { readonly number: number } | { readonly refused: "empty" | "no-number" | "thousands" };

/**
 * Reads a typed number; decimal point and decimal comma both count.
 *
 * A comma before exactly three digits ("1,200") may mean 1200 or 1.2, and so may two separators: these are refused
 * rather than guessed, because the reading decides where the walk goes. "0,125" can only be a decimal.
 */
export function readNumber(text: string): Typed {
  const typed = text.replace(/[\s\u00a0\u202f]/g, "").replace(/^[\u2212\u2013]/, "-");
  if (typed === "") return { refused: "empty" };
  if (/^[-+]?[1-9]\d{0,2},\d{3}$/.test(typed)) return { refused: "thousands" };
  if (/^[-+]?\d+([.,]\d+){2,}$/.test(typed)) return { refused: "thousands" };
  if (!/^[-+]?(\d+([.,]\d*)?|[.,]\d+)$/.test(typed)) return { refused: "no-number" };
  return { number: Number(typed.replace(",", ".")) };
}

/** A number for reading: at most four significant digits after computing, whole numbers as they are. */
export function showNumber(value: number): string {
  if (Number.isInteger(value)) return String(value);
  const short = Number(value.toPrecision(4));
  return String(Math.abs(value) >= 1000 ? Math.round(value) : short).replace("-", "\u2212");
}
