/** Each rule of the fence is shown one deliberately bad import, in a scratch folder laid out like this one. */
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, relative } from "node:path";
import { fileURLToPath } from "node:url";
import { cruise, type ICruiseOptions, type ICruiseResult } from "dependency-cruiser";
import { afterAll, describe, expect, test } from "vitest";

const { default: fence } = (await import(new URL("fence.config.js", import.meta.url).href)) as {
  readonly default: {
    readonly forbidden: readonly { readonly name: string }[];
    readonly options: { readonly tsConfig: object };
  };
};
const root = fileURLToPath(new URL("..", import.meta.url));
const scratch = mkdtempSync(join(tmpdir(), "headwater-fence-"));
afterAll(() => rmSync(scratch, { recursive: true, force: true }));
let count = 0;

/** The rules that an import breaks, in a folder that holds nothing else. */
async function broken(files: Readonly<Record<string, string>>): Promise<string[]> {
  const folder = join(scratch, String(++count));
  for (const [path, text] of Object.entries(files)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  }
  const { tsConfig: _, ...options } = fence.options;
  const { output } = await cruise(["."], {
    ...(options as ICruiseOptions),
    ruleSet: { forbidden: fence.forbidden } as NonNullable<ICruiseOptions["ruleSet"]>,
    validate: true,
    baseDir: folder,
  });
  const { violations } = (output as ICruiseResult).summary;
  return [...new Set(violations.map(({ rule }) => rule.name))].sort();
}
/** One file that imports another. */
function importing(from: string, to: string, statement?: "type"): Promise<string[]> {
  const target = to.includes(":") ? to : `./${relative(dirname(from), to)}`.replace("./..", "..");
  return broken({
    [from]: `${statement === "type" ? "import type { X } from" : "import"} "${target}";\nexport const y = 1;\n`,
    ...(to.includes(":") ? {} : { [to]: "export const x = 1;\nexport type X = 1;\n" }),
  });
}

const bad: [rule: string, from: string, to: string, statement?: "type"][] = [
  ["model-knows-nobody", "compiler/model/tree.ts", "compiler/words/markdown.ts"],
  ["words-know-nobody", "compiler/words/markdown.ts", "compiler/model/tree.ts"],
  ["1-parse-looks-back", "compiler/1-parse/parse.ts", "compiler/2-shape/shape.ts"],
  ["2-shape-looks-back", "compiler/2-shape/shape.ts", "compiler/3-link/world.ts"],
  ["3-link-looks-back", "compiler/3-link/world.ts", "compiler/4-specialise/specialise.ts"],
  ["4-specialise-looks-back", "compiler/4-specialise/specialise.ts", "compiler/5-analyse/facts/reach.ts"],
  ["5-analyse-looks-back", "compiler/5-analyse/analyse.ts", "compiler/checks/registry.ts"],
  ["5-analyse-looks-back", "compiler/5-analyse/analyse.ts", "compiler/6-emit/emit.ts"],
  ["6-emit-looks-back", "compiler/6-emit/emit.ts", "compiler/compile.ts"],
  ["3-link-looks-back", "compiler/3-link/world.ts", "compiler/report/lines.ts"],
  ["3-link-looks-back", "compiler/3-link/world.ts", "schema/step.json"],
  ["checks-stand-alone", "compiler/checks/dead-end.ts", "compiler/checks/range-gap.ts"],
  ["checks-stand-alone", "compiler/checks/dead-end.ts", "compiler/5-analyse/analyse.ts"],
  ["checks-stand-alone", "compiler/checks/dead-end.ts", "compiler/4-specialise/specialise.ts"],
  ["registry-only-lists", "compiler/checks/registry.ts", "compiler/model/tree.ts"],
  ["report-decides-nothing", "compiler/report/terminal.ts", "compiler/5-analyse/analyse.ts", "type"],
  ["report-takes-types-alone-from-the-phases", "compiler/report/terminal.ts", "compiler/compile.ts"],
  ["site-uses-the-front-door", "site/src/base.ts", "compiler/compile.ts"],
  ["site-uses-the-front-door", "site/src/base.ts", "compiler/6-emit/emit.ts", "type"],
  ["site-uses-the-front-door", "site/src/base.ts", "schema/tree.json"],
  ["texts-know-nobody", "site/src/words/en/walk.ts", "compiler/model/compiled.ts"],
  ["texts-come-by-language", "site/src/walk/controls.ts", "site/src/words/en/walk.ts"],
  ["only-the-command-knows-node", "compiler/compile.ts", "node:fs"],
  ["only-the-command-knows-node", "compiler/report/terminal.ts", "node:path"],
  ["nothing-rests-on-tests", "compiler/cli/main.ts", "tests/annotations.ts"],
];

