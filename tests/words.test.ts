/** The catalogues of the interface: the same texts in every language, and each of them in its own. */
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { expect, test } from "vitest";
import { INTERFACE_LANGUAGES } from "../compiler/model/languages.ts";
import { catalogueLanguage, decimalMark, directionOf } from "../site/src/base.ts";
import { catalogues, flat, type Text } from "./catalogues.ts";

const english = await catalogues("en");
const others = INTERFACE_LANGUAGES.filter((language) => language !== "en");

/** Spelt alike in both languages, or nothing but what is put into it. */
const ALIKE = {
  es: [
    "chart box",
    "chart outline.said",
    "record band",
    // Where nothing was planned.
    "record minutes",
    "step minutes",
    "step usual",
    "walk band",
    // Of what is no number.
    "walk share",
    "walk spoken",
  ],
} as const;

test("the languages that are named have a catalogue each, and there is none beside", () => {
  const folders = readdirSync(new URL("../site/src/words/", import.meta.url), { withFileTypes: true });
  const named = folders.flatMap((entry) => (entry.isDirectory() ? [entry.name] : []));
  expect(named.sort()).toEqual([...INTERFACE_LANGUAGES].sort());
});

test("each language but English is a condition by which the texts are imported", () => {
  const { imports } = JSON.parse(readFileSync(new URL("../package.json", import.meta.url), "utf8"));
  const paths = Object.fromEntries([
    ...others.map((language) => [language, `./site/src/words/${language}/*.ts`]),
    ["default", "./site/src/words/en/*.ts"],
  ]);
  expect(imports["#words/*"]).toEqual(paths);
});

test.each([
  ["en", "en", ".", undefined],
  ["en-CA", "en", ".", undefined],
  ["es", "es", ",", undefined],
  // Mexico writes a point, by the locale data of Unicode (CLDR).
  ["es-MX", "es", ".", undefined],
  ["de", "en", ",", undefined],
  ["est", "en", ",", undefined],
  ["he", "en", ".", "rtl"],
  ["fa-IR", "en", ".", "rtl"],
] as const)(
  "a base in %s has the texts of %s, the decimal mark %s, and the direction %s",
  (language, texts, mark, way) => {
    const file = join(mkdtempSync(join(tmpdir(), "headwater-language-")), "base.json");
    writeFileSync(file, JSON.stringify({ format: 1, language, trees: [] }));
    const before = process.env.HEADWATER_BASE;
    process.env.HEADWATER_BASE = file;
    try {
      expect([catalogueLanguage(), decimalMark(), directionOf(language)]).toEqual([texts, mark, way]);
    } finally {
      if (before === undefined) delete process.env.HEADWATER_BASE;
      else process.env.HEADWATER_BASE = before;
      rmSync(dirname(file), { recursive: true });
    }
  },
);

/** What a text says with these put into it, a sample for each of its parameters. */
const samples = [
  ["uno", "dos", "tres", "cuatro", "cinco", "seis", "siete"],
  [0, 0, 0, 0, 0, 0, 0],
  [1, 1, 1, 1, 1, 1, 1],
  [7, 7, 7, 7, 7, 7, 7],
  [0.5, 2, 3, 4, 5, 6, 7],
  [["uno", "dos"]],
  [["uno"]],
] as const;
function said(text: Text, sample: readonly unknown[]): string | undefined {
  if (typeof text === "string") return text;
  try {
    const made: unknown = text(...sample.slice(0, text.length));
    return typeof made === "string" ? made : undefined;
  } catch {
    // A list where a text was meant, or the other way round.
    return undefined;
  }
}

test.each(others)("%s has every text of English, and says each of them otherwise", async (language) => {
  const own = await catalogues(language);
  expect(Object.keys(own)).toEqual(Object.keys(english));
  const alike: string[] = [];
  let count = 0;
  for (const [part, texts] of Object.entries(english)) {
    const [one, other] = [flat(texts), flat(own[part])];
    expect([...other.keys()], part).toEqual([...one.keys()]);
    for (const [key, text] of one) {
      const translated = other.get(key) ?? "";
      expect(typeof translated, `${part} ${key}`).toBe(typeof text);
      const pairs = samples.map((sample) => [said(text, sample), said(translated, sample)] as const);
      const made = pairs.filter(([mine]) => mine !== undefined);
      expect(made.length, `${part} ${key} can be said`).toBeGreaterThan(0);
      for (const [, theirs] of made) expect(theirs, `${part} ${key}`).toMatch(/\S/);
      count += 1;
      if (made.some(([mine, theirs]) => mine === theirs)) alike.push(`${part} ${key}`);
    }
  }
  expect(count).toBeGreaterThan(300);
  // What is listed as alike and no longer is fails as well.
  expect(alike.sort()).toEqual([...ALIKE[language]].sort());
});

test.each(others)("%s puts into a text all that English puts into it", async (language) => {
  const own = await catalogues(language);
  const marks = Array.from({ length: 8 }, (_, place) => `\u0001${place}\u0002`);
  for (const [part, texts] of Object.entries(english)) {
    const other = flat(own[part]);
    for (const [key, text] of flat(texts)) {
      if (typeof text === "string" || LEFT_OUT[language].some((name) => name === `${part} ${key}`)) continue;
      const put = (made: string | undefined) => marks.filter((mark) => made?.includes(mark));
      expect(put(said(other.get(key) ?? "", marks)), `${part} ${key}`).toEqual(put(said(text, marks)));
    }
  }
});
/** What fills these comes from code, and is English. */
const LEFT_OUT = { es: ["record noRecord", "walk broken"] } as const;
