/**
 * Reads a QR code of version 3 with error correction M, after ISO/IEC 18004:2015: 29 by 29 modules, 44 code words of
 * data and 26 of correction in one block (table 9), an alignment pattern round (22, 22) (annex E).
 */
const SIZE = 29;
const DATA = 44;

/** @throws when format or correction don't fit. */
export function readQr(modules: readonly (readonly boolean[])[]): string {
  if (modules.length !== SIZE) throw new Error(`version 3 has ${SIZE} modules a side, this has ${modules.length}`);
  const dark = (row: number, column: number): boolean => modules[row]?.[column] === true;
  // 7.9: the first five of fifteen bits of format are in row 8, columns 0 to 4, under the mask 10101.
  const format = [0, 1, 2, 3, 4].reduce((bits, column) => bits * 2 + Number(dark(8, column)), 0) ^ 0b10101;
  if (format >> 3 !== 0b00) throw new Error("not of correction level M");
  const mask = format & 0b111;
  const words = codeWords(dark, mask);
  for (let root = 0; root < words.length - DATA; root++)
    if (syndrome(words, root) !== 0) throw new Error("a wrong code word");
  const bits = words.slice(0, DATA).flatMap((word) => [7, 6, 5, 4, 3, 2, 1, 0].map((bit) => (word >> bit) & 1));
  const number = (from: number, count: number) => bits.slice(from, from + count).reduce((sum, bit) => sum * 2 + bit, 0);
  // 7.4.5: mode 0100 are bytes; their count has eight bits up to version 9.
  if (number(0, 4) !== 0b0100) throw new Error("not in byte mode");
  const bytes = Array.from({ length: number(4, 8) }, (_, at) => number(12 + at * 8, 8));
  return new TextDecoder().decode(new Uint8Array(bytes));
}

/** 7.10, table 10. */
function isMasked(mask: number, i: number, j: number): boolean {
  const flips = [
    (i + j) % 2,
    i % 2,
    j % 3,
    (i + j) % 3,
    (Math.floor(i / 2) + Math.floor(j / 3)) % 2,
    ((i * j) % 2) + ((i * j) % 3),
    (((i * j) % 2) + ((i * j) % 3)) % 2,
    (((i + j) % 2) + ((i * j) % 3)) % 2,
  ];
  return flips[mask] === 0;
}

/** Finders with their separators and the format beside them, timing, alignment. */
function isFunction(row: number, column: number): boolean {
  const low = (at: number) => at <= 8;
  const high = (at: number) => at >= SIZE - 8;
  return (
    (low(row) && (low(column) || high(column))) ||
    (high(row) && low(column)) ||
    row === 6 ||
    column === 6 ||
    (Math.abs(row - 22) <= 2 && Math.abs(column - 22) <= 2)
  );
}

/** 7.7.3: in columns of two from the right, up and down in turn, the right one first; column 6 is passed over. */
function codeWords(dark: (row: number, column: number) => boolean, mask: number): number[] {
  const bits: number[] = [];
  let isUp = true;
  for (let right = SIZE - 1; right > 0; right -= 2) {
    if (right === 6) right = 5;
    for (let step = 0; step < SIZE; step++) {
      const row = isUp ? SIZE - 1 - step : step;
      for (const column of [right, right - 1])
        if (!isFunction(row, column)) bits.push(Number(dark(row, column) !== isMasked(mask, row, column)));
    }
    isUp = !isUp;
  }
  return Array.from({ length: Math.floor(bits.length / 8) }, (_, at) =>
    bits.slice(at * 8, at * 8 + 8).reduce((sum, bit) => sum * 2 + bit, 0),
  );
}

/** 7.5.2: the code words as a polynomial over GF(256), modulo x^8 + x^4 + x^3 + x^2 + 1, at the root-th power of 2. */
function syndrome(words: readonly number[], root: number): number {
  let power = 1;
  for (let at = 0; at < root; at++) power = times(power, 2);
  return words.reduce((sum, word) => times(sum, power) ^ word, 0);
}

function times(a: number, b: number): number {
  let product = 0;
  for (let bit = 7; bit >= 0; bit--) {
    product = product << 1 >= 256 ? ((product << 1) ^ 0x11d) & 0xff : product << 1;
    if ((b >> bit) & 1) product ^= a;
  }
  return product;
}
