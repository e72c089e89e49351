/** Translations: nothing that is shown is forgotten, and no figure differs from its source. */
import { readdirSync, readFileSync } from "node:fs";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { parse } from "yaml";
import { figuresApart, figuresOf } from "../compiler/5-analyse/facts/figures.ts";
import { loadBase } from "../compiler/cli/load.ts";
import {
  type CompiledBase,
  Compiler,
  check,
  type Edition,
  emit,
  type Input,
  type SourceFile,
} from "../compiler/index.ts";
import { DAY } from "./annotations.ts";
import { evenly } from "./evenly.ts";

const folder = new URL("../trees/", import.meta.url);
const demo = loadBase(folder.pathname);
const isTranslation = ({ path }: SourceFile): boolean => path.startsWith("translations/");
const textOf = (file: SourceFile): string => ("text" in file ? file.text : "");

/** Read by the YAML library alone: source text to translation. */
const translated = new Map<string, string>(
  readdirSync(new URL("translations/es/", folder)).flatMap((name) => {
    const { texts } = parse(readFileSync(new URL(`translations/es/${name}`, folder), "utf8")) as {
      texts: Record<string, string>;
    };
    return Object.entries(texts);
  }),
);
const pairs = [...translated];

/** The demo with other translations, given as pairs. */
function withTranslations(texts: readonly (readonly [string, string])[], files = demo.files): Input {
  const text = JSON.stringify({ format: 1, language: "es", texts: Object.fromEntries(texts) });
  return {
    ...demo,
    files: [...files.filter((file) => !isTranslation(file)), { path: "translations/es/all.yaml", text }],
  };
}
function withManifest(change: (text: string) => string, files: readonly SourceFile[]): SourceFile[] {
  return files.map((file) => (file.path === "headwater.yaml" ? { path: file.path, text: change(textOf(file)) } : file));
}

test("the demo's translations are many, and all of them are in Spanish", () => {
  expect(pairs.length).toBeGreaterThan(400);
  // Names and symbols may be alike in both; sentences are not.
  expect(pairs.filter(([source, text]) => source === text)).toEqual([]);
});

describe("a figure in a translation", () => {
  /** The rule looks at no tree: so it is asked of the manifest and the translations alone. */
  const astray = (texts: readonly (readonly [string, string])[]) => {
    const files = demo.files.filter(({ path }) => path === "headwater.yaml");
    return check(withTranslations(texts, files), { today: DAY, only: ["translation-astray"] }).complaints.filter(
      ({ rule }) => rule === "translation-astray",
    );
  };
  const slips = pairs.flatMap(([source, text]) =>
    [...text.matchAll(/\d/g)].map(({ index, 0: digit }) => {
      const other = String((Number(digit) + 1) % 10);
      return [source, text.slice(0, index) + other + text.slice(index + 1)] as const;
    }),
  );
  test("is the source's, wherever the demo has one", () => {
    expect(astray(pairs)).toEqual([]);
  });
  test("is complained of when any one digit of any one is another", () => {
    expect(slips.length).toBeGreaterThan(60);
    for (const slip of slips) expect(astray([slip]).length, slip[1]).toBeGreaterThan(0);
  });
  test("is complained of when it is left out, or comes twice", () => {
    for (const [source, text] of pairs) {
      const [digits] = /\d+/.exec(text) ?? [];
      if (digits === undefined) continue;
      expect(astray([[source, text.replace(digits, "")]]).length, text).toBeGreaterThan(0);
      expect(astray([[source, `${text} ${digits}`]]).length, text).toBeGreaterThan(0);
    }
  });

  // How languages write numbers: the Unicode CLDR, by the runtime's Intl.
  const languages = ["en", "es", "es-MX", "fr", "de", "pt", "it", "pl", "nl", "sv"];
  const decimal = fc.tuple(fc.nat(2_000_000), fc.constantFrom(1, 10, 100, 1000)).map(([whole, part]) => whole / part);
  const written = (value: number, language: string): string =>
    new Intl.NumberFormat(language, { maximumFractionDigits: 3 }).format(value);
  test("is the same in whatever language it is written", () => {
    fc.assert(
      fc.property(
        decimal,
        fc.constantFrom(...languages),
        fc.constantFrom("", " psi", " °C", " mg/L"),
        (value, to, unit) => {
          const source = figuresOf(`About ${written(value, "en")}${unit}.`, "en");
          const other = figuresOf(`Unos ${written(value, to)}${unit}.`);
          expect(figuresApart(source, other)).toEqual({ lost: [], added: [] });
        },
      ),
      { numRuns: 500, seed: 41 },
    );
  });
  test("is another where the number is another, in whatever language", () => {
    fc.assert(
      fc.property(decimal, decimal, fc.constantFrom(...languages), (value, wrong, to) => {
        // 2,000 is two thousand to one reader and two to another: that a thousandth was meant can't be told.
        fc.pre(wrong !== value && wrong !== value / 1000 && wrong !== value * 1000);
        const { lost, added } = figuresApart(figuresOf(written(value, "en"), "en"), figuresOf(written(wrong, to)));
        expect([lost.length, added.length]).toEqual([1, 1]);
      }),
      { numRuns: 500, seed: 41 },
    );
  });
});

