/** The published schemas: sound by themselves, explained to their last word, and what the demo base keeps to. */
import { readdirSync, readFileSync } from "node:fs";
import { Ajv2020, type AnySchema } from "ajv/dist/2020.js";
import { load } from "js-yaml";
import { describe, expect, test } from "vitest";
import { splitExample } from "../compiler/examples.ts";
import { exampleBase } from "./annotations.ts";

interface Schema {
  readonly $ref?: string;
  readonly description?: string;
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly [keyword: string]: unknown;
}

const folder = new URL("../schema/", import.meta.url);
/** The compiled base and the job record are written by programs; what people write is these. */
const written = [
  "case.json",
  "catalog.json",
  "manifest.json",
  "routine.json",
  "step.json",
  "translation.json",
  "tree.json",
];
const names = readdirSync(folder).filter((name) => name.endsWith(".json"));
const schemas: Readonly<Record<string, Schema>> = Object.fromEntries(
  names.map((name) => [name, JSON.parse(readFileSync(new URL(name, folder), "utf8")) as Schema]),
);

function validator(): Ajv2020 {
  const ajv = new Ajv2020({ strict: true, strictRequired: false, allowUnionTypes: true, allErrors: true });
  for (const [name, schema] of Object.entries(schemas)) ajv.addSchema(schema, name);
  return ajv;
}

test("the schemas of everything that people write are there", () => {
  expect(names).toEqual(expect.arrayContaining(written));
});

