/** The command as a user meets it: its own process, real folders, exit statuses. */
import { spawn } from "node:child_process";
import {
  cpSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  statSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { stripVTControlCharacters } from "node:util";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { explainRule } from "../compiler/cli/explain.ts";
import { loadBase } from "../compiler/cli/load.ts";
import { splitExample } from "../compiler/examples.ts";
import { type Board, type CompiledProof, check, type JsonReport, rules } from "../compiler/index.ts";
import { DAY, exampleBase } from "./annotations.ts";

const root = fileURLToPath(new URL("..", import.meta.url));
const command = join(root, "compiler", "cli", "headwater.js");
const scratch = mkdtempSync(join(tmpdir(), "headwater-test-"));
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

interface Ran {
  readonly status: number | null;
  readonly out: string;
  readonly err: string;
}
function run(
  words: readonly string[],
  { cwd = scratch, env = {} }: { cwd?: string; env?: NodeJS.ProcessEnv } = {},
): Promise<Ran> {
  const child = spawn(process.execPath, [command, ...words], {
    cwd,
    env: { ...process.env, NO_COLOR: "1", FORCE_COLOR: undefined, ...env },
    stdio: ["ignore", "pipe", "pipe"],
  });
  let out = "";
  let err = "";
  child.stdout.setEncoding("utf8").on("data", (text: string) => {
    out += text;
  });
  child.stderr.setEncoding("utf8").on("data", (text: string) => {
    err += text;
  });
  return new Promise((done, fail) => {
    child.on("error", fail);
    child.on("close", (status) => done({ status, out, err }));
  });
}
const stackLine = /^\s+at .+[:(]/m;

/** The example base in a folder of its own; a file given as undefined is taken away. */
let count = 0;
function makeBase(files: Readonly<Record<string, string | Uint8Array | undefined>> = {}): string {
  const folder = join(scratch, `base-${++count}`);
  const all = { ...Object.fromEntries(splitExample(exampleBase).map(({ path, text }) => [path, text])), ...files };
  for (const [path, content] of Object.entries(all)) {
    if (content === undefined) continue;
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), content);
  }
  return folder;
}
async function report(folder: string): Promise<JsonReport> {
  return JSON.parse((await run(["check", folder, "--json"])).out) as JsonReport;
}

