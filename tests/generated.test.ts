/** Generated files are what `npm run generate` would write today, formatting aside. */
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { basename, join } from "node:path";
import { fileURLToPath } from "node:url";
import ts from "typescript";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { generated } from "../compiler/generate.ts";

const root = fileURLToPath(new URL("..", import.meta.url));
let fresh: ReadonlyMap<string, string>;

beforeAll(async () => {
  fresh = await generated();
});

/** Everything but blanks: words, signs and remarks. A union may begin with a bar and a list may end with a comma. */
function tokens(text: string): string[] {
  const scanner = ts.createScanner(ts.ScriptTarget.Latest, false, ts.LanguageVariant.Standard, text);
  const found: string[] = [];
  for (let kind = scanner.scan(); kind !== ts.SyntaxKind.EndOfFileToken; kind = scanner.scan()) {
    if (kind === ts.SyntaxKind.WhitespaceTrivia || kind === ts.SyntaxKind.NewLineTrivia) continue;
    found.push(
      scanner
        .getTokenText()
        .replace(/\s+/g, " ")
        .replace(/^'(.*)'$/, '"$1"'),
    );
  }
  return found.filter((token, i) => {
    const next = found[i + 1] ?? "";
    if (token === "," || token === ";") return !["]", "}", ")"].includes(next);
    if (token === "|") return !["=", "(", "[", "{", ":", "<", ";"].includes(found[i - 1] ?? "");
    if (token === "(" || token === ")") return false;
    return true;
  });
}

test("four files are generated", () => {
  expect([...fresh.keys()].sort()).toEqual([
    "compiler/checks/registry.ts",
    "compiler/model/format.ts",
    "compiler/model/rule-names.ts",
    "site/src/record/format.ts",
  ]);
});

test.each([
  "compiler/checks/registry.ts",
  "compiler/model/format.ts",
  "compiler/model/rule-names.ts",
  "site/src/record/format.ts",
])("%s is up to date (if not: npm run generate)", (path) => {
  expect(tokens(readFileSync(join(root, path), "utf8"))).toEqual(tokens(fresh.get(path) ?? ""));
});

test("a change of one word would be noticed", () => {
  const [path = "", text = ""] = [...fresh][0] ?? [];
  expect(path).toBe("compiler/model/format.ts");
  expect(tokens(text.replace("serves", "servs"))).not.toEqual(tokens(text));
  expect(tokens(text.replace("export interface Tree", "export interface Trees"))).not.toEqual(tokens(text));
});

describe("the types hold what the schemas hold", () => {
  const folder = mkdtempSync(join(root, "tests", ".types-"));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  /** What the TypeScript compiler has against each of some files that use the generated types. */
  function errorsIn(files: Readonly<Record<string, string>>): Readonly<Record<string, number>> {
    const paths = Object.entries(files).map(([name, text]) => {
      const path = join(folder, `${name}.ts`);
      writeFileSync(path, `import type * as F from "../../compiler/model/format.ts";\n${text}\n`);
      return path;
    });
    const program = ts.createProgram(paths, {
      target: ts.ScriptTarget.ES2023,
      module: ts.ModuleKind.NodeNext,
      moduleResolution: ts.ModuleResolutionKind.NodeNext,
      allowImportingTsExtensions: true,
      noEmit: true,
      strict: true,
      exactOptionalPropertyTypes: true,
      skipLibCheck: true,
      types: [],
    });
    const errors = ts.getPreEmitDiagnostics(program);
    return Object.fromEntries(
      paths.map((path) => [
        basename(path, ".ts"),
        errors.filter(({ file }) => file && basename(file.fileName) === basename(path)).length,
      ]),
    );
  }

  test("right data fits, wrong data does not", () => {
    const head = `format: 1, tree: "t", title: "T", symptom: "s", serves: ["f"], reviewed: {on: "2026-10-02", by: "b"}, start: "a"`;
    const counts = errorsIn({
      right: `export const tree: F.Tree = {${head}, steps: {a: {look: "?", answers: {yes: "b", no: {say: "No", again: {step: "a", "at-most": 1, else: "b"}}}}, b: {stop: "s", kind: "normal"}}};`,
      "lacks-start": `export const tree: F.Tree = {${head.replace(', start: "a"', "")}, steps: {}};`,
      "unknown-word": `export const step: F.Do = {do: "x", then: "y", saftey: []};`,
      "wrong-kind": `export const step: F.Stop = {stop: "x", kind: "handover"};`,
      "wrong-format": `export const tree: F.Tree = {${head.replace("format: 1", "format: 2")}, steps: {}};`,
      "wrong-type": `export const step: F.Do = {do: "x", minutes: "five"};`,
    });
    expect(counts).toEqual({
      right: 0,
      "lacks-start": 1,
      "unknown-word": 1,
      "wrong-kind": 1,
      "wrong-format": 1,
      "wrong-type": 1,
    });
  });
});
