/** Readings and formulas as HTML: to read and to write into on paper, and for the scripts to take over. */
import { words } from "#words/step";
import type { CompiledReading, CompiledValue } from "../../../compiler/model/compiled.ts";
import { boundsInBoth, marked, type Quantity } from "../measure/units.ts";
import { escapeText } from "./html.ts";
import { quantityFor } from "./units.ts";

/** What the scripts have to know of a unit. */
export function unitAttributes({ own, other }: Quantity): string {
  return `data-unit="${escapeText(own)}"${other === undefined ? "" : ` data-other="${escapeText(other)}"`}`;
}

function unitText(unit: string): string {
  return unit === "1" ? "" : escapeText(unit);
}

/** `, in gpm or L/min`; nothing behind a plain number. */
export function unitsAfter({ own, other }: Quantity): string {
  if (own === "1") return "";
  return other === undefined ? words.inUnit(unitText(own)) : words.inUnits(unitText(own), unitText(other));
}

type Asked = CompiledReading & { readonly typical?: readonly [number, number] };

export function readingsHtml(readings: readonly Asked[], caption: string = words.readings): string {
  const rows = readings.map((one) => {
    const quantity = quantityFor(one.unit);
    const usual = one.typical ? `<br>${words.usual(escapeText(boundsInBoth(one.typical, quantity)))}` : "";
    return `<tr data-reading="${one.id}" ${unitAttributes(quantity)}><th scope="row">${one.ask}</th><td class="blank"><span aria-hidden="true"></span> ${unitText(one.unit)}</td><td>${escapeText(boundsInBoth(one.between, quantity))}${usual}</td></tr>`;
  });
  return `<table class="readings"><caption>${caption}</caption><thead><tr><th scope="col">${words.columns.ask}</th><th scope="col">${words.columns.reading}</th><th scope="col">${words.columns.possible}</th></tr></thead><tbody>${rows.join("")}</tbody></table>`;
}

/** What stands for a name in a formula, and for what was read at an earlier step its unit and its name in the walk. */
interface InWords {
  readonly said: string;
  readonly unit?: string;
  readonly key?: string;
}

/** A formula whose names the scripts can put readings in place of. */
export function writtenHtml(written: CompiledValue["written"], named: (input: string) => InWords): string {
  const parts = written.map((part) => {
    if (typeof part === "string") return escapeText(marked(part));
    const { said, unit, key } = named(part.input);
    const more = `${unit === undefined ? "" : ` data-unit="${escapeText(unit)}"`}${key === undefined ? "" : ` data-key="${key}"`}`;
    return `<i data-in="${escapeText(part.input)}"${more}>${said}</i>`;
  });
  return `<span data-written>${parts.join("")}</span>`;
}
