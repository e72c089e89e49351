/** The figures of a text with the units behind them, to hold a translation against its source. */
import { unitOf } from "../../model/units.ts";
import { blocksOf } from "../../words/markdown.ts";

export interface Figure {
  /** With its unit, as it stands in the text. */
  readonly written: string;
  /** What it can mean: `2,000` is two thousand to one reader and two to another. */
  readonly values: readonly number[];
  /** Undefined where no unit that we know stands behind it. */
  readonly unit: string | undefined;
}

/** Digits with the marks that languages put between them; a blank only before three digits. */
const number = /\d+(?:[.,]\d+|[ \u00a0\u2009\u202f]\d{3}(?!\d))*/g;
const behind = /^[ \u00a0\u2009\u202f]?([^\s\d.,;:!?()"“”«»]+)(?: ([^\s\d.,;:!?()"“”«»]+))?/;

/** @param language Of the text, where its figures have the one meaning that they have in it. */
export function figuresOf(text: string, language?: string): Figure[] {
  if (!/\d/.test(text)) return [];
  return blocksOf(text).flatMap((block) =>
    [...block.matchAll(number)].map((match) => {
      const [digits] = match;
      const [, first = "", second] = behind.exec(block.slice(match.index + digits.length)) ?? [];
      const unit = [`${first} ${second}`, first].find((symbol) => unitOf(symbol));
      const all = readings(digits.replace(/[^\d.,]/g, ""));
      const values = language === undefined || all.length < 2 ? all : [readIn(digits, language)];
      return { written: unit === undefined ? digits : `${digits} ${unit}`, values, unit };
    }),
  );
}

/** Every number that the digits can mean, with a comma or a point before the fraction. */
function readings(digits: string): number[] {
  const marks = [...new Set(digits.match(/[.,]/g))];
  const [mark = "", other] = marks;
  if (other !== undefined) return [Number(digits.replaceAll(mark, "").replace(other, "."))];
  const parts = digits.split(mark || ".");
  const grouped = Number(parts.join(""));
  if (parts.length === 1) return [grouped];
  const isGrouped = /^\d{1,3}([.,]\d{3})+$/.test(digits);
  if (parts.length > 2) return [grouped];
  const fraction = Number(parts.join("."));
  return isGrouped ? [fraction, grouped] : [fraction];
}

function readIn(digits: string, language: string): number {
  const parts = new Intl.NumberFormat(language).formatToParts(12345.6);
  const mark = parts.find(({ type }) => type === "decimal")?.value ?? ".";
  return Number([...digits].map((sign) => (sign === mark ? "." : /\d/.test(sign) ? sign : "")).join(""));
}

/** A unit that is an ordinary word too: `2 in the tank`. */
const isWordToo = (unit: string | undefined): boolean => unit === "in";

function isSame(source: Figure, other: Figure): boolean {
  const sameUnit =
    source.unit === other.unit ||
    (isWordToo(source.unit) && other.unit === undefined) ||
    (isWordToo(other.unit) && source.unit === undefined);
  return sameUnit && source.values.some((value) => other.values.includes(value));
}

/** The figures that only the one or only the other has; each stands for itself, however often it comes. */
export function figuresApart(
  source: readonly Figure[],
  other: readonly Figure[],
): { readonly lost: readonly Figure[]; readonly added: readonly Figure[] } {
  // Those with one meaning first: they can't be the match of anything else.
  const left = [...other].sort((a, b) => a.values.length - b.values.length);
  const lost = source.filter((figure) => {
    const match = left.findIndex((one) => isSame(figure, one));
    if (match >= 0) left.splice(match, 1);
    return match < 0;
  });
  return { lost, added: other.filter((figure) => left.includes(figure)) };
}
