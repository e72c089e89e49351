/**
 * A unit and its counterpart in the other system. Which units are pairs was settled when the page was made
 * (`render/units.ts`); here are only the two numbers of each pair, so that no table of units travels to the reader.
 */
import { words } from "#words/measure";

export type System = "us" | "metric";

/** By `<US unit>|<metric unit>`: metric = (US − shift) × factor. Only temperatures have a shift. */
export type PairTable = Readonly<Record<string, readonly [factor: number, shift?: number]>>;

/** What is measured, as its author wrote it and as it can be written besides. */
export interface Quantity {
  /** The author's unit; numbers of the base are in it. */
  readonly own: string;
  /** The same in the other system; nothing where both use one. */
  readonly other?: string;
  /** The system that the author's unit belongs to. */
  readonly system: System;
  readonly factor: number;
  readonly shift: number;
}

export function quantityOf(table: PairTable, own: string, other: string | undefined): Quantity {
  const asUs = table[`${own}|${other}`];
  const [factor, shift = 0] = asUs ?? table[`${other}|${own}`] ?? [1];
  return { own, ...(other !== undefined && { other }), system: asUs ? "us" : "metric", factor, shift };
}

/** Twelve digits: what is lost behind them is rounding, not reading. */
function exact(amount: number): number {
  return Number(amount.toPrecision(12));
}

/** A number in `unit`, which is one of the quantity's two, in the author's unit. */
export function toOwn(amount: number, unit: string, { own, system, factor, shift }: Quantity): number {
  if (unit === own) return amount;
  return exact(system === "us" ? amount / factor + shift : (amount - shift) * factor);
}

/** A number in the author's unit in `unit`, which is one of the quantity's two. */
export function fromOwn(amount: number, unit: string, { own, system, factor, shift }: Quantity): number {
  if (unit === own) return amount;
  return exact(system === "us" ? (amount - shift) * factor : amount / factor + shift);
}

/** The unit in which a reader of this system reads. */
export function unitFor(system: System, quantity: Quantity): string {
  return quantity.system === system ? quantity.own : (quantity.other ?? quantity.own);
}

/** The digit to which a converted number is shown: three significant ones, whole from 100 on, tenths of a degree. */
function stepOf(amount: number, { shift }: Quantity): number {
  const exponent = amount === 0 ? 0 : Math.floor(Math.log10(Math.abs(amount))) - 2;
  return Math.min(exponent, shift === 0 ? 0 : -1);
}

/**
 * A converted number as it is shown.
 *
 * @param how How it is rounded: what can be read at least is rounded up and at most down, so that nothing is refused
 *   that was shown as possible.
 */
export function rounded(amount: number, quantity: Quantity, how: "near" | "up" | "down" = "near"): number {
  const exponent = stepOf(amount, quantity);
  const steps = Number(`${amount}e${-exponent}`);
  const near = Math.round(steps);
  const isSame = Math.abs(near - steps) < 1e-6;
  const whole = how === "near" || isSame ? near : how === "up" ? Math.ceil(steps) : Math.floor(steps);
  return Number(`${whole}e${exponent}`);
}

declare const __DECIMAL_MARK__: string | undefined;
/** The decimal mark of the page's language: put in when the site is made; a point where nothing is. */
const MARK: string = typeof __DECIMAL_MARK__ === "undefined" ? "." : __DECIMAL_MARK__;

/** Words with numbers in them, as code and authors write these, with the mark of print. */
export function marked(text: string): string {
  return MARK === "." ? text : text.replace(/(\d)[.](?=\d)/g, `$1${MARK}`);
}

/** A number as code writes it, with the sign and the mark of print. */
export function asPrinted(number: string): string {
  return marked(number.replace("-", "−"));
}

/** A number as it is printed here, read again. */
export function fromPrint(text: string): number {
  return Number(text.replace("−", "-").replace(MARK, "."));
}

/** The mark that parts thousands elsewhere than decimals here: a point where a comma is the mark. */
export const OTHER_MARK = MARK === "." ? "," : ".";

/** With the sign of print, and nothing like `1e-7`. */
export function digits(amount: number): string {
  const text = String(amount);
  return asPrinted(text.includes("e") ? amount.toFixed(20).replace(/\.?0+$/, "") : text);
}

export function withUnit(amount: string, unit: string): string {
  return unit === "1" ? amount : `${amount}\u00a0${unit}`;
}

/** An author's number as it was written; what was computed for the equipment, to four digits. */
export function authored(amount: number): string {
  return digits(String(amount).replace(/\D/g, "").length > 6 ? Number(amount.toPrecision(4)) : amount);
}

/** An author's number in both units: `5 gpm · 18.9 L/min`. */
export function inBoth(amount: number, quantity: Quantity): string {
  const own = withUnit(authored(amount), quantity.own);
  if (quantity.other === undefined) return own;
  return `${own} · ${withUnit(digits(rounded(fromOwn(amount, quantity.other, quantity), quantity)), quantity.other)}`;
}

/** Ends of a range, written with their units and empty where there is none; nothing for a range without ends. */
export function limitsOf(from: string, below: string): string {
  if (from === "") return below === "" ? "" : words.below(below);
  return below === "" ? words.from(from) : words.between(from, below);
}

/** Bounds in one unit: `0 to 20 gpm`. */
export function boundsIn([low, high]: readonly [number, number], unit: string, quantity: Quantity): string {
  if (unit === quantity.own) return withUnit(words.range(digits(low), digits(high)), unit);
  const least = rounded(fromOwn(low, unit, quantity), quantity, "up");
  const most = rounded(fromOwn(high, unit, quantity), quantity, "down");
  return withUnit(words.range(digits(least), digits(most)), unit);
}

/** Bounds in both units. */
export function boundsInBoth(bounds: readonly [number, number], quantity: Quantity): string {
  const own = boundsIn(bounds, quantity.own, quantity);
  return quantity.other === undefined ? own : `${own} · ${boundsIn(bounds, quantity.other, quantity)}`;
}
