/** The line at fault with a mark under the text that is meant. */
import type { Place } from "../model/source.ts";
import type { Sources } from "./lines.ts";

export interface Excerpt {
  readonly line: number;
  readonly column: number;
  /** The line, tabs as four blanks, shortened around the mark when long. Empty when there is nothing to show. */
  readonly text: string;
  /** Where the mark begins and how long it is, in terminal cells of `text`; at least one long. */
  readonly markAt: number;
  readonly markLength: number;
}

const TAB = "    ";
const WIDTH = 100;

/** A place over several lines is shown by its first one; a byte order mark takes no room. */
export function excerptOf(place: Place, sources: Sources): Excerpt {
  const index = sources.lines(place.file);
  const { line, column } = index.position(place.start);
  const raw = index.line(line);
  const end = Math.max(column, Math.min(raw.length + 1, column + (place.end - place.start)));
  const before = clean(raw.slice(0, column - 1));
  const marked = clean(raw.slice(column - 1, end - 1).trimEnd());
  const after = clean(raw.slice(column - 1 + raw.slice(column - 1, end - 1).trimEnd().length));
  const keepBefore = before.length > 60 ? `...${tail(before, 57)}` : before;
  const room = Math.max(20, WIDTH - cells(keepBefore));
  const keepMarked = marked.length > room ? `${head(marked, room - 3)}...` : marked;
  const left = WIDTH - cells(keepBefore + keepMarked);
  const keepAfter = cells(after) > left ? `${head(after, Math.max(0, left - 3))}...` : after;
  return {
    line,
    column,
    text: keepBefore + keepMarked + keepAfter,
    markAt: cells(keepBefore),
    markLength: Math.max(1, cells(keepMarked)),
  };
}

function clean(text: string): string {
  // Control characters would move a terminal's cursor; a byte order mark shows as nothing.
  return text
    .replaceAll("\t", TAB)
    .replace(/\ufeff/g, "")
    .replace(/\p{Cc}/gu, "�");
}

const segmenter = new Intl.Segmenter("en", { granularity: "grapheme" });
function graphemes(text: string): string[] {
  return [...segmenter.segment(text)].map(({ segment }) => segment);
}
function head(text: string, length: number): string {
  return graphemes(text).slice(0, length).join("");
}
function tail(text: string, length: number): string {
  return graphemes(text).slice(-length).join("");
}

/** East Asian wide forms and emoji take two cells in a terminal. */
const wide =
  /[\u1100-\u115f\u2e80-\ua4cf\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff00-\uff60\uffe0-\uffe6]|\p{Extended_Pictographic}/u;
function cells(text: string): number {
  let sum = 0;
  for (const grapheme of graphemes(text)) sum += wide.test(grapheme) ? 2 : 1;
  return sum;
}
