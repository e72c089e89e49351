/** What holds for every text, every base and every tree, tried on thousands of them. */
import { readdirSync, readFileSync } from "node:fs";
import fc from "fast-check";
import type { Root } from "mdast";
import remarkParse from "remark-parse";
import { unified } from "unified";
import { describe, expect, test } from "vitest";
import { parse as parseYaml } from "yaml";
import { specialise } from "../compiler/4-specialise/specialise.ts";
import { exampleInput } from "../compiler/examples.ts";
import {
  type CompiledBase,
  Compiler,
  type Complaint,
  check,
  emit,
  type Input,
  type RuleName,
  renderTerminal,
  reportOf,
  type SourceFile,
  Sources,
} from "../compiler/index.ts";
import type { Graph } from "../compiler/model/graph.ts";
import { renderHtml } from "../compiler/report/html.ts";
import { blockHtml, escapeHtml, isPlain, plainText, spokenWords } from "../compiler/words/markdown.ts";
import { nearest } from "../compiler/words/nearest.ts";
import { allFixtures, DAY, exampleBase } from "./annotations.ts";

interface TextFile {
  readonly path: string;
  readonly text: string;
}

const treesFolder = new URL("../trees/", import.meta.url);
const demo: readonly TextFile[] = readdirSync(treesFolder, { recursive: true, encoding: "utf8" })
  .map((path) => path.replaceAll("\\", "/"))
  .filter((path) => path.endsWith(".yaml"))
  .sort()
  .map((path) => ({ path, text: readFileSync(new URL(path, treesFolder), "utf8") }));
const example = exampleInput("", exampleBase).files as readonly TextFile[];
const inputOf = (files: readonly SourceFile[]): Input => ({ files, pictures: [] });
const laidOver = (base: readonly TextFile[], ...changed: readonly TextFile[]): TextFile[] => [
  ...base.filter(({ path }) => !changed.some((file) => file.path === path)),
  ...changed,
];