describe("a translation that is not there", () => {
  const offered = demo.files.filter(
    ({ path }) => !/^(softeners|wells|water-quality|before-you-begin|cases)/.test(path) && !/ro-/.test(path),
  );
  const missing = (kept: readonly (readonly [string, string])[]) =>
    check(withTranslations(kept, offered), { today: DAY, only: ["translation-missing"] }).complaints.flatMap(
      ({ rule, at, message }) => (rule === "translation-missing" ? [{ at, message }] : []),
    );
  /** What the page must show in any case; the owner's name may stay as it is. */
  const needed = pairs.filter(([source]) => !source.includes("which does not exist"));

  test.each([0, 1, 2])("is told, each once, and nothing else (part %i of 3)", (part) => {
    const lost = needed.filter((_, i) => i % 3 === part).map(([source]) => source);
    const told = missing(pairs.filter(([source]) => !lost.includes(source)));
    expect(told.length).toBe(lost.length);
    const begin = (text: string): string => text.slice(0, 30).replace(/\s+/g, " ");
    for (const source of lost)
      expect(
        told.some(({ message }) => message.startsWith(`\`${begin(source)}`)),
        source,
      ).toBe(true);
  });
  test.each(evenly(needed, 8).map(([source]) => source))("alone: %s", (source) => {
    expect(missing(pairs.filter(([one]) => one !== source)).length).toBe(1);
  });
});

