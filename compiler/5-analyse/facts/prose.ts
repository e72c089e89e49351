/**
 * What a file says to its readers: every text with its place, in the order of the file. Ids, formulas and units are no
 * prose; what customers say is quoted as they say it, and where a weight or figure comes from is not read at the unit.
 */
import type { World } from "../../model/base.ts";
import { Kept } from "../../model/kept.ts";
import type { ParsedFile, ShapedFile } from "../../model/parsed.ts";
import type { Place } from "../../model/source.ts";

/** Keys whose value, when it is a string, is a text for the reader at the unit. */
const spoken = new Set([
  ...["title", "summary", "look", "measure", "do", "stop", "how", "why", "say", "note", "ask", "alt", "notice"],
  ...[
    "what",
    "looks",
    "means",
    "without",
    "consequence",
    "precaution",
    "when",
    "for",
    "limits",
    "because",
    "good-run",
    "watch-for",
  ],
]);
/** Keys whose value maps ids to texts, or lists texts. */
const spokenMaps = new Set(["leaves", "areas"]);
/** Below these keys stands what is not ours to word, or not for the reader at the unit. */
const passedOver = new Set(["says", "accept", "prose", "sources", "examples"]);

export interface Prose {
  readonly text: string;
  /** The whole text. */
  readonly at: Place;
  /** The file's text from `at`, to point at less than the whole. */
  readonly source: string;
}

const kept = new Kept<ParsedFile, readonly Prose[]>();

export function proseOf(file: ParsedFile): readonly Prose[] {
  let prose = kept.get(file);
  if (!prose) {
    prose = collect(file);
    kept.set(file, prose);
  }
  return prose;
}

function collect(file: ParsedFile): Prose[] {
  const found: Prose[] = [];
  const seen = new Set<object>();
  const add = (container: object, key: string | number, text: string): void => {
    const span = file.positions.value(container, key);
    if (span) found.push({ text, at: { file: file.path, ...span }, source: file.text.slice(span.start, span.end) });
  };
  const walk = (data: unknown, under: string): void => {
    if (typeof data !== "object" || data === null || seen.has(data)) return;
    seen.add(data);
    const isList = Array.isArray(data);
    for (const [key, value] of Object.entries(data)) {
      if (typeof value === "string") {
        if (isList ? false : spoken.has(key) || spokenMaps.has(under)) add(data, key, value);
      } else if (!passedOver.has(key) || isList) walk(value, isList ? under : key);
    }
  };
  walk(file.data, "");
  return found;
}

/** The files that are not trees or routines: what they say is looked at once for the whole base. */
export function filesOfBase({ manifest, catalogs, cases }: World): readonly ShapedFile[] {
  const found = new Set<ShapedFile>(manifest ? [manifest.file] : []);
  for (const files of cases.values()) for (const file of files) found.add(file);
  for (const section of Object.values(catalogs)) for (const { file } of section.values()) found.add(file);
  return [...found].sort((a, b) => (a.path < b.path ? -1 : 1));
}

/** The words inside a text, over line breaks too, where they stand there once; else the whole text. */
export function placeOf({ at, source }: Prose, words: string): Place {
  const pattern = words.trim().split(/\s+/).map(escapePattern).join("\\s+");
  const found = [...source.matchAll(new RegExp(pattern, "g"))];
  const [first] = found;
  return first === undefined || found.length > 1
    ? at
    : { file: at.file, start: at.start + first.index, end: at.start + first.index + first[0].length };
}

/** A pattern for any of these phrases as whole words, over line breaks too, however they are capitalised. */
export function phrasePattern(phrases: readonly string[]): RegExp {
  const any = phrases.map((phrase) => phrase.trim().split(/\s+/).map(escapePattern).join("\\s+")).join("|");
  return new RegExp(`(?<![\\p{L}\\p{N}-])(?:${any})(?![\\p{L}\\p{N}-])`, "giu");
}

function escapePattern(text: string): string {
  return text.replace(/[.*+?^${}()|[\]\\/]/g, "\\$&");
}
