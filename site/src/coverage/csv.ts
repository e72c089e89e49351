/** Comma-separated values as RFC 4180 has them; the mark at the beginning tells spreadsheets that it is UTF-8. */
export function csvOf(rows: readonly (readonly (string | number)[])[]): string {
  return `\ufeff${rows.map((row) => `${row.map(quoted).join(",")}\r\n`).join("")}`;
}

function quoted(value: string | number): string {
  const text = String(value);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

export const BOARD_HEAD = ["area", "symptom", "equipment", "coverage", "symptom id", "equipment id"] as const;
export const CAUSES_HEAD = [
  "area",
  "symptom",
  "tree",
  "cause",
  "equipment",
  "likelihood",
  "found",
  "mean minutes",
  "worst minutes",
] as const;

/** The signs by which a row of the board says how each family stands, in the order of the catalog. */
export const SIGNS = { covered: "+", partly: "~", not: "-", "not-applicable": "." } as const;
export type Standing = keyof typeof SIGNS;
export const STANDING_WORDS: Readonly<Record<Standing, string>> = {
  covered: "covered",
  partly: "partly",
  not: "not",
  "not-applicable": "does not apply",
};