describe("a sound base", () => {
  test("the demo base of this repository, which is the default, from its folder", async () => {
    const { status, out, err } = await run(["check"], { cwd: root });
    expect({ status, err }).toEqual({ status: 0, err: "" });
    // Counted by hand: every file in a folder of the base that is no catalog, routine, case or translation is a tree.
    const files = readdirSync(join(root, "trees"), { recursive: true, encoding: "utf8" });
    const trees = files.filter((file) => /^(?!catalog|routines|cases|translations).+[\\/].+\.yaml$/.test(file)).length;
    expect(trees).toBeGreaterThan(2);
    expect(out).toMatch(new RegExp(`in \\d+ files \\(${trees} trees, \\d+ routines\\)`));
    expect(out).not.toMatch(/error\[/);
  });
  test("the demo base has nothing to complain of, warnings included", () => {
    expect(check(loadBase(join(root, "trees")), { today: DAY }).complaints).toEqual([]);
  });
  test("a base outside the repository, from another folder, by a relative path", async () => {
    const folder = makeBase();
    expect(await run(["check", folder.slice(scratch.length + 1)])).toMatchObject({ status: 0, err: "" });
    expect(await run(["check", "."], { cwd: folder })).toMatchObject({ status: 0, err: "" });
    expect(await run(["check"], { cwd: scratch })).toMatchObject({ status: 2 });
  });
  test("warnings alone don't change the exit status", async () => {
    const folder = makeBase({ "catalog/more.yaml": "format: 1\ntools: {mop: {title: Mop}}\n" });
    const { status, out } = await run(["check", folder]);
    expect(status).toBe(0);
    expect(out).toContain("warning[unused-entry] no tree uses the tool `mop`");
  });
  test("several threads say what one says", async () => {
    const tree = splitExample(exampleBase).find(({ path }) => path === "softeners/hard-water.yaml")?.text ?? "";
    const more = Array.from({ length: 12 }, (_, i) => [
      `softeners/tree-${i}.yaml`,
      tree
        .replace("tree: hard-water", `tree: tree-${i}`)
        .replace("then: lift-head", i % 3 ? "then: lift-hed" : "then: call"),
    ]);
    const folder = makeBase(Object.fromEntries(more));
    const [one, three] = await Promise.all([
      run(["check", folder, "--workers", "1"]),
      run(["check", folder, "--workers", "3"]),
    ]);
    expect(one.status).toBe(1);
    expect(three).toEqual(one);
  });
});

describe("a faulty base", () => {
  const faulty = {
    "routines/back-to-service.yaml": "format: 1\nroutine: back-to-service\ntitle: Back\nremark: none\n",
  };
  test("is complained of, with places that begin with the folder as it was given", async () => {
    const folder = makeBase(faulty);
    const name = folder.slice(scratch.length + 1);
    for (const given of [name, `${name}/`]) {
      const { status, out, err } = await run(["check", given]);
      expect({ status, err }).toEqual({ status: 1, err: "" });
      expect(out).toContain(`  ${name}/routines/back-to-service.yaml:1:1\n`);
      expect(out).toMatch(/^2 errors in 8 files/m);
    }
    expect((await run(["check", "."], { cwd: folder })).out).toContain("  routines/back-to-service.yaml:1:1\n");
  });
  test("as JSON", async () => {
    const folder = makeBase(faulty);
    const { status, out, err } = await run(["check", folder, "--json"]);
    expect({ status, err }).toEqual({ status: 1, err: "" });
    const { format, counts, complaints } = JSON.parse(out) as JsonReport;
    expect(format).toBe(1);
    expect(counts.errors).toBe(2);
    expect(complaints[0]).toMatchObject({
      rule: "invalid-shape",
      at: { file: "routines/back-to-service.yaml", line: 1, column: 1, start: 0, end: 9 },
    });
  });
  test("in colour where the terminal wants it", async () => {
    const folder = makeBase(faulty);
    const colored = await run(["check", folder], { env: { NO_COLOR: undefined, FORCE_COLOR: "1" } });
    expect(colored.out).toContain("\u001b[31merror[invalid-shape]\u001b[0m");
    const plain = await run(["check", folder]);
    // Every meaning is in the words: without its colours, the text is the same.
    expect(stripVTControlCharacters(colored.out)).toBe(plain.out);
  });
  test("for a reader who stops reading", async () => {
    const step = (i: number): string => `  step-${i}: {do: Wait, than: done}\n`;
    const folder = makeBase({
      "routines/long.yaml": `format: 1\nroutine: long\ntitle: Long\nreviewed: {on: 2026-10-02, by: us}\nstart: step-0\nsteps:\n${Array.from({ length: 4000 }, (_, i) => step(i)).join("")}`,
    });
    const child = spawn(process.execPath, [command, "check", folder], { stdio: ["ignore", "pipe", "pipe"] });
    let err = "";
    child.stderr.setEncoding("utf8").on("data", (text: string) => {
      err += text;
    });
    child.stdout.once("data", () => child.stdout.destroy());
    const status = await new Promise((done) => child.on("close", done));
    expect({ status, err }).toEqual({ status: 1, err: "" });
  });
});

describe("wrong usage: exit status 2, and what to do about it", () => {
  const folder = makeBase();
  test.each<[string, readonly string[], string]>([
    ["a misspelt command", ["chek"], "(Did you mean check?)"],
    ["a misspelt option", ["check", "--jsn"], "(Did you mean --json?)"],
    ["a misspelt rule", ["explain", "missing-safty-note"], "missing-safety-note may be meant"],
    ["a rule like no other", ["explain", "zzz"], "`headwater explain` lists them"],
    ["a folder that is not there", ["check", "nowhere"], "there is no folder nowhere"],
    ["a file for a folder", ["check", join(folder, "headwater.yaml")], "is a file; give the folder"],
    ["too many words", ["check", folder, "more"], "too many arguments"],
    ["no command", [], "Usage: headwater"],
    ["build without a place to put it", ["build", folder], "--out <dir>"],
    ["build over the base", ["build", folder, "--out", folder], "can't be put over the knowledge base"],
    [
      "build over a folder that holds the base",
      ["build", folder, "--out", scratch],
      "can't be put over the knowledge base",
    ],
    ["build over something else", ["build", folder, "--out", join(root, "schema")], "holds something else than a site"],
    ["build over a file", ["build", folder, "--out", join(root, "package.json")], "is a file; give a folder"],
    ["build below a file", ["build", folder, "--out", join(root, "package.json", "site")], "can't be made"],
    ["no number of threads", ["check", folder, "--workers", "0"], "give a number from 1 to 99"],
    ["a share that is none", ["cover", folder, "--at-least", "most"], "give a per cent from 0 to 100"],
    ["more than all", ["cover", folder, "--at-least", "101"], "give a per cent from 0 to 100"],
    ["no port", ["serve", folder, "--port", "70000"], "give a number from 0 to 65535"],
  ])("%s", async (_, words, hint) => {
    const { status, err } = await run(words);
    expect(status).toBe(2);
    expect(err).toContain(hint);
    expect(err).not.toMatch(stackLine);
  });
  test("help is no wrong usage", async () => {
    const { status, out, err } = await run(["--help"]);
    expect({ status, err }).toEqual({ status: 0, err: "" });
    for (const word of ["check", "build", "serve", "cover", "explain"])
      expect(out).toMatch(new RegExp(`^  ${word} `, "m"));
  });
});

describe("our own failure: exit status 3", () => {
  // A program that breaks under the command's feet stands for a bug of ours.
  const broken = {
    NODE_OPTIONS: "--import=data:text/javascript,globalThis.Date=function(){throw(new(Error)('out-of-order'))}",
  };
  test("is owned up to, without a stack trace", async () => {
    const { status, err } = await run(["check", makeBase(), "--json"], { env: broken });
    expect(status).toBe(3);
    expect(err).toContain("out-of-order");
    expect(err).toContain("a fault of headwater itself, not of your files");
    expect(err).not.toMatch(stackLine);
  });
  test("shows the trace to whoever asks for it", async () => {
    const { status, err } = await run(["check", makeBase(), "--json"], { env: { ...broken, HEADWATER_DEBUG: "1" } });
    expect(status).toBe(3);
    expect(err).toMatch(stackLine);
  });
});

describe("explain", () => {
  test("without a name lists every rule with its summary", async () => {
    const { status, out } = await run(["explain"]);
    expect(status).toBe(0);
    for (const { name } of rules) expect(out).toMatch(new RegExp(`^  ${name} +(error|warning|advice) +\\S`, "m"));
    for (const { summary } of rules) expect(out).toContain(summary);
  });
  test("with a name explains that rule", async () => {
    const { status, out, err } = await run(["explain", "dead-end"]);
    expect({ status, err }).toEqual({ status: 0, err: "" });
    expect(out).toBe(explainRule("dead-end", false));
  });
  test.each(rules.map((rule) => ({ ...rule })))("$name: why, both examples, and the complaint", (rule) => {
    const { name, severity, summary, why } = rule;
    const out = explainRule(name, false);
    for (const part of [summary, `Why: ${why}`, "Complained of:", "Not complained of:"]) expect(out).toContain(part);
    const complaint = out.indexOf(`  ${severity}[${name}] `);
    expect(complaint).toBeGreaterThan(out.indexOf("Complained of:"));
    expect(complaint).toBeLessThan(out.indexOf("Not complained of:"));
  });
});

describe("prove", () => {
  test("reports why a tree is safe, as text and as data", async () => {
    const folder = makeBase();
    const { status, out, err } = await run(["prove", "hard-water", folder]);
    expect({ status, err }).toEqual({ status: 0, err: "" });
    expect(out).toMatch(/^Safety proof of hard-water\n/);
    const proofs = JSON.parse((await run(["prove", "hard-water", folder, "--json"])).out) as CompiledProof[];
    expect(proofs.flatMap(({ families }) => families).sort()).toEqual([
      "dial-softener",
      "display-softener",
      "twin-softener",
    ]);
  });
  test("proves nothing while there are errors", async () => {
    const folder = makeBase({ "routines/back-to-service.yaml": "format: 1\nroutine: back-to-service\ntitle: Back\n" });
    const { status, out } = await run(["prove", "hard-water", folder]);
    expect(status).toBe(1);
    expect(out).toMatch(/\nnothing is proven while there are errors\n$/);
  });
  test("offers the nearest tree for one that isn't there", async () => {
    const { status, err } = await run(["prove", "hard-watr", makeBase()]);
    expect(status).toBe(2);
    expect(err).toContain("hard-water may be meant");
  });
});

describe("cover", () => {
  // Two causes that the table tells apart by one look of 4 minutes; a third that the catalog lists. Worked out by hand:
  // `lever` (30 of 40) and `screen` (10 of 40) are both named after the look.
  const catalog = `format: 1
symptoms:
  weak: {title: Weak flow, says: [it dribbles], area: softeners, seen-on: [dial-softener, twin-softener]}
causes:
  lever: {title: The lever is turned, what: Somebody turned it, symptoms: [weak]}
  screen: {title: The screen is full, what: Sand fills it, symptoms: [weak]}
  pipe: {title: The pipe is crushed, what: Something stands on it, symptoms: [weak]}
`;
  const weak = (table: string): string => `format: 1
tree: weak
title: Weak flow
symptom: weak
serves: [dial-softener]
reviewed: {on: 2026-10-02, by: us}
start: lever-look
${table}
steps:
  lever-look:
    look: Where does the lever point?
    minutes: 4
    answers: {across: the-lever, along: the-screen}
  the-lever: {found: lever, remedy: [Turn it], prove: {look: Does it run?, fixed: done, not-fixed: call}}
  the-screen: {found: screen, remedy: [Rinse it], prove: {look: Does it run?, fixed: done, not-fixed: call}}
  call: {stop: Call the senior technician, kind: hand-over, call: senior-technician}
`;
  const table = `causes:
  lever: {likelihood: 30, shows: {lever-look: across}}
  screen: {likelihood: 10, shows: {lever-look: along}}`;
  const base = (own: string): string => makeBase({ "catalog/weak.yaml": catalog, "softeners/weak.yaml": weak(own) });
  const cover = async (folder: string, ...more: string[]) => {
    const ran = await run(["cover", folder, "--json", ...more]);
    return { ...ran, board: JSON.parse(ran.out) as Board };
  };

  test("says of each pair whether it is covered, and why not", async () => {
    const { status, err, board } = await cover(base(table));
    expect({ status, err }).toEqual({ status: 0, err: "" });
    expect(board.cells.filter(({ symptom }) => symptom === "weak")).toEqual([
      {
        symptom: "weak",
        family: "dial-softener",
        verdict: "partly",
        trees: ["weak"],
        reasons: [{ kind: "never-concluded", cause: "pipe" }],
      },
      { symptom: "weak", family: "twin-softener", verdict: "not", trees: [], reasons: [{ kind: "no-tree" }] },
    ]);
    expect(board.neverConcluded).toContainEqual({ symptom: "weak", cause: "pipe" });
    const [group] = board.trees.find(({ tree }) => tree === "weak")?.groups ?? [];
    expect(group).toMatchObject({ meanMinutes: 4, worstMinutes: 4, alike: [] });
    expect(group?.causes.map(({ cause, share, verdict }) => [cause, share, verdict])).toEqual([
      ["lever", 0.75, "covered"],
      ["screen", 0.25, "covered"],
    ]);
    const { covered, partly, not, "not-applicable": apart } = board.counts;
    expect(covered + partly + not).toBe(board.cells.length);
    expect(board.share).toBe(covered / board.cells.length);
    expect(apart).toBeGreaterThan(0);
  });
  test("the table on the terminal says the same", async () => {
    const { status, out, err } = await run(["cover", base(table)]);
    expect({ status, err }).toEqual({ status: 0, err: "" });
    expect(out).toContain("weak on dial-softener, partly: no tree names pipe\n");
    expect(out).toContain("weak on twin-softener, not: no tree\n");
    expect(out).toContain("  weak\n    2 causes, mean 4.0, worst 4 minutes\n");
    // The base's own tree serves all three families, and has no table of causes.
    expect(out).toMatch(/^0 % covered: 0 of 5 pairs of symptom and equipment, 4 partly, 1 not; 1 don't apply$/m);
  });
  test("a cause that the tree misses is counted, though it is an error", async () => {
    const misled = table.replace("lever-look: along", "lever-look: [across, along]");
    const { status, board } = await cover(base(misled));
    expect(status).toBe(0);
    expect(board.cells.find(({ symptom, family }) => symptom === "weak" && family === "dial-softener")).toMatchObject({
      verdict: "partly",
      reasons: [
        { kind: "sometimes", tree: "weak", cause: "screen" },
        { kind: "never-concluded", cause: "pipe" },
      ],
    });
  });
  test("a tree without a table of causes is not taken for covered", async () => {
    const { board } = await cover(base(""));
    expect(board.cells.find(({ symptom, family }) => symptom === "weak" && family === "dial-softener")).toMatchObject({
      verdict: "partly",
      reasons: [
        { kind: "no-causes", tree: "weak" },
        { kind: "never-concluded", cause: "pipe" },
      ],
    });
  });
  test("ends with status 1 below what is asked for, and counts nothing while there are other errors", async () => {
    const folder = base(table);
    const enough = await run(["cover", folder, "--at-least", "0"]);
    expect({ status: enough.status, err: enough.err }).toEqual({ status: 0, err: "" });
    const below = await run(["cover", folder, "--at-least", "100"]);
    expect(below.status).toBe(1);
    expect(below.err).toMatch(/^headwater: [\d.]+ % is less than the 100 % asked for\n$/);
    const faulty = await run(["cover", base(table.replace("lever-look: across", "lever-lok: across"))]);
    expect(faulty.status).toBe(1);
    expect(faulty.out).toContain("error[unknown-reference]");
    expect(faulty.out).toMatch(/\nnothing is counted while there are such errors\n$/);
  });
  test("a misspelt family under `seen-on` is pointed at", async () => {
    const folder = makeBase({ "catalog/weak.yaml": catalog.replace("twin-softener", "twin-softner") });
    expect((await report(folder)).complaints).toContainEqual(
      expect.objectContaining({ rule: "unknown-reference", hint: "`twin-softener` may be meant" }),
    );
  });
});

describe("bad input: a complaint at its line, exit status 1, never a stack trace", () => {
  const routine = "routines/back-to-service.yaml";
  const head = "format: 1\nroutine: back-to-service\ntitle: Back\nreviewed: {on: 2026-10-02, by: us}\n";
  const manifest = splitExample(exampleBase).find(({ path }) => path === "headwater.yaml")?.text ?? "";
  const bomb = [..."abcdefghijklmnop"]
    .map(
      (name, i, all) =>
        `${name}: &${name} [${Array(9)
          .fill(i === 0 ? "x" : `*${all[i - 1]}`)
          .join(", ")}]`,
    )
    .join("\n");
  test.each<[string, Readonly<Record<string, string | Uint8Array | undefined>>, string, string]>([
    [
      "an empty folder",
      Object.fromEntries(splitExample(exampleBase).map(({ path }) => [path, undefined])),
      "headwater.yaml:1",
      "invalid-shape",
    ],
    ["a missing manifest", { "headwater.yaml": undefined }, "headwater.yaml:1", "invalid-shape"],
    [
      "a missing routine",
      { "routines/bypass-test.yaml": undefined },
      "softeners/hard-water.yaml:10",
      "unknown-reference",
    ],
    ["an empty file", { [routine]: "" }, `${routine}:1`, "invalid-yaml"],
    ["an empty manifest", { "headwater.yaml": "" }, "headwater.yaml:1", "invalid-yaml"],
    ["a tab", { [routine]: `${head}steps:\n\t- Turn the handles\n` }, `${routine}:6`, "invalid-yaml"],
    [
      "a key twice",
      { [routine]: `${head}steps: [Turn the handles]\ntitle: Once more\n` },
      `${routine}:6`,
      "duplicate-id",
    ],
    ["an unknown key", { [routine]: `${head}stps: [Turn the handles]\n` }, `${routine}:5`, "invalid-shape"],
    ["an alias bomb", { [routine]: `${bomb}\n` }, `${routine}:6`, "unsafe-input"],
    [
      "20 MB",
      { [routine]: `${head}steps:\n${"  - Turn the handles along the pipe\n".repeat(600_000)}` },
      `${routine}:1`,
      "unsafe-input",
    ],
    [
      "bytes that are no UTF-8",
      { [routine]: Buffer.concat([Buffer.from(`${head}steps: [T`), Buffer.from([0xfc]), Buffer.from("rn]\n")]) },
      `${routine}:5`,
      "invalid-yaml",
    ],
    ["UTF-16", { [routine]: Buffer.from(`\ufeff${head}`, "utf16le") }, `${routine}:1`, "invalid-yaml"],
    [
      "a zip archive by the name of a tree",
      { "softeners/zip.yaml": Buffer.from([0x50, 0x4b, 3, 4, 0, 0, 0, 0xff, 0xfe]) },
      "softeners/zip.yaml:1",
      "invalid-yaml",
    ],
    ["raw HTML", { [routine]: `${head}steps: [Turn the <b>handles</b>]\n` }, `${routine}:5`, "unsafe-input"],
    [
      "a script in a link",
      { [routine]: `${head}steps: ["[Turn](javascript:alert(1))"]\n` },
      `${routine}:5`,
      "unsafe-input",
    ],
    [
      "a picture out of the base",
      { [routine]: `${head}steps:\n  - do: Turn\n    picture: {file: ../../secret.svg, alt: A secret}\n` },
      `${routine}:7`,
      "unsafe-input",
    ],
    [
      "a script in a drawing",
      { "pictures/valve.svg": '<svg xmlns="http://www.w3.org/2000/svg">\n<script>alert(1)</script></svg>\n' },
      "pictures/valve.svg:2",
      "unsafe-input",
    ],
    [
      "two trees with one id",
      { "softeners/twice.yaml": splitExample(exampleBase).at(-1)?.text },
      "softeners/twice.yaml:2",
      "duplicate-id",
    ],
    ["a list nested without end", { [routine]: `${head}steps: ${"[".repeat(5000)}\n` }, `${routine}:5`, "unsafe-input"],
    [
      "a list nested deep",
      { [routine]: `${head}steps: ${"[".repeat(900)}x${"]".repeat(900)}\n` },
      `${routine}:5`,
      "unsafe-input",
    ],
    ["nothing but a word", { "headwater.yaml": manifest.slice(0, 5) }, "headwater.yaml:1", "invalid-shape"],
  ])("%s", async (_, files, place, rule) => {
    const folder = makeBase(files);
    mkdirSync(folder, { recursive: true });
    const { status, out, err } = await run(["check", folder]);
    expect({ status, err }).toEqual({ status: 1, err: "" });
    expect(out).toContain(`error[${rule}] `);
    expect(out).toContain(`${folder}/${place}`);
    expect(out).not.toMatch(stackLine);
    // Whatever came in, what goes out can't steer a terminal.
    expect(out.replaceAll("\n", "")).not.toMatch(/\p{Cc}/u);
  });

  test("the nearest word is offered for an unknown key", async () => {
    const { complaints } = await report(makeBase({ [routine]: `${head}stps: [Turn the handles]\n` }));
    expect(complaints[0]).toMatchObject({
      message: "`stps` is not a word that this file knows",
      hint: "`steps` may be meant",
    });
  });
  test("a link that leads nowhere", async () => {
    const folder = makeBase();
    symlinkSync(join(folder, "gone.yaml"), join(folder, "softeners", "link.yaml"));
    const { complaints } = await report(folder);
    expect(complaints).toMatchObject([{ rule: "invalid-yaml", at: { file: "softeners/link.yaml", line: 1 } }]);
  });
  test("what is not part of a base is passed over", async () => {
    const folder = makeBase({
      "README.md": "# Notes",
      ".drafts/tree.yaml": "nothing yet",
      "node_modules/some/file.yaml": "x: [",
      "pictures/notes.yaml": "x: [",
      "pictures/page.html": "<script>alert(1)</script>",
    });
    expect((await report(folder)).counts).toMatchObject({ files: 8, errors: 0 });
  });
});

describe("build", () => {
  const contents = (folder: string): Record<string, string> =>
    Object.fromEntries(
      readdirSync(folder, { recursive: true, encoding: "utf8" })
        .filter((path) => statSync(join(folder, path)).isFile())
        .sort()
        .map((path) => [path, readFileSync(join(folder, path)).toString("base64")]),
    );
  const base = join(scratch, "own-base");
  const site = join(scratch, "own-site");
  let built: Ran;
  beforeAll(async () => {
    cpSync(join(root, "trees"), base, { recursive: true });
    writeFileSync(join(base, "pictures", "page.html"), "<script>alert(1)</script>");
    built = await run(["build", "own-base", "--out", "own-site"]);
  });

  test("puts a site into a new folder", () => {
    expect(built).toMatchObject({ status: 0, err: "" });
    expect(built.out).toContain(`the site is in ${site}`);
    const names = Object.keys(contents(site));
    expect(names).toEqual(
      expect.arrayContaining(["index.html", "trees/water-runs-to-drain.html", "pictures/drain-air-gap.svg"]),
    );
    expect(names).not.toContain("pictures/page.html");
  });
  test("leaves the site as it was while the base is broken, and nothing else behind", async () => {
    const before = contents(site);
    const beside = readdirSync(scratch).sort();
    writeFileSync(join(base, "softeners", "broken.yaml"), "format: 1\ntree: broken\n");
    const { status, out, err } = await run(["build", "own-base", "--out", "own-site"]);
    expect({ status, err }).toEqual({ status: 1, err: "" });
    expect(out).toContain("nothing was built; own-site is as it was");
    expect(contents(site)).toEqual(before);
    expect(readdirSync(scratch).sort()).toEqual(beside);
    rmSync(join(base, "softeners", "broken.yaml"));
  });
  test("leaves the site as it was when the building itself fails", async () => {
    const before = contents(site);
    const beside = readdirSync(scratch).sort();
    // The site's own process takes no `--import` of ours, so the pages can't be made.
    const { status, err } = await run(["build", "own-base", "--out", "own-site"], {
      env: { NODE_OPTIONS: "--import=data:text/javascript,if(process.argv[1].endsWith('build.ts'))process.exit(7)" },
    });
    expect(status).toBe(3);
    expect(err).toContain("the site could not be built");
    expect(contents(site)).toEqual(before);
    expect(readdirSync(scratch).sort()).toEqual(beside);
  });
  test("replaces a site that it built itself", async () => {
    writeFileSync(join(site, "old.html"), "an old page");
    const { status } = await run(["build", "own-base", "--out", "own-site"]);
    expect(status).toBe(0);
    expect(Object.keys(contents(site))).not.toContain("old.html");
  });
});