describe.each(names)("%s", (name) => {
  const schema = schemas[name] ?? {};
  test("keeps to the metaschema of draft 2020-12", () => {
    expect(schema.$schema).toBe("https://json-schema.org/draft/2020-12/schema");
    const ajv = new Ajv2020({ strict: true, allowUnionTypes: true });
    expect(ajv.validateSchema(schema as AnySchema), JSON.stringify(ajv.errors)).toBe(true);
    // The metaschema is not just waved through.
    expect(ajv.validateSchema({ ...schema, type: "mapping" } as AnySchema)).toBe(false);
  });
  test("has no reference that leads nowhere, and no definition that nothing refers to", () => {
    const text = JSON.stringify(schemas);
    const refs = [...JSON.stringify(schema).matchAll(/"\$ref":"([^"]+)"/g)].map(([, ref]) => ref ?? "");
    for (const ref of refs) expect(target(name, ref), ref).toBeDefined();
    for (const definition of Object.keys((schema.$defs as object | undefined) ?? {})) {
      const local = `"#/$defs/${definition}"`;
      const remote = `"${name}#/$defs/${definition}"`;
      expect(JSON.stringify(schema).includes(local) || text.includes(remote), definition).toBe(true);
    }
  });
  test("explains every word, in a sentence", () => {
    let words = 0;
    for (const [path, schemaOfWord] of properties(schema)) {
      const description = schemaOfWord.description ?? target(name, schemaOfWord.$ref ?? "")?.description;
      expect(description, `${path} has no description`).toMatch(/^\S.{4,}[.`]$/s);
      words += 1;
    }
    if (name !== "step.json" && schema.title) expect(words).toBeGreaterThan(3);
  });
  test("lets no unknown word pass", () => {
    for (const [path, { type, properties: known, additionalProperties }] of objects(schema))
      if (type === "object" && known) expect(additionalProperties, path).toBeDefined();
  });
});

function target(from: string, ref: string): Schema | undefined {
  const [file, pointer = ""] = ref.split("#");
  return pointer
    .split("/")
    .slice(1)
    .reduce<Schema | undefined>(
      (at, key) => (at as Readonly<Record<string, Schema>> | undefined)?.[key],
      schemas[file || from],
    );
}
function* objects(schema: unknown, path = ""): Generator<[string, Schema]> {
  if (typeof schema !== "object" || schema === null) return;
  if (!Array.isArray(schema)) yield [path, schema as Schema];
  for (const [key, part] of Object.entries(schema)) yield* objects(part, `${path}/${key}`);
}
function* properties(schema: Schema): Generator<[string, Schema]> {
  for (const [path, object] of objects(schema))
    if (object.type === "object" && object.properties)
      for (const [key, property] of Object.entries(object.properties)) yield [`${path}/${key}`, property];
}

const trees = new URL("../trees/", import.meta.url);
const demo = readdirSync(trees, { recursive: true, encoding: "utf8" })
  .map((path) => path.replaceAll("\\", "/"))
  .filter((path) => path.endsWith(".yaml"))
  .sort();
function schemaFor(path: string): string {
  if (path === "headwater.yaml") return "manifest.json";
  if (path.startsWith("catalog/")) return "catalog.json";
  if (path.startsWith("cases/")) return "case.json";
  if (path.startsWith("translations/")) return "translation.json";
  return path.startsWith("routines/") ? "routine.json" : "tree.json";
}

describe("valid files, read by another YAML parser", () => {
  const ajv = validator();
  test.each(demo)("trees/%s", (path) => {
    const data = load(readFileSync(new URL(path, trees), "utf8"));
    expect(ajv.validate(schemaFor(path), plain(data)), ajv.errorsText()).toBe(true);
  });
  test.each(splitExample(exampleBase))("$path of the example base", ({ path, text }) => {
    expect(ajv.validate(schemaFor(path), plain(load(text))), ajv.errorsText()).toBe(true);
  });
});

/** js-yaml makes a date of `2026-10-02`, as YAML 1.1 did; the format means text. */
function plain(data: unknown): unknown {
  return JSON.parse(JSON.stringify(data), (_, value: unknown) =>
    typeof value === "string" ? value.replace(/^(\d{4}-\d\d-\d\d)T00:00:00\.000Z$/, "$1") : value,
  );
}

describe("invalid data", () => {
  const ajv = validator();
  const tree = {
    format: 1,
    tree: "wet-floor",
    title: "Water on the floor",
    symptom: "wet-floor",
    serves: ["softener"],
    reviewed: { on: "2026-10-02", by: "senior technician" },
    start: "call",
    steps: { call: { stop: "Call the office", kind: "hand-over" } },
  };
  const withStep = (step: unknown): unknown => ({ ...tree, steps: { call: step } });
  test("the sound tree that these are made of is valid", () => {
    expect(ajv.validate("tree.json", tree), ajv.errorsText()).toBe(true);
  });
  test.each<[string, unknown]>([
    ["another format", { ...tree, format: 2 }],
    ["no steps", { ...tree, steps: {} }],
    ["no families", { ...tree, serves: [] }],
    ["a family twice", { ...tree, serves: ["softener", "softener"] }],
    ["an id with a large letter", { ...tree, tree: "Wet-floor" }],
    ["an id with two hyphens", { ...tree, tree: "wet--floor" }],
    ["a step id with an underscore", { ...tree, steps: { wet_floor: tree.steps.call } }],
    ["an unknown word", { ...tree, colour: "red" }],
    ["a review without a day", { ...tree, reviewed: { by: "senior technician" } }],
    ["a day in words", { ...tree, reviewed: { on: "today", by: "senior technician" } }],
    ["an accepted error", { ...tree, accept: [{ rule: "dead-end", because: "It is meant so" }] }],
    ["an acceptance without a reason", { ...tree, accept: [{ rule: "stale-review" }] }],
    ["an empty title", { ...tree, title: "" }],
    ["a step of no kind", withStep({ how: "Wait." })],
    ["a step of two kinds", withStep({ do: "Wait", look: "Is it dry?", answers: { dry: "call" } })],
    ["a look without answers", withStep({ look: "Is it dry?", answers: {} })],
    [
      "a repeat without a limit",
      withStep({ look: "Dry?", answers: { wet: { again: { step: "call", else: "call" } } } }),
    ],
    [
      "a repeat of ten times",
      withStep({ look: "Dry?", answers: { wet: { again: { step: "call", "at-most": 10, else: "call" } } } }),
    ],
    ["a sort by something else than equipment", withStep({ sort: "house.age", cases: { old: "call" } })],
    ["negative minutes", withStep(load("{do: Wait, minutes: -1, then: call}"))],
    [
      "bounds with one end",
      withStep({
        measure: "Flow",
        readings: { flow: { ask: "Flow", unit: "gpm", between: [0] } },
        ranges: { any: {} },
      }),
    ],
    ["an end of a fourth kind", withStep({ stop: "Call", kind: "later" })],
    ["a likelihood of nothing", { ...tree, causes: { "worn-seals": { likelihood: 0 } } }],
  ])("%s", (_, data) => {
    expect(ajv.validate("tree.json", data)).toBe(false);
  });
  test("a found step is not for a routine", () => {
    const routine = {
      format: 1,
      routine: "mop-up",
      title: "Mop it up",
      reviewed: tree.reviewed,
      start: "mop",
      steps: { mop: load("{do: Mop it up, then: done}") },
    };
    expect(ajv.validate("routine.json", routine), ajv.errorsText()).toBe(true);
    expect(ajv.validate("routine.json", { ...routine, steps: { mop: { found: "worn-seals" } } })).toBe(false);
  });
});
