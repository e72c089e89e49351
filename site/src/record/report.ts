/** The service report: a record as a customer, an office and the next technician read it, on a screen and on paper. */

import { words } from "#words/record";
import { type Child, el } from "../measure/dom.ts";
import { authored, limitsOf, withUnit } from "../measure/units.ts";
import { led } from "../walk/record.ts";
import type { Entry, JobRecord } from "./format.ts";

/** @param photos Addresses of the record's photos, in the same order. */
export function reportOf(record: JobRecord, photos: readonly string[]): HTMLElement[] {
  const { end, entries } = record;
  const of = (kind: Entry["kind"]) => entries.filter((entry) => entry.kind === kind);
  const answers = entries.filter(
    (entry) => (entry.kind === "look" || entry.kind === "licence") && entry.proves === undefined,
  );
  const proofs = entries.filter((entry) => entry.proves !== undefined);
  const unsure = of("measure").filter(({ value }) => value === undefined);
  return [
    el("h2", { id: "record_h", tabindex: "-1" }, words.title),
    facts(record),
    ...part(
      "said",
      words.said,
      record.said === undefined ? undefined : el("blockquote", {}, record.said),
      record.symptom === undefined ? undefined : el("p", {}, words.symptom(record.symptom)),
    ),
    ...part(
      "found",
      words.found,
      record.found.length === 0
        ? el("p", {}, words.foundNothing)
        : rows(
            record.found.map(({ title, proof }) => [el("b", {}, title), ` \u2013 ${words.proofs[proof]}`]),
            "ul",
          ),
    ),
    ...part("end", words.result, el("p", { "data-at": end?.step ?? "" }, end?.title ?? words.noEnd)),
    ...listPart("left", words.left, end?.left ?? [], ({ id, title, why }) =>
      el("li", { "data-left": id }, el("b", {}, title), ` \u2013 ${why}`),
    ),
    ...listPart("still", words.stillTrue, end?.still ?? [], ({ id, title }) => el("li", { "data-state": id }, title)),
    ...(end?.call === undefined ? [] : part("call", words.call, el("p", {}, end.call))),
    ...(of("measure").length === unsure.length
      ? []
      : part("measured", words.measured, measuredTable(of("measure").filter(({ value }) => value !== undefined)))),
    ...entryPart("answers", words.answers, [...answers, ...unsure]),
    ...entryPart("done", words.work, of("do")),
    ...listPart("fitted", words.fitted, record.fitted, ({ id, title }) => el("li", { "data-part": id }, title)),
    ...entryPart("proven", words.proven, proofs),
    ...notesPart(record, photos),
    el("p", { class: "signed" }, `${words.signed}: ${record.who ?? ""}`),
  ];
}

function facts({ procedure, equipment, address, who, began, entries, minutes }: JobRecord): HTMLElement {
  const pairs: [string, string | undefined][] = [
    [words.equipment, equipment.title],
    [words.address, address],
    [words.who, who],
    [words.procedure, procedure.title],
    [words.when, words.from(moment(began), moment(entries.at(-1)?.when ?? began))],
    [words.took, words.minutes(minutes.used, minutes.planned)],
  ];
  return el(
    "dl",
    { class: "record-facts" },
    ...pairs.flatMap(([name, text]) =>
      text === undefined ? [] : [el("div", {}, el("dt", {}, name), el("dd", {}, text))],
    ),
  );
}

/** In the language of the page and the zone of the device. */
export function moment(iso: string): string {
  return new Date(iso).toLocaleString(document.documentElement.lang, { dateStyle: "medium", timeStyle: "short" });
}

function part(name: string, title: string, ...content: Child[]): HTMLElement[] {
  return [el("section", { [`data-${name}`]: "" }, el("h3", {}, title), ...content)];
}

function rows(items: readonly Child[][], tag: "ul" | "ol"): HTMLElement {
  return el(tag, { class: "entries" }, ...items.map((item) => el("li", {}, ...item)));
}

function listPart<T>(name: string, title: string, items: readonly T[], row: (item: T) => HTMLElement): HTMLElement[] {
  return items.length === 0 ? [] : part(name, title, el("ul", {}, ...items.map(row)));
}

function entryPart(name: string, title: string, entries: readonly Entry[]): HTMLElement[] {
  if (entries.length === 0) return [];
  const items = entries.map(({ asked, said }) => (said === undefined ? [asked] : [led(asked), el("b", {}, said)]));
  return part(name, title, rows(items, "ol"));
}

function measuredTable(entries: readonly Entry[]): HTMLElement {
  const head = Object.values(words.columns).map((name) => el("th", { scope: "col" }, name));
  const lines = entries.flatMap((entry) => {
    const { readings = [], value, band } = entry;
    const only = readings.length === 1 && readings[0]?.asked === value?.name ? readings[0] : undefined;
    const shown = readings.map(({ asked, typed, in: unit }) => [asked, withUnit(typed, unit)] as const);
    if (only === undefined && value) shown.push([value.name, value.shown]);
    return shown.map(([name, text], place) => {
      const isLast = place === shown.length - 1;
      return el(
        "tr",
        {},
        el("th", { scope: "row" }, name),
        el("td", { class: "amount" }, text),
        el("td", {}, isLast && band && value ? words.band(band.say, limits(band, value.unit)) : ""),
      );
    });
  });
  return el("table", { class: "measured" }, el("thead", {}, el("tr", {}, ...head)), el("tbody", {}, ...lines));
}

function limits({ from, below }: NonNullable<Entry["band"]>, unit: string): string {
  const text = (amount: number | undefined) => (amount === undefined ? "" : withUnit(authored(amount), unit));
  return limitsOf(text(from), text(below));
}

function notesPart({ notes, photos }: JobRecord, addresses: readonly string[]): HTMLElement[] {
  const steps = [...new Set([...notes, ...photos].map(({ step }) => step))];
  if (steps.length === 0) return [];
  const items = steps.map((step) => {
    const own = notes.filter((note) => note.step === step);
    const taken = photos.flatMap((photo, place) =>
      photo.step === step ? [[photo, addresses[place] ?? ""] as const] : [],
    );
    return el(
      "li",
      { "data-note-of": step },
      el("b", {}, own[0]?.asked ?? taken[0]?.[0].asked ?? ""),
      ...own.map(({ text }) => el("p", { class: "note-text" }, text)),
      ...taken.map(([{ asked, photo }, src]) => el("img", { src, alt: words.photo(asked), "data-photo": photo })),
    );
  });
  return part("notes", words.notes, el("ul", { class: "notes" }, ...items));
}
