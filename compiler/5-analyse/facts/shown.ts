/**
 * Every text that pages show of a part of the base, as its author wrote it; what has no words of its own is shown by its
 * id. 6-emit asks for the translation of just these; a test holds the two against each other.
 */
import type { Entry, Procedure, Section, Step, World } from "../../model/base.ts";
import { OWN_WORDS } from "../../model/compiled.ts";
import { Kept } from "../../model/kept.ts";
import type { ManifestFile, ParsedFile } from "../../model/parsed.ts";
import type { Place } from "../../model/source.ts";
import { wordsOf } from "../../words/ids.ts";

export interface Shown {
  /** Trimmed. */
  readonly text: string;
  readonly file: ParsedFile;
  /** The step or entry that it belongs to, and its place. */
  readonly about: string;
  readonly near: Place;
  /** A name or a published source: it may stay as it is in every language. */
  readonly isName: boolean;
}

/** Of a tree or routine, without what the entries and routines say that it names. */
export function shownBy(of: Procedure): Shown[] {
  const { file, data } = of;
  const found: Shown[] = [];
  const add = (text: string | undefined, about: string, near: Place): void => {
    if (text !== undefined) found.push({ text: text.trim(), file, about, near, isName: false });
  };
  for (const text of [data.title, data.summary, data.reviewed.by, of.keepOrder]) add(text, of.id, of.at);
  for (const { note } of of.notes) add(note, of.id, of.at);
  for (const { id, at, basis } of of.causes.values()) add(basis, id, at);
  for (const [id, { say, at }] of of.outcomes) add(say ?? wordsUnlessOwn(id), of.id, at);
  for (const step of of.steps.values()) for (const text of textsOfStep(step)) add(text, step.id, step.at);
  return found;
}

function textsOfStep(step: Step): (string | undefined)[] {
  const { kind, how, why, picture, notes, leaves } = step;
  const common = [how, why, picture?.alt, ...notes.map(({ note }) => note), ...leaves.map(({ reason }) => reason)];
  const answers = step.branches.map(({ id, say }) => say ?? wordsUnlessOwn(id));
  switch (kind) {
    case "look":
      return [step.title, ...answers, ...common];
    case "measure": {
      const name = step.value && wordsOf(step.value.name);
      return [step.title, ...step.readings.map(({ ask }) => ask), name, ...answers, ...common];
    }
    case "do":
    case "stop":
      return [step.title, ...common];
    case "sort": {
      const values = step.branches.flatMap(({ value }) => (value !== undefined && isWord(value) ? [value] : []));
      return [wordsOf(step.fact ?? ""), ...values, ...common];
    }
    // The routine has the title, and the words of an outcome for which the step has none.
    case "use":
      return [...step.branches.map(({ say }) => say), ...common];
    case "found":
      return [step.say, ...common];
    default:
      return kind satisfies never;
  }
}

/** An id as words; nothing for one of the format's own, such as `not-fixed`: pages have words for it in their language. */
export function wordsUnlessOwn(id: string): string | undefined {
  return OWN_WORDS.some((own) => own === id) ? undefined : wordsOf(id);
}

/** Whether a fact is a word; else it is an amount, which needs no translation. */
export function isWord(fact: string): boolean {
  return /^\p{L}/u.test(fact);
}

/** Of the manifest, entries and routines. @param parts See `partsOf`; left out: all of the base. */
export function shownOfWorld(world: World, parts?: ReadonlySet<string>): Shown[] {
  const { manifest, catalogs, routines } = world;
  const isPart = (name: string): boolean => parts === undefined || parts.has(name);
  const entries = Object.entries(catalogs) as [Section, ReadonlyMap<string, Entry>][];
  return [
    ...[...routines.values()].filter(({ id }) => isPart(`routines/${id}`)).flatMap(shownBy),
    ...entries.flatMap(([section, all]) =>
      [...all.values()]
        .filter(({ id }) => isPart(`${section}/${id}`))
        .flatMap((one) => shownOfEntry(section, one, world)),
    ),
    ...(manifest ? shownOfManifest(manifest.file, isPart) : []),
  ];
}

/** Keys of an entry that hold a text for the reader, in whatever section. */
const spoken = [
  ...["title", "what", "says", "consequence", "looks", "means", "without", "precaution", "reach", "when"],
  ...["for", "limits"],
];

function shownOfEntry(section: Section, { id, at: near, file, entry }: Entry, world: World): Shown[] {
  const shown = (texts: readonly string[], isName: boolean): Shown[] =>
    texts.map((text) => ({ text: text.trim(), file, about: id, near, isName }));
  // A published source is quoted by its title.
  if (section === "sources") return shown([entry.title], true);
  const texts = entry as unknown as Readonly<Record<string, string | readonly string[]>>;
  return [
    ...shown(
      spoken.flatMap((key) => texts[key] ?? []),
      false,
    ),
    ...(section === "formulas" ? shownOfFormula(id, world).flatMap(([said, isName]) => shown(said, isName)) : []),
  ];
}

/** What a formula says beside the texts that every entry has. */
function shownOfFormula(id: string, { catalogs, formulas }: World): [texts: string[], isName: boolean][] {
  const entry = catalogs.formulas.get(id)?.entry;
  const formula = formulas.get(id);
  if (!entry || !formula) return [];
  const constants = Object.entries(entry.constants ?? {});
  return [
    [[formula.name, ...constants.map(([name]) => name)].map(wordsOf), false],
    [[...formula.inputs.values()].map(({ ask }) => ask), false],
    [constants.flatMap(([, constant]) => (typeof constant === "object" ? (constant.why ?? []) : [])), false],
    [[entry, ...entry.examples].map(({ source }) => source).filter((text) => !catalogs.sources.has(text)), true],
  ];
}

function shownOfManifest(file: ManifestFile, isPart: (name: string) => boolean): Shown[] {
  const { title, owner, notice, areas } = file.data;
  const shown = (text: string, isName = false): Shown => ({
    text: text.trim(),
    file,
    about: file.data.base,
    near: { file: file.path, start: 0, end: 0 },
    isName,
  });
  const names = Object.entries(areas).filter(([id]) => isPart(`areas/${id}`));
  return [shown(title), shown(owner, true), shown(notice), ...names.map(([, name]) => shown(name))];
}

const kept = new Kept<ParsedFile, ReadonlyMap<string, Place>>();

/** Where the text stands in its file for the first time; what is made of an id stands nowhere and has the place near it. */
export function placeOfShown({ text, file, near }: Shown): Place {
  let places = kept.get(file);
  if (!places) {
    places = textPlaces(file);
    kept.set(file, places);
  }
  return places.get(text) ?? near;
}

function textPlaces(file: ParsedFile): ReadonlyMap<string, Place> {
  const places = new Map<string, Place>();
  const seen = new Set<object>();
  const walk = (data: unknown): void => {
    if (typeof data !== "object" || data === null || seen.has(data)) return;
    seen.add(data);
    const isList = Array.isArray(data);
    for (const [key, value] of Object.entries(data)) {
      if (typeof value !== "string") walk(value);
      else if (!places.has(value.trim())) {
        const span = file.positions.value(data, isList ? Number(key) : key);
        if (span) places.set(value.trim(), { file: file.path, ...span });
      }
    }
  };
  walk(file.data);
  return places;
}
