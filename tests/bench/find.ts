/** What a search costs in a base of a thousand trees: the demo's own words, repeated, so that every word finds many. */
import type { CompiledBase } from "../../compiler/model/compiled.ts";
import { symptomEntries } from "../../site/src/find/entries.ts";
import { indexOf, readIndex, search } from "../../site/src/find/terms.ts";

const TREES = 1000;
/** Words as they are, beginnings, slips, a part, and a whole sentence. */
const TYPED = [
  "softner eats salt",
  "pump cliks on off",
  "inj",
  "brine valve",
  "presure yo-yo",
  "xylophone",
  "the water smells of rotten eggs when we come back from holiday",
];

interface FindFigures {
  readonly entries: number;
  readonly readMs: number;
  /** The slowest of the searches, each the best of several rounds. */
  readonly searchMs: number;
  /** Of the index as text. */
  readonly bytes: number;
}

export function measureFind(base: CompiledBase): FindFigures {
  const some = symptomEntries(base);
  const entries = Array.from({ length: TREES }, (_, i) => some[i % some.length]).flatMap((one, i) =>
    one === undefined ? [] : [{ ...one, id: `${one.id}-${i}` }],
  );
  const json = JSON.stringify(indexOf(entries));
  const best = (work: () => unknown): number => {
    let least = Number.POSITIVE_INFINITY;
    for (let round = 0; round < 7; round++) {
      const start = performance.now();
      work();
      least = Math.min(least, performance.now() - start);
    }
    return least;
  };
  const index = readIndex(json);
  return {
    entries: entries.length,
    readMs: best(() => readIndex(json)),
    searchMs: Math.max(...TYPED.map((typed) => best(() => search(index, typed, 40)))),
    bytes: Buffer.byteLength(json),
  };
}
