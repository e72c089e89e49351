/** The proof page of a tree: what the compiler established about the order of work, as tables that somebody can sign. */
import { words } from "#words/proof";
import { words as signWords } from "#words/signs";
import type { CompiledBase, CompiledProof, CompiledTree, ProofSource } from "../../../compiler/model/compiled.ts";
import { anchorOf } from "../walk/plan.ts";
import { escapeText, list, unlinked } from "./html.ts";
import { keyOf, type Procedure, placeOf } from "./plan.ts";
import { type Sheet, sayOf } from "./step.ts";
import { sheetOf } from "./tree.ts";

export function proofHtml(base: CompiledBase, tree: CompiledTree, root: string): string {
  const sheet = sheetOf(base, tree, root);
  const parts = sheet.procedures.map((procedure) => {
    const { routine } = procedure;
    const id = routine === undefined ? "own" : `routine-${routine}`;
    const name =
      routine === undefined
        ? words.own
        : words.routine(
            sheet.letters.get(routine) ?? "",
            unlinked(base.routines[routine]?.title ?? escapeText(routine)),
          );
    const proofs = routine === undefined ? tree.proofs : (base.routines[routine]?.proofs ?? []);
    return `<section aria-labelledby="${id}_h"><h2 id="${id}_h">${name}</h2>${tablesHtml(sheet, procedure, proofs)}</section>`;
  });
  return `<div class="proof">${parts.join("")}${notProvenHtml()}${signHtml()}</div>`;
}

function tablesHtml(sheet: Sheet, procedure: Procedure, proofs: readonly CompiledProof[]): string {
  const { base, tree } = sheet;
  const step = (id: string) => stepLink(sheet, procedure, id);
  const forRoutine = (id: string | undefined) =>
    id === undefined ? "" : ` <small>${words.forRoutine(sheet.letters.get(id) ?? "")}</small>`;
  const rowsOf = <T>(pick: (proof: CompiledProof) => readonly T[], at: (one: T) => string, row: (one: T) => string[]) =>
    together(proofs, tree.serves, pick)
      .sort((a, b) => placeIn(procedure, at(a.one)) - placeIn(procedure, at(b.one)))
      .map(({ one, families }) => {
        const [first = "", ...others] = row(one);
        return [first + onlyFor(sheet, families), ...others];
      });
  const needs = rowsOf(
    (proof) => proof.needs,
    (need) => need.step,
    ({ step: id, state, routine, by }) => [
      step(id) + forRoutine(routine),
      titleOf(base.states, state),
      sources(by, step, words.needs.beginning),
    ],
  );
  const cautions = rowsOf(
    (proof) => proof.cautions,
    (caution) => caution.step,
    ({ step: id, hazard, because, at }) => [
      step(id),
      `${titleOf(base.hazards, hazard)} (${signalOf(base, hazard)}) <small>${reason(base, because)}</small>`,
      sources(at, step, words.cautions.beginning),
    ],
  );
  const licences = rowsOf(
    (proof) => proof.licences,
    (one) => one.step,
    ({ step: id, licence, routine, away }) => [
      step(id) + forRoutine(routine),
      titleOf(base.licences, licence),
      step(away),
    ],
  );
  const ends = rowsOf(
    (proof) => proof.ends,
    ({ end, of }) => of ?? end,
    ({ end, of, routine, left }) => [
      endLink(sheet, procedure, end, routine) +
        (of === undefined ? "" : ` <small>${words.ends.from(step(of))}</small>`),
      left.length === 0
        ? words.ends.nothing
        : left.map(({ state, reason: why }) => `<b>${titleOf(base.states, state)}</b>${why ?? ""}`).join(""),
    ],
  );
  const tables =
    table(words.needs, needs) +
    table(words.cautions, cautions) +
    table(words.licences, licences) +
    table(words.ends, ends);
  return tables === "" ? `<p>${words.nothing}</p>` : tables;
}

/** What was established, once each, with the families of this tree for which it was. */
function together<T>(
  proofs: readonly CompiledProof[],
  serves: readonly string[],
  pick: (proof: CompiledProof) => readonly T[],
): { one: T; families: readonly string[] }[] {
  const rows = new Map<string, { one: T; families: readonly string[] }>();
  for (const proof of proofs) {
    const served = proof.families.filter((family) => serves.includes(family));
    if (served.length === 0) continue;
    for (const one of pick(proof)) {
      const name = JSON.stringify(one);
      rows.set(name, { one, families: [...(rows.get(name)?.families ?? []), ...served] });
    }
  }
  return [...rows.values()];
}

