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
/** More of a line than this on either side, in code units, is not even looked at: a file may be one endless line. */
const NEAR = 400;

/** A place over several lines is shown by its first one; a byte order mark takes no room. */
export function excerptOf(place: Place, sources: Sources): Excerpt {
  const index = sources.lines(place.file);
  const { line, column } = index.position(place.start);
  const raw = index.line(line);
  const end = Math.max(column, Math.min(raw.length + 1, column + (place.end - place.start)));
  const markedRaw = raw.slice(column - 1, end - 1).trimEnd();
  const before = tail(printable(raw.slice(0, column - 1).slice(-NEAR)), 60, column - 1 > NEAR);
  const after = printable(raw.slice(column - 1 + markedRaw.length).slice(0, NEAR));
  const room = Math.max(20, WIDTH - cells(before) - (after === "" ? 0 : 3));
  const marked = head(printable(markedRaw.slice(0, NEAR)), room, markedRaw.length > NEAR);
  // A mark that had to be cut says by itself that the line goes on.
  const rest = marked.isCut ? "" : head(after, WIDTH - cells(before + marked.text), after.length === NEAR).text;
  return {
    line,
    column,
    text: before + marked.text + rest,
    markAt: cells(before),
    markLength: Math.max(1, cells(marked.text)),
  };
}

/** Without what would move a terminal's cursor or change its colours; a byte order mark shows as nothing. */
export function printable(text: string): string {
  return text
    .replaceAll("\t", TAB)
    .replace(/\ufeff/g, "")
    .replace(/\p{Cc}/gu, "�");
}

const segmenter = new Intl.Segmenter("en", { granularity: "grapheme" });
function graphemes(text: string): string[] {
  return [...segmenter.segment(text)].map(({ segment }) => segment);
}

/** The beginning of a text, in at most so many cells; three of them for dots if something was left out. */
function head(text: string, width: number, isLonger: boolean): { readonly text: string; readonly isCut: boolean } {
  if (!isLonger && cells(text) <= width) return { text, isCut: false };
  let kept = "";
  for (const grapheme of graphemes(text)) {
    if (cells(kept + grapheme) > width - 3) break;
    kept += grapheme;
  }
  return { text: `${kept}...`, isCut: true };
}
/** The same for the end of a text. */
function tail(text: string, width: number, isLonger: boolean): string {
  if (!isLonger && cells(text) <= width) return text;
  let kept = "";
  for (const grapheme of graphemes(text).reverse()) {
    if (cells(grapheme + kept) > width - 3) break;
    kept = grapheme + kept;
  }
  return `...${kept}`;
}

/** East Asian wide forms and emoji take two cells in a terminal. */
const wide =
  /[\u1100-\u115f\u2e80-\ua4cf\uac00-\ud7a3\uf900-\ufaff\ufe30-\ufe6f\uff00-\uff60\uffe0-\uffe6]|\p{Extended_Pictographic}/u;
function cells(text: string): number {
  let sum = 0;
  for (const grapheme of graphemes(text)) sum += wide.test(grapheme) ? 2 : 1;
  return sum;
}