/** What must hold of complaints, whatever they are about. */
function expectSound(input: Input, complaints: readonly Complaint[]): void {
  const texts = new Map(input.files.map((file) => [file.path, "text" in file ? file.text : ""]));
  for (const { at, related = [], way = [], message, rule, hint, why } of complaints) {
    for (const place of [at, ...related.map((part) => part.at), ...way.map((part) => part.at)]) {
      const text = texts.get(place.file) ?? (place.file === "headwater.yaml" ? "" : undefined);
      expect(text, `${rule} speaks of ${place.file}`).toBeDefined();
      expect(place.start, rule).toBeGreaterThanOrEqual(0);
      expect(place.end, rule).toBeGreaterThanOrEqual(place.start);
      expect(place.end, `${rule}: ${message}`).toBeLessThanOrEqual(text?.length ?? 0);
    }
    for (const words of [message, why, ...(hint === undefined ? [] : [hint])]) expect(words.trim()).not.toBe("");
    expect(`${message} ${hint}`).not.toMatch(/\bNaN\b|\[object |Infinity/);
  }
}
/** No renderer may stumble over anything that can be complained of. */
function expectRendered(input: Input, result: ReturnType<typeof check>): void {
  const sources = new Sources(input.files);
  const text = renderTerminal(result, sources, { color: true, prefix: "base/" });
  for (const { rule } of result.complaints) expect(text).toContain(`[${rule}]`);
  expect(renderHtml(result, sources)).toContain("complaint-summary");
  expect(JSON.parse(JSON.stringify(reportOf(result, sources))).complaints).toHaveLength(result.complaints.length);
}

const paths = fc.constantFrom("headwater.yaml", "catalog/kit.yaml", "routines/drain.yaml", "softeners/hard-water.yaml");
const bits = fc.constantFrom(
  ...[
    "- ",
    ": ",
    "\n",
    "\n  ",
    "\n    ",
    "\t",
    "[",
    "]",
    "{",
    "}",
    ", ",
    "&a ",
    "*a",
    "!x ",
    "|",
    ">-",
    '"',
    "'",
    "#",
    "? ",
  ],
  ...[
    "---\n",
    "...",
    "%YAML 1.2\n",
    "\r\n",
    "\r",
    "\ufeff",
    "\u0000",
    "\ud800",
    "😀",
    "null",
    "1e999",
    "0x1f",
    "~",
    "<<: ",
  ],
  ...[
    "format: 1\n",
    "steps:",
    "look: ",
    "do: ",
    "then: ",
    "answers: ",
    "again: ",
    "done",
    "tools: ",
    "<b>",
    "[a](javascript:b)",
  ],
);
const anyText = fc.oneof(
  fc.string({ unit: "binary", maxLength: 200 }),
  fc.string({ unit: "grapheme", maxLength: 200 }),
  fc.array(fc.oneof(bits, fc.string({ maxLength: 6 })), { maxLength: 40 }).map((parts) => parts.join("")),
);

type Change =
  | { readonly kind: "delete" | "double" | "swap" | "tab" | "outdent"; readonly line: number; readonly other: number }
  | { readonly kind: "cut"; readonly at: number }
  | { readonly kind: "insert"; readonly at: number; readonly text: string }
  | { readonly kind: "trade"; readonly a: number; readonly b: number };
const change: fc.Arbitrary<Change> = fc.oneof(
  {
    weight: 4,
    arbitrary: fc.record({
      kind: fc.constantFrom("delete", "double", "swap", "tab", "outdent"),
      line: fc.nat(2000),
      other: fc.nat(2000),
    }),
  },
  { weight: 1, arbitrary: fc.record({ kind: fc.constant("cut" as const), at: fc.nat(50_000) }) },
  { weight: 2, arbitrary: fc.record({ kind: fc.constant("insert" as const), at: fc.nat(50_000), text: bits }) },
  { weight: 4, arbitrary: fc.record({ kind: fc.constant("trade" as const), a: fc.nat(2000), b: fc.nat(2000) }) },
);

/** What a slip of the hand or of an editor does to a file. */
function mangled(text: string, made: Change): string {
  const lines = text.split("\n");
  switch (made.kind) {
    case "cut":
      return text.slice(0, made.at % (text.length + 1));
    case "insert": {
      const at = made.at % (text.length + 1);
      return text.slice(0, at) + made.text + text.slice(at);
    }
    case "trade": {
      const ids = [...new Set(text.match(/\b[a-z]+(-[a-z]+)+\b/g))];
      const [a = "a", b = "b"] = [ids[made.a % (ids.length || 1)], ids[made.b % (ids.length || 1)]];
      return text.replaceAll(new RegExp(`\\b(${a}|${b})\\b`, "g"), (id) => (id === a ? b : a));
    }
    default: {
      const [i, j] = [made.line % lines.length, made.other % lines.length];
      const [line = "", other = ""] = [lines[i], lines[j]];
      if (made.kind === "delete") return lines.toSpliced(i, 1).join("\n");
      if (made.kind === "double") return lines.toSpliced(i, 0, line).join("\n");
      if (made.kind === "tab") return lines.with(i, `\t${line}`).join("\n");
      if (made.kind === "outdent") return lines.with(i, line.replace(/^ {2}/, "")).join("\n");
      return lines.with(i, other).with(j, line).join("\n");
    }
  }
}

describe("any text", () => {
  test("compiles to complaints, never to an exception", () => {
    const compiler = new Compiler({ today: DAY });
    fc.assert(
      fc.property(paths, anyText, (path, text) => {
        const input = inputOf(laidOver(example, { path, text }));
        const result = compiler.check(input);
        expectSound(input, result.complaints);
        expectRendered(input, result);
      }),
      { numRuns: 1500 },
    );
  });
  test("so do the files of the demo base after some slips, and every way that is told can be walked", () => {
    const compiler = new Compiler({ today: DAY });
    fc.assert(
      fc.property(fc.nat(demo.length - 1), fc.array(change, { minLength: 1, maxLength: 4 }), (index, changes) => {
        const file = demo[index] as TextFile;
        const input = inputOf(laidOver(demo, { ...file, text: changes.reduce(mangled, file.text) }));
        const result = compiler.check(input);
        expectSound(input, result.complaints);
        expectRendered(input, result);
        expectWalkable(compiler, input, result.complaints);
      }),
      { numRuns: 40 },
    );
  });
  test("is checked and emitted the same by a compiler that has seen other texts before", () => {
    const compiler = new Compiler({ today: DAY });
    let emitted = 0;
    const emittedBy = (one: Compiler, input: Input): CompiledBase => {
      const { world, trees } = one.linked(input);
      return emit(world, trees, DAY);
    };
    const slips = fc.array(fc.tuple(fc.nat(example.length - 1), change), { minLength: 1, maxLength: 3 });
    fc.assert(
      fc.property(slips, (changes) => {
        let files = example;
        for (const [index, made] of changes) {
          const file = files[index] as TextFile;
          files = files.with(index, { ...file, text: mangled(file.text, made) });
        }
        const fresh = new Compiler({ today: DAY });
        const result = compiler.check(inputOf(files));
        expect(result).toEqual(fresh.check(inputOf(files)));
        if (result.hasErrors) return;
        emitted++;
        expect(emittedBy(compiler, inputOf(files))).toEqual(emittedBy(fresh, inputOf(files)));
      }),
      { numRuns: 200 },
    );
    expect(emitted).toBeGreaterThan(5);
  });
});

/** A way is a walk on the graph of the families it is told for: joined by edges, by those answers, within the repeats. */
function expectWalkable(compiler: Compiler, input: Input, complaints: readonly Complaint[]): number {
  const told = complaints.filter(({ way }) => way && way.length > 0);
  if (told.length === 0) return 0;
  const { world, trees } = compiler.linked(input);
  for (const { way = [], families = [], at, rule, message } of told) {
    // What is told of a training case stands in its file, and the way goes through its tree.
    const begins = rule === "case-astray" ? way[0]?.at.file : at.file;
    const procedure = [...trees, ...world.routines.values()].find(({ file }) => file.path === begins);
    if (!procedure) throw new Error(`no procedure for ${begins}`);
    const [graph] = specialise(procedure, families.slice(0, 1), world) as [Graph];
    const isLoop = rule === "loop-without-limit";
    if (isLoop) expect(way[0]?.step).toBe(way.at(-1)?.step);
    else expect(graph.nodes[graph.start]?.id).toBe(way[0]?.step);
    const taken = new Map<string, number>();
    for (const [i, { step, answer }] of way.slice(0, -1).entries()) {
      const from = graph.nodes.find(({ id }) => id === step);
      const to = graph.nodes.find(({ id }) => id === way[i + 1]?.step);
      // A visit can end at a stop inside a routine: the way then goes into it at its last step.
      const inside = way[i + 1]?.at.file;
      if (i === way.length - 2 && from?.step?.routine && inside !== begins) {
        const holder = [...world.routines.values()].find(({ file }) => file.path === inside);
        expect(holder?.steps.has(way[i + 1]?.step ?? "")).toBe(true);
        continue;
      }
      const edges = from?.edges.filter((edge) => edge.to === to?.index) ?? [];
      const edge =
        edges.find(({ kind, branch }) => answer === (kind === "else" ? `${branch.id} (again)` : branch.id)) ??
        (answer === undefined ? edges.find(({ branch }) => branch.id === "then") : undefined);
      expect(edge, `${rule}: ${message}: ${step} does not lead to ${way[i + 1]?.step} by ${answer}`).toBeDefined();
      if (!edge || isLoop) continue;
      const key = `${step} ${edge.branch.id}`;
      const used = taken.get(key) ?? 0;
      const limit = edge.branch.again?.atMost ?? 0;
      if (edge.kind === "again") expect(used).toBeLessThan(limit);
      if (edge.kind === "again") taken.set(key, used + 1);
      if (edge.kind === "else") expect(used).toBe(limit);
    }
  }
  return told.length;
}

describe("ways", () => {
  test("every way in the fixtures can be walked", () => {
    let walked = 0;
    for (const { input, rule } of allFixtures) {
      const compiler = new Compiler({ today: DAY, only: [rule] });
      walked += expectWalkable(compiler, input, compiler.check(input).complaints);
    }
    expect(walked).toBeGreaterThan(40);
  });
});

// ---------------------------------------------------------------- names and order

type Data = { [key: string]: unknown };
/** Files that can be read, as data; JSON is YAML, so that data can be written back as it is. */
function dataOf(file: TextFile): Data | undefined {
  try {
    const data = parseYaml(file.text, { schema: "core", uniqueKeys: true }) as unknown;
    return typeof data === "object" && data !== null && !Array.isArray(data) ? (data as Data) : undefined;
  } catch {
    return undefined;
  }
}
const isProcedure = (path: string): boolean => !/^(headwater\.yaml$|catalog\/)/.test(path);

const bases: readonly {
  readonly name: string;
  readonly files: readonly TextFile[];
  readonly only?: readonly RuleName[];
}[] = [
  { name: "the demo base", files: demo },
  ...allFixtures
    .filter(({ input }) => input.pictures.length === 0)
    .map(({ rule, name, input }) => ({ name: `${rule} ${name}`, files: input.files as TextFile[], only: [rule] })),
];
const told = (files: readonly TextFile[], only: readonly RuleName[] | undefined): Complaint[] => [
  ...check(inputOf(files), { today: DAY, ...(only ? { only } : {}) }).complaints,
];

describe("the order of steps", () => {
  // Of a circle or an island, the member that stands first is named; there, only the number of complaints must stay.
  const namesTheFirst: readonly string[] = ["loop-without-limit", "unreachable-step"];
  const facts = (complaints: readonly Complaint[]): string[] =>
    complaints.map(({ rule, message }) => (namesTheFirst.includes(rule) ? rule : `${rule}: ${message}`)).sort();

  test("does not change what is complained of", () => {
    const readable = bases.map(({ files, ...rest }) => ({
      ...rest,
      files: files.map((file) => ({ file, data: isProcedure(file.path) ? dataOf(file) : undefined })),
    }));
    fc.assert(
      fc.property(fc.nat(bases.length - 1), fc.infiniteStream(fc.nat()), (index, numbers) => {
        const { files, only, name } = readable[index] as (typeof readable)[number];
        const write = (shuffle: boolean): TextFile[] =>
          files.map(({ file, data }) => {
            const { steps } = data ?? {};
            if (!data || typeof steps !== "object" || steps === null || Array.isArray(steps)) return file;
            const entries = Object.entries(steps).map((entry) => ({ entry, key: shuffle ? numbers.next().value : 0 }));
            const ordered = entries.sort((a, b) => a.key - b.key).map(({ entry }) => entry);
            return { path: file.path, text: JSON.stringify({ ...data, steps: Object.fromEntries(ordered) }) };
          });
        expect(facts(told(write(true), only)), name).toEqual(facts(told(write(false), only)));
      }),
      { numRuns: 400 },
    );
  });
});

describe("the names of steps", () => {
  const leads = new Set(["then", "step", "else", "start", "fixed", "not-fixed", "about", "unlicensed"]);
  const leadsByKey = new Set(["answers", "cases", "outcomes"]);
  /** Every step called something else, in every place where it is called. */
  function renamed(data: Data, rename: (id: string) => string): Data {
    const walk = (value: unknown, key: string, above: string): unknown => {
      if (typeof value === "string") {
        // A formula may name what was read at an earlier step.
        if (above === "value" || above === "with") return value.replace(/[a-z0-9-]+(?=\.)/g, rename);
        return leads.has(key) || leadsByKey.has(above) ? rename(value) : value;
      }
      if (Array.isArray(value)) return value.map((part) => walk(part, "", ""));
      if (typeof value !== "object" || value === null) return value;
      const entries = Object.entries(value).map(([name, part]) => [
        key === "steps" || key === "shows" ? rename(name) : name,
        walk(part, name, key),
      ]);
      return Object.fromEntries(entries) as Data;
    };
    const { outcomes, ...rest } = data;
    return { ...(outcomes ? { outcomes } : {}), ...(walk(rest, "", "") as Data) };
  }

  /** A training case names the steps of its tree. */
  function renamedCase(data: Data, rename: (id: string) => string): Data {
    const keys = (map: unknown): Data =>
      Object.fromEntries(
        Object.entries((map ?? {}) as Data).map(([id, value]) => [id.replace(/^.+?(?=--|$)/, rename), value]),
      );
    return {
      ...data,
      ...(typeof data.ends === "string" && { ends: rename(data.ends) }),
      shows: keys(data.shows),
      readings: keys(data.readings),
      after: Object.fromEntries(Object.entries((data.after ?? {}) as Data).map(([id, map]) => [id, keys(map)])),
    };
  }

  test("do not change which rules complain, nor how often", () => {
    // A misspelt name is taken for the nearest one, so there the names do matter.
    const spelt = bases
      .map((base) => ({ ...base, before: told(base.files, base.only) }))
      .filter(({ before }) => !before.some(({ rule }) => rule === "unknown-reference" || rule === "invalid-yaml"));
    expect(spelt.length).toBeGreaterThan(100);
    let complaints = 0;
    const idsOf = (data: Data | undefined): ReadonlyMap<string, string> | undefined => {
      const { steps } = data ?? {};
      if (typeof steps !== "object" || steps === null || Array.isArray(steps)) return undefined;
      return new Map(Object.keys(steps).map((id, i) => [id, `renamed-${i}`]));
    };
    for (const { files, only, before, name } of spelt) {
      const read = files.map((file) => ({ file, data: isProcedure(file.path) ? dataOf(file) : undefined }));
      const after = read.map(({ file, data }) => {
        if (data?.case !== undefined) {
          const ids = idsOf(read.find(({ data: other }) => other?.tree === data.tree && other?.steps)?.data);
          return { path: file.path, text: JSON.stringify(renamedCase(data, (id) => ids?.get(id) ?? id)) };
        }
        const ids = idsOf(data);
        if (!data || !ids) return file;
        return { path: file.path, text: JSON.stringify(renamed(data, (id) => ids.get(id) ?? id)) };
      });
      const rules = (list: readonly Complaint[]): string[] => list.map(({ rule }) => rule).sort();
      // Two keys of one name do not survive being read as data.
      if (before.some(({ rule }) => rule === "duplicate-id" || rule === "invalid-shape")) continue;
      expect(rules(told(after, only)), name).toEqual(rules(before));
      complaints += before.length;
    }
    expect(complaints).toBeGreaterThan(60);
  });
});

// ---------------------------------------------------------------- texts

const parser = unified().use(remarkParse);
const marks = fc.constantFrom(
  ...[
    "*",
    "**",
    "_",
    "`",
    "``",
    "[",
    "](",
    ")",
    "<",
    ">",
    "&amp;",
    "&",
    "#",
    "# ",
    "- ",
    "+ ",
    "1. ",
    "1) ",
    "=",
    "---",
    "~~~",
  ],
  ...[
    "\n",
    "\n\n",
    "    ",
    "\t",
    " ",
    "\\",
    "|",
    "!",
    "![",
    ": ",
    "http://example.org",
    "www.example.org",
    "a",
    "b c",
    "é",
    "5",
  ],
);
const markdown = fc.oneof(
  fc.string({ unit: "grapheme", minLength: 1, maxLength: 40 }),
  fc.string({ unit: "binary", minLength: 1, maxLength: 40 }),
  fc.array(marks, { minLength: 1, maxLength: 12 }).map((parts) => parts.join("")),
);

describe("texts", () => {
  test("a text that is called plain is one paragraph with these very words, for remark too", () => {
    let plain = 0;
    fc.assert(
      fc.property(markdown, (text) => {
        if (!isPlain(text) || text === "") return;
        plain += 1;
        const { children } = parser.parse(text) as Root;
        expect(children).toMatchObject([{ type: "paragraph", children: [{ type: "text", value: text }] }]);
        expect(children).toHaveLength(1);
        expect(spokenWords(text)).toBe(text);
        expect(plainText(text)).toBe(text);
        expect(blockHtml(text)).toBe(`<p>${escapeHtml(text)}</p>`);
      }),
      { numRuns: 20_000 },
    );
    expect(plain).toBeGreaterThan(2000);
  });
  test("the texts of the demo base are plain for the most part, or the short cut would be for nothing", () => {
    const texts = demo.flatMap(({ text }) =>
      [...text.matchAll(/(?:do|look|how|say): (.*)/g)].map(([, words = ""]) => words),
    );
    expect(texts.filter(isPlain).length / texts.length).toBeGreaterThan(0.8);
  });
  test("words count as said, whatever emphasis they have; code and links don't", () => {
    const word = fc.constantFrom("turn", "shut", "drain", "handle");
    const part = fc.oneof(
      word.map((text) => ({ text, said: text })),
      word.map((text) => ({ text: `*${text}*`, said: text })),
      word.map((text) => ({ text: `**${text}**`, said: text })),
      word.map((text) => ({ text: `\`${text}\``, said: "" })),
      word.map((text) => ({ text: `[${text}](https://example.org/${text})`, said: "" })),
      word.map((text) => ({ text: `<https://example.org/${text}>`, said: "" })),
      word.map((text) => ({ text: `\n\n- ${text}\n`, said: text })),
      word.map((text) => ({ text: `\n\n    ${text}\n\n`, said: "" })),
      word.map((text) => ({ text: `\n\n~~~\n${text}\n~~~\n\n`, said: "" })),
    );
    fc.assert(
      fc.property(fc.array(part, { maxLength: 8 }), (parts) => {
        // Something at the left margin before each part, so that no indented code goes on a list.
        const text = parts.map((one) => `said ${one.text}`).join("\n\n");
        const said = parts.flatMap((one) => ["said", ...(one.said ? [one.said] : [])]);
        expect(spokenWords(text).split(/\s+/).filter(Boolean)).toEqual(said);
      }),
      { numRuns: 2000 },
    );
  });
  test("no text becomes HTML that could run anything", () => {
    fc.assert(
      fc.property(markdown, (text) => {
        const html = blockHtml(text);
        expect(html).not.toMatch(/<(script|iframe|object|style|svg|form)/i);
        expect(html).not.toMatch(/<[a-z]+[^>]*\son[a-z]+=/i);
      }),
      { numRuns: 3000 },
    );
  });
});

describe("the nearest name", () => {
  const names = fc.string({ unit: fc.constantFrom(..."abc-"), minLength: 1, maxLength: 7 });
  /** By the book: the full table, without any short cut. */
  function distance(a: string, b: string): number {
    const table = Array.from({ length: a.length + 1 }, (_, i) =>
      Array.from({ length: b.length + 1 }, (_, j) => (i && j ? 0 : i + j)),
    );
    const at = (i: number, j: number): number => table[i]?.[j] ?? Number.POSITIVE_INFINITY;
    for (let i = 1; i <= a.length; i++)
      for (let j = 1; j <= b.length; j++) {
        const swapped = i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1] ? at(i - 2, j - 2) + 1 : 99;
        const row = table[i] as number[];
        row[j] = Math.min(
          at(i - 1, j) + 1,
          at(i, j - 1) + 1,
          at(i - 1, j - 1) + (a[i - 1] === b[j - 1] ? 0 : 1),
          swapped,
        );
      }
    return at(a.length, b.length);
  }
  test("is the first with the least distance, within a third of the length", () => {
    fc.assert(
      fc.property(names, fc.array(names, { maxLength: 6 }), (name, candidates) => {
        const limit = Math.max(1, Math.floor(name.length / 3));
        const least = Math.min(...candidates.map((candidate) => distance(name, candidate)));
        const expected =
          least <= limit ? candidates.find((candidate) => distance(name, candidate) === least) : undefined;
        expect(nearest(name, candidates)).toBe(expected);
      }),
      { numRuns: 5000 },
    );
  });
});