describe("emitting in a further language", () => {
  const compiler = new Compiler({ today: DAY });
  const { world, trees } = compiler.linked(demo);
  const main = emit(world, trees, DAY);
  const asked = new Set<string>();
  const spanish = emit(world, trees, DAY, { language: "es", asked: (text) => void asked.add(text) });

  /** All trees are offered, and nothing is translated: what is asked for must be what is complained of. */
  test("asks for just the texts whose translation is asked of the author, for all trees", () => {
    const all = trees.map(({ id }) => id);
    const files = withManifest((text) => text.replace(/^ {2}es: .*$/m, `  es: [${all.join(", ")}]`), demo.files);
    const input = { ...demo, files: files.filter((file) => !isTranslation(file)) };
    const whole = new Compiler({ today: DAY, only: ["translation-missing"] });
    const told = whole.check(input).complaints.length;
    const linked = whole.linked(input);
    const texts = new Set<string>();
    const edition: Edition = { language: "es", asked: (text) => void texts.add(text) };
    emit(linked.world, linked.trees, DAY, edition);
    // Names may stay: the owner's, and published sources.
    const formulas = [...world.catalogs.formulas.values()].map(({ entry }) => entry);
    const names = new Set([
      world.manifest?.data.owner,
      ...[...world.catalogs.sources.values()].map(({ entry }) => entry.title),
      ...formulas.flatMap(({ source, examples }) => [source, ...examples.map((example) => example.source)]),
    ]);
    const needed = [...texts].filter((text) => !names.has(text));
    expect(needed.length).toBeGreaterThan(2500);
    expect(told).toBe(needed.length);
  }, 120_000);
  test("asks for every translation that the demo has, and shows it", () => {
    expect([...translated.keys()].filter((text) => !asked.has(text))).toEqual([]);
    expect(spanish).toMatchObject({ language: "es", title: translated.get(main.title) });
    expect(spanish.trees.map(({ id, title }) => [id, title])).toEqual([
      ["uv-alarm", translated.get("The ultraviolet unit is in alarm")],
    ]);
  });
  test("leaves what was proven and what is walked as it is", () => {
    /** Everything that is no text: ids, figures, signal words, codes. */
    const bones = (data: unknown): unknown => {
      if (Array.isArray(data)) return data.map(bones);
      if (typeof data !== "object" || data === null) return typeof data === "string" ? undefined : data;
      return Object.fromEntries(
        Object.entries(data).map(([key, value]) => [key, isBone.has(key) ? value : bones(value)]),
      );
    };
    const isBone = new Set([
      ...[
        "id",
        "of",
        "kind",
        "to",
        "start",
        "serves",
        "routines",
        "sets",
        "clears",
        "needs",
        "tools",
        "parts",
        "hazard",
      ],
      ...[
        "evidence",
        "licence",
        "cautions",
        "licences",
        "signal",
        "sign",
        "code",
        "unit",
        "between",
        "bring",
        "stopKind",
      ],
    ]);
    const of = (base: CompiledBase) =>
      bones({
        tree: base.trees.find(({ id }) => id === "uv-alarm"),
        procedures: spanish.trees[0]?.routines.map((id) => base.routines[id]),
        hazards: Object.keys(spanish.hazards).map((id) => base.hazards[id]),
      });
    expect(of(spanish)).toEqual(of(main));
  });
  test("leads nowhere that is not there", () => {
    const text = JSON.stringify(spanish);
    for (const id of [...text.matchAll(/"formula":"([^"]+)"/g)].map(([, id = ""]) => id))
      expect(spanish.formulas).toHaveProperty(id);
    for (const tree of spanish.trees) {
      for (const id of tree.routines) expect(spanish.routines).toHaveProperty(id);
      for (const id of tree.serves) expect(spanish.families).toHaveProperty(id);
      for (const id of Object.keys(tree.causes)) expect(spanish.causes).toHaveProperty(id);
      for (const { kind, id } of tree.bring) expect(spanish[`${kind}s`]).toHaveProperty(id);
      expect(spanish.contacts).toHaveProperty(tree.inDoubt ?? "");
      expect(spanish.symptoms).toHaveProperty(tree.symptom);
    }
    for (const { clearedBy } of Object.values(spanish.states))
      for (const id of clearedBy) expect(spanish.routines).toHaveProperty(id);
    for (const { hazard, note } of [...spanish.trees, ...Object.values(spanish.routines)].flatMap(
      ({ notes, steps }) => [...notes, ...steps.flatMap((step) => step.notes)],
    )) {
      expect(spanish.hazards).toHaveProperty(hazard);
      expect(note).not.toBe("");
    }
    for (const { area } of [...Object.values(spanish.families), ...Object.values(spanish.symptoms)])
      expect(spanish.areas).toHaveProperty(area);
  });
  test("names the other language in itself, and what is there", () => {
    expect(main.languages).toEqual([
      {
        code: "es",
        title: "Español",
        path: "es/",
        pages: { trees: ["uv-alarm"], symptoms: ["uv-alarm"], formulas: ["shock-dose"] },
      },
    ]);
    expect(spanish.languages).toEqual([{ code: "en", title: "English", path: "../" }]);
  });
  test("changes nothing of the main language but that it names the other one", () => {
    const files = withManifest((text) => text.replace(/^translations:\n.*\n/m, ""), demo.files);
    const alone = new Compiler({ today: DAY });
    const linked = alone.linked({ ...demo, files: files.filter((file) => !isTranslation(file)) });
    const { languages, ...rest } = main;
    expect(languages).toBeDefined();
    expect(emit(linked.world, linked.trees, DAY)).toEqual(rest);
  });
  test("shows the source text where there is no translation yet", () => {
    const other = new Compiler({ today: DAY });
    const linked = other.linked(withTranslations(pairs.filter(([source]) => source !== "What does the unit show?")));
    const steps = emit(linked.world, linked.trees, DAY, { language: "es" }).trees[0]?.steps ?? [];
    expect(steps.find(({ id }) => id === "alarm-kind")?.title).toBe("What does the unit show?");
    expect(steps.find(({ id }) => id === "first-of-all")?.title).toMatch(/^¿Hay alguien enfermo/);
  });
});

describe("the manifest's languages", () => {
  const told = (manifest: string, more: readonly SourceFile[] = []) =>
    check(
      { ...demo, files: [...withManifest((text) => text.replace(/^ {2}es: .*$/m, manifest), demo.files), ...more] },
      { today: DAY, only: [] },
    ).complaints.map(({ rule, message, at }) => `${at.file} ${rule}: ${message}`);
  test("name trees that are there, and not the base's own language", () => {
    expect(told("  es: [uv-alarm, uv-alrm]")).toEqual(["headwater.yaml unknown-reference: there is no tree `uv-alrm`"]);
    expect(told("  es: [uv-alarm]\n  en: [uv-alarm]")).toEqual([
      "headwater.yaml invalid-shape: `en` is the language of the base itself",
    ]);
  });
  test("are asked of the files of translations", () => {
    const text = "format: 1\nlanguage: fr\ntexts: {Done: Fait}\n";
    expect(told("  es: [uv-alarm]", [{ path: "translations/fr/all.yaml", text }])).toEqual([
      "translations/fr/all.yaml unknown-reference: no tree is offered in `fr`",
    ]);
    expect(told("  es: [uv-alarm]\n  fr: [uv-alarm]", [{ path: "translations/es/french.yaml", text }])).toEqual([
      "translations/es/french.yaml invalid-shape: this file is for `fr`, and does not lie in `translations/fr/`",
    ]);
  });
});
