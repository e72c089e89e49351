/**
 * Writes the generated sources: the types of the format and of the record from their schemas, the rules from the listing of `checks/`.
 * A test calls `generated()` and compares, so that none can drift.
 */
import { readdirSync, readFileSync, writeFileSync } from "node:fs";
import { compile, type JSONSchema } from "json-schema-to-typescript";

const root = new URL("../", import.meta.url);
const banner = (from: string): string => `/* Generated from ${from} by \`npm run generate\`. Don't edit. */\n`;

/** Path below the repository to content. */
export async function generated(): Promise<ReadonlyMap<string, string>> {
  const names = ruleNames();
  return new Map([
    ["compiler/model/format.ts", banner("schema/*.json") + (await formatTypes())],
    ["site/src/record/format.ts", banner("schema/record.json") + (await recordTypes())],
    [
      "compiler/model/rule-names.ts",
      `${banner("the listing of compiler/checks")}export type RuleName =\n${names.map((name) => `  | "${name}"`).join("\n")};\n`,
    ],
    [
      "compiler/checks/registry.ts",
      `${banner("the listing of compiler/checks")}import type { Rule } from "../5-analyse/rule.ts";\n${names
        .map((name) => `import ${camel(name)} from "./${name}.ts";`)
        .join(
          "\n",
        )}\n\nexport const rules: readonly Rule[] = [\n${names.map((name) => `  ${camel(name)},`).join("\n")}\n];\n`,
    ],
  ]);
}

export function ruleNames(): string[] {
  return readdirSync(new URL("compiler/checks/", root))
    .filter((name) => name.endsWith(".ts") && name !== "registry.ts")
    .map((name) => name.slice(0, -".ts".length))
    .sort();
}

function camel(name: string): string {
  return name.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());
}

/** All schemas under one roof, so that a shared definition becomes one type. */
async function formatTypes(): Promise<string> {
  const step = read("step.json");
  const catalog = read("catalog.json");
  const trainingCase = read("case.json");
  const manifest = read("manifest.json");
  const kinds = {
    manifest,
    catalog,
    routine: read("routine.json"),
    tree: read("tree.json"),
    case: trainingCase,
    translation: read("translation.json"),
  };
  const schema = {
    title: "FormatFiles",
    description: "All kinds of files of a knowledge base.",
    type: "object",
    additionalProperties: false,
    required: Object.keys(kinds),
    properties: Object.fromEntries(
      Object.entries(kinds).map(([kind, { $schema: _, $defs: __, ...rest }]) => [kind, rest]),
    ),
    $defs: { ...step.$defs, ...catalog.$defs, ...trainingCase.$defs, ...manifest.$defs },
  };
  return compile(schema as JSONSchema, "FormatFiles", {
    bannerComment: "",
    additionalProperties: false,
    ignoreMinAndMaxItems: true,
  });
}

function recordTypes(): Promise<string> {
  return compile(read("record.json") as JSONSchema, "JobRecord", {
    bannerComment: "",
    additionalProperties: false,
    ignoreMinAndMaxItems: true,
  });
}

function read(name: string): { $schema: string; $defs?: Record<string, unknown> } {
  const text = readFileSync(new URL(`schema/${name}`, root), "utf8");
  return JSON.parse(text.replaceAll(/(?:step|manifest)\.json#\/\$defs\//g, "#/$defs/")) as { $schema: string };
}

if (process.argv[1] === import.meta.filename)
  for (const [path, content] of await generated()) writeFileSync(new URL(path, root), content);
