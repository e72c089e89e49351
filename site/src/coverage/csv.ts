import { words } from "#words/board";

/** Comma-separated values as RFC 4180 has them; the mark at the beginning tells spreadsheets that it is UTF-8. */
export function csvOf(rows: readonly (readonly (string | number)[])[]): string {
  return `\ufeff${rows.map((row) => `${row.map(quoted).join(",")}\r\n`).join("")}`;
}

function quoted(value: string | number): string {
  const text = String(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

export const BOARD_HEAD = Object.values(words.boardHead);
export const CAUSES_HEAD = Object.values(words.causesHead);

/** The signs by which a row of the board says how each family stands, in the order of the catalog. */
export const SIGNS = { covered: "+", partly: "~", not: "-", "not-applicable": "." } as const;
export type Standing = keyof typeof SIGNS;