function placeIn(procedure: Procedure, id: string): number {
  return procedure.steps.findIndex((step) => step.id === id);
}

function onlyFor({ base, tree }: Sheet, families: readonly string[]): string {
  if (families.length === tree.serves.length) return "";
  const titles = families.map((id) => unlinked(base.families[id]?.title ?? escapeText(id)));
  return ` <small>${words.onlyFor(list(titles))}</small>`;
}

/** Rows that begin alike share their first cell. */
function table(
  { title, columns }: { readonly title: string; readonly columns: Readonly<Record<string, string>> },
  rows: readonly (readonly string[])[],
): string {
  if (rows.length === 0) return "";
  const heads = Object.values(columns);
  const head = heads.map((name) => `<th scope="col">${name}</th>`).join("");
  const body = rows.map(([first = "", ...others], index) => {
    const cells = others.map((cell) => `<td>${cell}</td>`).join("");
    if (rows[index - 1]?.[0] === first) return `<tr>${cells}</tr>`;
    const next = rows.findIndex((row, at) => at > index && row[0] !== first);
    const span = (next < 0 ? rows.length : next) - index;
    return `<tr><th scope="row"${span > 1 ? ` rowspan="${span}"` : ""}>${first}</th>${cells}</tr>`;
  });
  return `<table class="of-${heads.length}"><caption>${title}</caption><thead><tr>${head}</tr></thead><tbody>${body.join("")}</tbody></table>`;
}

function signalOf(base: CompiledBase, hazard: string): string {
  const signal = base.hazards[hazard]?.signal;
  return signal === undefined ? "" : signWords.signals[signal];
}

function titleOf(catalog: Readonly<Record<string, { readonly title: string }>>, id: string): string {
  return unlinked(catalog[id]?.title ?? escapeText(id));
}

function link(sheet: Sheet, key: string): string {
  const mark = sheet.marks.get(key);
  return `<a href="${sheet.root}trees/${sheet.tree.id}.html#${anchorOf(key)}"><b>${mark?.number ?? ""}</b> ${unlinked(mark?.title ?? escapeText(key))}</a>`;
}

/** A step of the procedure, or one of its outcomes. */
function stepLink(sheet: Sheet, procedure: Procedure, id: string): string {
  const place = placeOf(procedure, id);
  if (!place.startsWith("=")) return link(sheet, place);
  const outcome = procedure.routine === undefined ? undefined : sheet.base.routines[procedure.routine]?.outcomes[id];
  return outcome === undefined ? words.done : words.routineEnds(unlinked(sayOf(id, outcome)));
}

function endLink(sheet: Sheet, procedure: Procedure, end: string, routine: string | undefined): string {
  const inside = sheet.procedures.find((one) => one.routine === routine);
  return routine === undefined || inside === undefined
    ? stepLink(sheet, procedure, end)
    : link(sheet, keyOf(inside, end));
}

function sources(all: readonly ProofSource[], step: (id: string) => string, beginning: string): string {
  const rows = all.map((one) =>
    one === "here" ? words.cautions.here : one === "beginning" ? beginning : step(one.step),
  );
  return rows.map((row) => `<div>${row}</div>`).join("");
}

function reason(base: CompiledBase, { kind, what }: CompiledProof["cautions"][number]["because"]): string {
  switch (kind) {
    case "declared":
      return words.because.declared;
    case "state":
      return words.because.state(titleOf(base.states, what));
    case "tool":
      return words.because.tool(titleOf(base.tools, what));
    case "part":
      return words.because.part(titleOf(base.parts, what));
    case "reading":
      return words.because.reading(escapeText(what));
    case "word":
      return words.because.word(escapeText(what));
    default:
      return kind satisfies never;
  }
}

function notProvenHtml(): string {
  const { title, ...lines } = words.notProven;
  return `<section aria-labelledby="not_h"><h2 id="not_h">${title}</h2><ul>${Object.values(lines)
    .map((line) => `<li>${line}</li>`)
    .join("")}</ul></section>`;
}

/** Lines to fill in on paper. */
function signHtml(): string {
  const row = "<tr><td></td><td></td><td></td></tr>";
  return (
    `<section class="sign-off" aria-labelledby="sign_h"><h2 id="sign_h">${words.sign.title}</h2>` +
    `<p>${words.sign.says}</p>` +
    `<table><thead><tr>${Object.values(words.sign.columns)
      .map((name) => `<th scope="col">${name}</th>`)
      .join("")}</tr></thead><tbody>${row}${row}</tbody></table></section>`
  );
}
