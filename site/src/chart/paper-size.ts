/** How a chart goes on paper: whole on one sheet, lying or standing, or in tiles where its text would be too small. */

/** What is left of A4 and Letter alike inside the margins, below a title and above the legend, in millimetres. */
const LYING = { width: 246, height: 140 } as const;
const STANDING = { width: 178, height: 200 } as const;
/** Millimetres for one unit of the drawing: below the first, text of 14 units is under 5.5 points; tiles have 7.5. */
const SMALLEST = 5.5 / (14 * 2.835);
const IN_TILES = 7.5 / (14 * 2.835);
/** What neighbouring tiles both show, in units of the drawing. */
const OVERLAP = 80;

export interface Sheets {
  readonly way: "lying" | "standing" | "tiles";
  readonly across: number;
  /** Parts of the drawing, row by row; none where it fits on one sheet. */
  readonly tiles: readonly {
    readonly x: number;
    readonly y: number;
    readonly width: number;
    readonly height: number;
  }[];
}

/** @param width, height Of the drawing, in its units. */
export function sheetsFor(width: number, height: number): Sheets {
  const scale = (sheet: { readonly width: number; readonly height: number }) =>
    Math.min(sheet.width / width, sheet.height / height);
  const [lying, standing] = [scale(LYING), scale(STANDING)];
  if (Math.max(lying, standing) >= SMALLEST)
    return { way: lying >= standing ? "lying" : "standing", across: 1, tiles: [] };
  const [wide, high] = [STANDING.width / IN_TILES, STANDING.height / IN_TILES].map(Math.floor) as [number, number];
  const starts = (whole: number, part: number) => {
    const count = Math.max(1, Math.ceil((whole - OVERLAP) / (part - OVERLAP)));
    return Array.from({ length: count }, (_, at) => at * (part - OVERLAP));
  };
  const columns = starts(width, wide);
  const tiles = starts(height, high).flatMap((y) => columns.map((x) => ({ x, y, width: wide, height: high })));
  return { way: "tiles", across: columns.length, tiles };
}
