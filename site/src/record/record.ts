/** A visit as the job record of `schema/record.json`, and back. Pure: no page, no storage. */
import { EQUIPMENT } from "../walk/engine.ts";
import type { Measured, Named, Noted, Photo, Visit } from "../walk/store.ts";
import type { Entry, JobRecord } from "./format.ts";
import { minutesPlanned, minutesUsed } from "./time.ts";

/** A photo as the record has it: its JPEG in Base64. */
export type PrintedPhoto = JobRecord["photos"][number];

/** @param photos In the order in which they were taken. */
export function recordOf(visit: Visit, photos: readonly PrintedPhoto[] = []): JobRecord {
  const [equipment, ...history] = visit.history;
  const notes = Object.entries(visit.notes ?? {}).filter(([, { text }]) => text.trim() !== "");
  return {
    format: 1,
    record: visit.id,
    base: visit.base,
    procedure: { id: visit.tree, title: visit.title },
    ...given("symptom", visit.symptom),
    ...given("said", visit.said),
    equipment: { id: equipment?.answer ?? "", title: equipment?.said ?? "" },
    ...given("address", visit.address),
    ...given("who", visit.who),
    began: visit.began,
    changed: visit.changed,
    state: visit.state,
    ...(visit.left !== undefined && { left: visit.left }),
    minutes: { used: minutesUsed(visit.began, history), planned: minutesPlanned(history) },
    found: causesOf(visit),
    fitted: partsOf(history),
    entries: history.map(entryOf),
    notes: notes.map(([step, { asked, text, when }]) => ({ step, asked, text, when })),
    photos: photos.map(({ photo, step, asked, when, jpeg }) => ({ photo, step, asked, when, jpeg })),
    ...(visit.end && { end: { ...visit.end, left: [...visit.end.left], still: [...visit.end.still] } }),
  };
}

/** The visit that a record tells of: `recordOf` of it is the record again. */
export function visitOf(record: JobRecord): Visit {
  const { notes, end } = record;
  const equipment: Noted = {
    step: EQUIPMENT,
    answer: record.equipment.id,
    asked: "",
    said: record.equipment.title,
    kind: "equipment",
    when: record.began,
  };
  return {
    id: record.record,
    base: record.base,
    tree: record.procedure.id,
    title: record.procedure.title,
    began: record.began,
    changed: record.changed,
    state: record.state,
    ...(record.left !== undefined && { left: record.left }),
    ...given("symptom", record.symptom),
    ...given("said", record.said),
    ...given("address", record.address),
    ...given("who", record.who),
    history: [equipment, ...record.entries.map(notedOf)],
    ...(notes.length > 0 && {
      notes: Object.fromEntries(notes.map(({ step, ...note }) => [step, note])),
    }),
    ...(end && { end }),
  };
}

function given<K extends string>(key: K, text: string | undefined): { [P in K]?: string } {
  return text === undefined || text === "" ? {} : ({ [key]: text } as { [P in K]?: string });
}

/** Every cause that was concluded, with what its proof has shown. */
function causesOf({ history, end }: Visit): JobRecord["found"] {
  const found: JobRecord["found"] = history.flatMap(({ cause, asked, step }, place) => {
    if (cause === undefined) return [];
    // The same cause can be mended a second time: each repair has the proof that follows it.
    const again = history.findIndex((entry, later) => later > place && entry.step === step);
    const after = history.slice(place, again < 0 ? undefined : again);
    return [
      { cause, title: asked, proof: after.findLast((entry) => entry.proves?.step === step)?.proves?.shows ?? "none" },
    ];
  });
  return end?.cause === undefined ? found : [...found, { cause: end.cause, title: end.title, proof: "none" }];
}

/** Each part once, in the order of first use. A reader who only looks fits nothing. */
function partsOf(history: readonly Noted[]): Named[] {
  const parts = history.flatMap((entry) => (entry.kind === "do" ? (entry.parts ?? []) : []));
  return [...new Map(parts.map((part) => [part.id, part])).values()];
}

function entryOf(noted: Noted): Entry {
  const { step, answer, asked, said, when, minutes, cause, proves, parts, readings, typed, result, asks, value, band } =
    noted;
  return {
    step,
    kind: noted.kind as Entry["kind"],
    asked,
    ...given("answer", answer),
    ...given("said", said),
    when,
    ...(minutes !== undefined && { minutes }),
    ...given("cause", cause),
    ...(proves && { proves }),
    ...(parts && { parts: [...parts] }),
    ...(readings && {
      readings: Object.entries(readings).map(([id, amount]) => {
        const [ask, unit] = asks?.[id] ?? [id, "1"];
        const [text, unitTyped] = typed?.[id] ?? [String(amount), unit];
        return { id, asked: ask, amount, unit, typed: text, in: unitTyped };
      }),
    }),
    ...(result && {
      value: {
        name: value?.[0] ?? asked,
        amount: result[0],
        unit: result[1],
        shown: value?.[1] ?? `${result[0]} ${result[1]}`,
      },
    }),
    ...(band && { band }),
  };
}

function notedOf({ readings, value, band, said = "", ...rest }: Entry): Noted {
  const measured: Measured & Pick<Noted, "readings"> = {
    ...(readings && {
      readings: Object.fromEntries(readings.map(({ id, amount }) => [id, amount])),
      typed: Object.fromEntries(readings.map(({ id, typed, in: unit }) => [id, [typed, unit] as const])),
      asks: Object.fromEntries(readings.map(({ id, asked, unit }) => [id, [asked, unit] as const])),
    }),
    ...(value && { result: [value.amount, value.unit] as const, value: [value.name, value.shown] as const }),
    ...(band && { band }),
  };
  return { ...rest, ...measured, said };
}

/** Photos of a visit as a record has them. */
export async function printed(photos: readonly Photo[]): Promise<PrintedPhoto[]> {
  return Promise.all(
    photos.map(async ({ photo, step, asked, when, jpeg }) => ({ photo, step, asked, when, jpeg: await base64(jpeg) })),
  );
}

/** The photos of a record, to be kept with its visit. */
export function unprinted(record: JobRecord, visit: string): Photo[] {
  return record.photos.map(({ jpeg, ...photo }) => ({
    ...photo,
    visit,
    jpeg: new Blob([Uint8Array.from(atob(jpeg), (letter) => letter.charCodeAt(0))], { type: "image/jpeg" }),
  }));
}

async function base64(blob: Blob): Promise<string> {
  const bytes = new Uint8Array(await blob.arrayBuffer());
  let text = "";
  for (const byte of bytes) text += String.fromCharCode(byte);
  return btoa(text);
}