describe("what the fence keeps out", () => {
  test.each(bad)("%s: %s → %s", async (rule, from, to, statement) => {
    expect(await importing(from, to, statement)).toEqual([rule]);
  });
  test("no-cycles, of types alone as well", async () => {
    const cycle = (word: string): Record<string, string> => ({
      "compiler/model/a.ts": `${word} { B } from "./b.ts";\nexport type A = 1;\nexport const a = 1;\n`,
      "compiler/model/b.ts": `import type { A } from "./a.ts";\nexport type B = A;\n`,
    });
    expect(await broken(cycle("import type"))).toEqual(["no-cycles"]);
    expect(await broken(cycle("import"))).toEqual(["no-cycles"]);
  });
  test("nothing-unresolved", async () => {
    expect(await broken({ "compiler/model/a.ts": 'import "./nowhere.ts";\n' })).toEqual(["nothing-unresolved"]);
  });
  test("every rule is shown to bite", () => {
    const shown = new Set([...bad.map(([rule]) => rule), "no-cycles", "nothing-unresolved"]);
    expect([...shown].sort()).toEqual(fence.forbidden.map(({ name }) => name).sort());
  });
});

describe("what the fence lets through", () => {
  test.each<[string, string, "type"?]>([
    ["compiler/3-link/world.ts", "compiler/2-shape/shape.ts"],
    ["compiler/3-link/world.ts", "compiler/3-link/linker.ts"],
    ["compiler/2-shape/validators.ts", "schema/step.json"],
    ["compiler/5-analyse/facts/notes.ts", "compiler/4-specialise/specialise.ts"],
    ["compiler/checks/dead-end.ts", "compiler/5-analyse/facts/ways.ts"],
    ["compiler/checks/dead-end.ts", "compiler/5-analyse/rule.ts"],
    ["compiler/checks/registry.ts", "compiler/checks/dead-end.ts"],
    ["compiler/report/terminal.ts", "compiler/compile.ts", "type"],
    ["compiler/cli/load.ts", "node:fs"],
    ["compiler/generate.ts", "node:fs"],
    ["compiler/cli/main.ts", "compiler/3-link/world.ts"],
    ["site/src/find.ts", "compiler/index.ts"],
    ["site/src/base.ts", "compiler/model/compiled.ts"],
    ["site/build.ts", "node:fs"],
    ["site/src/words/es/walk.ts", "site/src/words/en/walk.ts", "type"],
    ["tests/rules.test.ts", "compiler/5-analyse/facts/reach.ts"],
  ])("%s → %s", async (from, to, statement) => {
    expect(await importing(from, to, statement)).toEqual([]);
  });
});

// The fence can't read Astro's pages, so the same question is put to them here in a simple way.
test("pages, too, use the compiler by its front door", () => {
  const pages = readdirSync(join(root, "site", "src"), { recursive: true, encoding: "utf8" }).filter((path) =>
    path.endsWith(".astro"),
  );
  expect(pages.length).toBeGreaterThan(0);
  for (const page of pages) {
    const text = readFileSync(join(root, "site", "src", page), "utf8");
    for (const [, target = ""] of text.matchAll(/from\s+"([^"]*\/compiler\/[^"]*)"/g))
      expect(target, page).toMatch(/\/compiler\/(index\.ts|model\/[a-z-]+\.ts)$/);
  }
});
