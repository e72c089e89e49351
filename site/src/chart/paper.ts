/**
 * The whole tree for places where no phone may go: lines to fill in, a code that leads back, the chart on a page of its
 * own, then every step with its cautions before it, a box to tick and blanks for what is read. The style sheet draws
 * the boxes (`styles/paper.css`).
 */
import { words } from "#words/chart";
import type { CompiledBase, CompiledTree } from "../../../compiler/model/compiled.ts";
import { escapeText } from "../render/html.ts";
import { signDefinitions } from "../render/signs.ts";
import type { Sheet } from "../render/step.ts";
import { sheetHtml } from "../render/tree.ts";
import { chartHtml } from "./draw.ts";
import { choiceHtml } from "./paper-for.ts";
import { qrSvg } from "./qr.ts";

export async function paperHtml(sheet: Sheet): Promise<string> {
  const { base, tree } = sheet;
  const chart = `<section class="on-its-own" aria-labelledby="chart_h"><h2 id="chart_h">${words.paper.chart}</h2>${await chartHtml(sheet, "")}</section>`;
  const html = `<div class="paper">${choiceHtml(base, tree)}${fillHtml()}${backHtml(base, tree)}${sheetHtml(sheet, chart)}</div>`;
  return html + signDefinitions(html);
}

function fillHtml(): string {
  const blank = (name: string) => `<p class="fill-in"><b>${name}</b> <span></span></p>`;
  return `<div class="form">${Object.values(words.paper.form).map(blank).join("")}</div>`;
}

/** The way back to the page, where the base says at which address its site is found. */
function backHtml(base: CompiledBase, tree: CompiledTree): string {
  if (base.address === undefined) return "";
  const address = `${base.address}trees/${tree.id}.html`;
  return `<div class="way-back">${qrSvg(address, words.paper.code)}<p>${words.paper.onPhone(escapeText(address))}</p></div>`;
}
