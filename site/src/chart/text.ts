/**
 * How wide text will be, known before there is a browser: the advance widths of the site's own type, in hundredths of
 * the size, from space to tilde, as a browser measured them (rounded up). A letter that is not here counts as wide as the
 * widest common one, so a box may be too large and is never too small.
 */
const FIRST = 32;
// biome-ignore format: a table
const REGULAR = [28,29,30,66,60,93,70,16,30,30,44,60,21,37,21,38,65,41,54,58,62,58,60,50,61,60,21,21,56,60,56,52,78,63,63,65,67,57,55,71,70,42,52,63,55,83,70,72,60,75,62,60,56,70,59,84,62,59,60,32,38,32,55,40,27,53,57,50,57,54,31,56,55,28,26,50,24,85,55,56,57,58,34,47,32,54,44,65,46,43,46,32,24,32,56];
const OTHER = 85;
/** Bold is at most a ninth wider. */
const BOLD = 1.12;
const SPACE = hundredthsOf(" ");

/** In the units of `size`. */
export function widthOf(text: string, size: number, isBold = false): number {
  return (hundredthsOf(text) * size * (isBold ? BOLD : 1)) / 100;
}

function hundredthsOf(text: string): number {
  let sum = 0;
  for (const letter of text) sum += REGULAR[(letter.codePointAt(0) ?? 0) - FIRST] ?? OTHER;
  return sum;
}

/** A word, and how wide it is in hundredths of the size. */
interface Word {
  readonly word: string;
  readonly hundredths: number;
}

/** The words of a text, measured once for all the ways in which it may be broken into lines. */
export function wordsOf(text: string): Word[] {
  return text
    .split(/\s+/)
    .filter((word) => word !== "")
    .map((word) => ({ word, hundredths: hundredthsOf(word) }));
}

/**
 * Text in lines, as many words to each as fit; a word too long for a line of its own is cut.
 *
 * @param room Width of the line with this number, from 0.
 */
export function linesOf(words: readonly Word[], size: number, room: (line: number) => number): string[] {
  const lines: string[] = [];
  let line = "";
  let wide = 0;
  const fits = (more: number) => ((wide + more) * size) / 100 <= room(lines.length);
  const add = (piece: string, more: number) => {
    line += piece;
    wide += more;
  };
  const end = () => {
    if (line !== "") lines.push(line);
    line = "";
    wide = 0;
  };
  for (const { word, hundredths } of words) {
    if (line !== "" && fits(SPACE + hundredths)) add(` ${word}`, SPACE + hundredths);
    else {
      end();
      if (fits(hundredths)) add(word, hundredths);
      else
        for (const letter of word) {
          if (!fits(hundredthsOf(letter))) end();
          add(letter, hundredthsOf(letter));
        }
    }
  }
  end();
  return lines;
}
