/**
 * Safety messages in the form of ANSI Z535.6: a signal-word panel, then the hazard, what it does and how to avoid it.
 * `notice` is for damage to things: it has no alert symbol.
 */
import { words } from "#words/signs";
import type { CompiledBase, CompiledNote } from "../../../compiler/model/compiled.ts";
import { alertHtml, signHtml } from "./signs.ts";

/** Worst first, as Z535.6 wants several messages at one place ordered. */
const ORDER = ["danger", "warning", "caution", "notice"];

export function cautionsHtml(base: CompiledBase, notes: readonly CompiledNote[]): string {
  if (notes.length === 0) return "";
  const rank = (note: CompiledNote) => ORDER.indexOf(base.hazards[note.hazard]?.signal ?? "notice");
  return [...notes]
    .sort((one, other) => rank(one) - rank(other))
    .map((note) => cautionHtml(base, note))
    .join("");
}

function cautionHtml(base: CompiledBase, note: CompiledNote): string {
  const hazard = base.hazards[note.hazard];
  if (hazard === undefined) return "";
  const alert = hazard.signal === "notice" ? "" : alertHtml;
  return (
    `<div class="safety ${hazard.signal}" data-hazard="${note.hazard}">` +
    `<p class="signal">${alert}<b>${words.signals[hazard.signal].toUpperCase()}</b></p>` +
    `<div class="message">${signHtml(hazard.sign)}<div><p class="hazard">${hazard.title}</p>` +
    `${hazard.consequence}<div class="avoid">${note.note}</div></div></div></div>`
  );
}
