/**
 * The demo base has grown to twenty-eight trees: some tests would take hours if each run tried everything. A run tries an
 * even part, always the same; `HEADWATER_TESTS=all` tries everything.
 */
const isThorough = process.env.HEADWATER_TESTS === "all";

/** At most so many of the list, evenly spread over it, the first one among them. */
export function evenly<T>(list: readonly T[], most: number): readonly T[] {
  if (isThorough || list.length <= most) return list;
  return Array.from({ length: most }, (_, i) => list[Math.floor((i * list.length) / most)] as T);
}
