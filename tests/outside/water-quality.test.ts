/**
 * Figures of the trees for water quality against the limits that were published, and the hazards that the trade names for
 * each symptom. Read from the YAML itself, without the compiler.
 */
import { describe, expect, test } from "vitest";
import { demoData, demoTexts } from "./demo.ts";

interface Range {
  readonly from?: string | number;
  readonly below?: string | number;
  readonly then?: string;
}
interface Measure {
  readonly readings: Readonly<Record<string, { readonly unit: string }>>;
  readonly ranges: Readonly<Record<string, Range>>;
}

/** Every measuring step below a value of parsed YAML, with the path to it. */
function* measures(value: unknown, path: string): Generator<readonly [path: string, step: Measure]> {
  if (typeof value !== "object" || value === null) return;
  if ("measure" in value && "ranges" in value && "readings" in value) yield [path, value as unknown as Measure];
  for (const [key, inner] of Object.entries(value)) yield* measures(inner, `${path}/${key}`);
}
const folder = "water-quality/";
const trees = [...demoData].filter(([path]) => path.startsWith(folder));
const all = [...trees, ...[...demoData].filter(([path]) => /^routines\/test-(ph|iron)\.yaml$/.test(path))].flatMap(
  ([path, data]) => [...measures(data, path)],
);
/** Those that compare one reading as it is: the named one, in the unit. */
const comparing = (reading: string, unit: string): (readonly [string, Measure])[] =>
  all.filter(([, { readings }]) => Object.keys(readings).join() === reading && readings[reading]?.unit === unit);

const amount = (end: string | number | undefined, open: number): number =>
  end === undefined ? open : Number.parseFloat(String(end));
/** The id of the range that a reading falls into. Its lower end belongs to a range, its upper one does not. */
const falls = ({ ranges }: Measure, value: number): string | undefined =>
  Object.entries(ranges).find(
    ([, { from, below }]) => value >= amount(from, -Infinity) && value < amount(below, Infinity),
  )?.[0];

describe("limits", () => {
  // 40 CFR 143.3: iron 0.3 mg/L; the limit itself passes
  // (read on <http://www.law.cornell.edu/cfr/text/40/143.3>).
  const iron = comparing("iron", "mg/L");
  test("iron is measured in several places", () => expect(iron.length).toBeGreaterThan(4));
  test.each(iron)("iron at %s: 0.30 mg/L passes, 0.31 mg/L does not", (_path, step) => {
    expect(["low", "clean"]).toContain(falls(step, 0.3));
    expect(["high", "stains"]).toContain(falls(step, 0.31));
  });

  // Same section: pH 6.5 to 8.5. A neutraliser is asked for more than the lower end: 7.0 and above is trade practice.
  const acidity = comparing("acidity", "pH");
  test("pH is measured in several places", () => expect(acidity.length).toBeGreaterThan(3));
  test.each(acidity)("pH at %s: 6.4 is low, 7.0 and 8.5 pass, 8.6 is high", (_path, step) => {
    expect(falls(step, 6.4)).toBe("low");
    expect(falls(step, 7)).toBe("right");
    expect(falls(step, 8.5)).toBe("right");
    expect(falls(step, 8.6)).toBe("high");
  });

  // Same section: manganese 0.05 mg/L, copper 1.0 mg/L. 40 CFR 141.2: action level of copper 1.3 mg/L.
  test.each([
    ["iron-staining", "0.05 mg/L"],
    ["blue-green-stains", "1.0 mg/L"],
    ["blue-green-stains", "1.3 mg/L"],
  ])("%s names %s", (tree, figure) => {
    expect(demoTexts.get(`${folder}${tree}.yaml`)?.replace(/\s+/g, " ")).toContain(figure);
  });
});

// What the trade fears at each symptom: gas in the water, hot taps, current on the pipes, surface water in the well.
describe("cautions", () => {
  const feared: Readonly<Record<string, readonly string[]>> = {
    "iron-staining": ["unsafe-water", "bleach", "scald"],
    "sulphur-smell": ["fuel-gas", "sulphide-gas", "scald", "hydrogen", "unsafe-water"],
    "air-spurting": ["methane", "mains-electricity", "stored-pressure"],
    "blue-green-stains": ["current-on-pipes", "mains-electricity", "unsafe-water", "media-dust"],
    "cloudy-water": ["methane", "unsafe-water", "scald"],
    "tea-colour": ["unsafe-water", "well-head-electrics"],
  };
  test("stand in a table for every tree of the area", () =>
    expect(trees.map(([path]) => path)).toEqual(
      Object.keys(feared)
        .map((tree) => `${folder}${tree}.yaml`)
        .sort(),
    ));

  /** Ids under any `safety:`, as an entry or as a word. */
  function* cautioned(value: unknown): Generator<string> {
    if (typeof value !== "object" || value === null) return;
    for (const [key, inner] of Object.entries(value)) {
      if (key === "safety")
        for (const note of inner as (string | { hazard: string })[])
          yield typeof note === "string" ? note : note.hazard;
      else yield* cautioned(inner);
    }
  }
  test.each(Object.entries(feared))("%s cautions against what is feared there", (tree, hazards) => {
    const given = new Set(cautioned(demoData.get(`${folder}${tree}.yaml`)));
    expect(hazards.filter((hazard) => !given.has(hazard))).toEqual([]);
  });
});
