/** How large each box and label is, and how its text breaks. In units of the drawing: one is a CSS pixel at full size. */
import { words } from "#words/chart";
import type { Box, Line } from "./graph.ts";
import { linesOf, widthOf, wordsOf } from "./text.ts";

export const TEXT = 14;
export const LEADING = 17;
const PAD = 10;
const WIDTH = 190;
/** Of the bars of a predefined process. */
export const BAR = 8;
/** Of the end "done" below a box, and of the line to it. */
export const DONE = { width: 74, height: 26, drop: 18 } as const;

export interface Sized {
  readonly box: Box;
  readonly width: number;
  /** Of the symbol, and of all with the end "done" below it. */
  readonly height: number;
  readonly whole: number;
  /** The first line is the number and the kind. */
  readonly lines: readonly string[];
}

export function sizeOf(box: Box): Sized {
  const head = `${box.number} ${box.word}`;
  const tail = box.mend === undefined ? [] : [words.mend(box.mend)];
  if (box.shape === "decision") return inDecision(box, head);
  const inner = WIDTH - 2 * PAD - (box.shape === "predefined" ? 2 * BAR : 0) - (box.shape === "terminator" ? 16 : 0);
  const lines = [head, ...[box.title, ...tail].flatMap((text) => linesOf(wordsOf(text), TEXT, () => inner))];
  const height = lines.length * LEADING + 2 * PAD;
  return {
    box,
    width: WIDTH,
    height,
    whole: box.done === undefined ? height : height + DONE.drop + DONE.height,
    lines,
  };
}

/** The smallest rhombus, twice as wide as high, whose lines hold the text, each as long as the rhombus is wide there. */
function inDecision(box: Box, head: string): Sized {
  const headWidth = widthOf(head, TEXT, true);
  const title = wordsOf(box.title);
  const titleWidth = title.reduce((sum, { hundredths }) => sum + hundredths, 0) * (TEXT / 100);
  for (let height = 80; ; height += 10) {
    const width = 2 * height;
    for (let count = 2; count * LEADING < height; count++) {
      const rooms = Array.from({ length: count }, (_, line) => {
        const top = Math.abs(line * LEADING - (count * LEADING) / 2);
        const bottom = Math.abs((line + 1) * LEADING - (count * LEADING) / 2);
        return width * (1 - (2 * Math.max(top, bottom)) / height) - PAD;
      });
      const [first = 0, ...others] = rooms;
      if (headWidth > first) continue;
      // Most are too small for the words together, however they are broken into lines.
      if (titleWidth > others.reduce((sum, room) => sum + Math.max(room, 0), 0)) continue;
      const lines = linesOf(title, TEXT, (line) => Math.max(others[line] ?? 0, TEXT));
      // Fewer lines than there was room for would not stand where their room was reckoned.
      if (lines.length !== others.length) continue;
      if (lines.some((line, at) => widthOf(line, TEXT) > (others[at] ?? 0))) continue;
      return { box, width, height, whole: height, lines: [head, ...lines] };
    }
  }
}

export interface Label {
  readonly width: number;
  readonly height: number;
  readonly lines: readonly string[];
}

/** @returns undefined for a line that needs no words. */
export function labelOf(line: Line): Label | undefined {
  const lines = linesOf(wordsOf(line.say), TEXT, () => 130);
  if (lines.length === 0) return undefined;
  // In steps, so that charts of one shape are laid out once.
  const width = Math.ceil(Math.max(...lines.map((one) => widthOf(one, TEXT))) / 10) * 10 + 10;
  return { width, height: lines.length * LEADING + 6, lines };
}
