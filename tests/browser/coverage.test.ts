/** The trainer's pages: the board against a count of its own from the files, the sheets of symptoms, paper, keyboard. */
import { copyFileSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { load } from "js-yaml";
import type { Page } from "playwright-core";
import { describe, expect, inject, test } from "vitest";
import { inFrame, largeBoard } from "../bench/board.ts";
import { axeFaults } from "./axe.ts";
import { served } from "./served.ts";

const site = served();
const demo = fileURLToPath(new URL("../../trees/", import.meta.url));

/** The files as they are written, read by another library and by none of our own code. */
interface Written {
  readonly symptoms: Record<string, { title: string; area: string; "seen-on"?: string[] | Record<string, unknown> }>;
  readonly causes: Record<string, { symptoms: string[] }>;
  readonly equipment: Record<string, { area: string; facts: Record<string, unknown> }>;
  readonly trees: {
    tree: string;
    symptom: string;
    serves: string[];
    causes: Record<string, { likelihood: number; "only-for"?: string[] | Record<string, unknown> }>;
    steps: Record<string, { found?: string }>;
  }[];
}
const written: Written = { symptoms: {}, causes: {}, equipment: {}, trees: [] };
for (const name of readdirSync(demo, { recursive: true, encoding: "utf8" })) {
  if (!name.endsWith(".yaml") || name.startsWith("cases")) continue;
  const data = load(readFileSync(join(demo, name), "utf8")) as Partial<Written> & { tree?: string };
  if (data.tree !== undefined) written.trees.push(data as unknown as Written["trees"][number]);
  else if (name.startsWith("catalog"))
    for (const section of ["symptoms", "causes", "equipment"] as const)
      Object.assign(written[section], data[section] ?? {});
}
function isFor(condition: string[] | Record<string, unknown> | undefined, family: string): boolean {
  if (condition === undefined) return true;
  if (Array.isArray(condition)) return condition.includes(family);
  const facts: Record<string, unknown> = written.equipment[family]?.facts ?? {};
  return Object.entries(condition).every(([fact, value]) => [value].flat().includes(facts[fact] as never));
}
/** The demo has no error, so each cause of a table is found on every way; only causes that no tree names are missing. */
function standing(symptom: string, family: string): string {
  const { area, "seen-on": seenOn } = written.symptoms[symptom] ?? { area: "" };
  const all = written.trees.filter((tree) => tree.symptom === symptom);
  const serving = all.filter(({ serves }) => serves.includes(family));
  if (serving.length === 0) {
    const applies = seenOn === undefined ? written.equipment[family]?.area === area : isFor(seenOn, family);
    return applies ? "not" : "does not apply";
  }
  const named = new Set(
    all.flatMap(({ causes, steps }) => [
      ...Object.keys(causes ?? {}),
      ...Object.values(steps).flatMap(({ found }) => found ?? []),
    ]),
  );
  const listed = Object.entries(written.causes).filter(([, { symptoms }]) => symptoms.includes(symptom));
  return listed.every(([id]) => named.has(id)) ? "covered" : "partly";
}

/** Cells as a reader meets them: by the address each leads to, its words. */
async function cells(page: Page): Promise<Map<string, string>> {
  const all = await page
    .locator(".matrix td")
    .evaluateAll((cells_) =>
      cells_
        .filter((cell) => (cell as HTMLElement).checkVisibility())
        .map((cell) => [
          cell.querySelector("a")?.getAttribute("href") ?? "",
          (cell.querySelector(".unseen") ?? cell).textContent ?? "",
        ]),
    );
  return new Map(all as [string, string][]);
}
const lines = (csv: string): string[][] =>
  csv
    .replace(/^\ufeff/, "")
    .split("\r\n")
    .slice(0, -1)
    .map((line) =>
      [...line.matchAll(/("([^"]|"")*"|[^,]*)(,|$)/g)]
        .slice(0, -1)
        .map(([, cell = ""]) => cell.replace(/^"|"$/g, "").replaceAll('""', '"')),
    );

describe("the board", () => {
  test("is linked from the home page, and whole without script; each cell is as counted from the files", async () => {
    const { context, page, faults } = await site.open({
      javaScriptEnabled: false,
      viewport: { width: 1280, height: 800 },
    });
    await page.goto(`${site.address}index.html`);
    await page.locator('.foot a[href="coverage.html"]').click();
    expect(await page.locator(".sift").isVisible()).toBe(false);
    const shown = await cells(page);
    const counts = { covered: 0, partly: 0, not: 0, "does not apply": 0 } as Record<string, number>;
    for (const symptom of Object.keys(written.symptoms))
      for (const family of Object.keys(written.equipment)) {
        const stands = standing(symptom, family);
        counts[stands] = (counts[stands] ?? 0) + 1;
        // A family to which nothing in the area applies has no column there.
        const said = shown.get(`symptoms/${symptom}.html#on-${family}`) ?? "does not apply";
        expect(said, `${symptom} on ${family}`).toBe(stands);
      }
    const { covered = 0, partly = 0, not = 0, "does not apply": apart = 0 } = counts;
    expect(await page.locator(".title").textContent()).toContain(
      `${covered} of ${covered + partly + not} pairs of symptom and equipment, ${partly} partly, ${not} not; ${apart} do not apply`,
    );
    expect(covered).toBeGreaterThan(0);
    expect(not).toBeGreaterThan(0);
    expect(faults).toEqual([]);
    await context.close();
  });

  test("each cause of each table is there with its likelihood, for the equipment that can have it", async () => {
    const { context, page } = await site.open();
    await page.goto(`${site.address}coverage.html`);
    for (const { tree, causes, serves } of written.trees) {
      const rows = await page
        .locator(`tbody:has(> .tree-head a[href="trees/${tree}.html"]) > tr:not(.tree-head)`)
        .evaluateAll((all) =>
          all.map((row) => ({
            to: row.querySelector("a")?.getAttribute("href") ?? "",
            likelihood: row.children[2]?.textContent ?? "",
            found: row.children[3]?.textContent ?? "",
            families: ((row as HTMLElement).dataset.f ?? "").split(" ").length,
          })),
        );
      for (const [cause, { likelihood, "only-for": only }] of Object.entries(causes)) {
        const own = rows.filter(({ to }) => to.endsWith(`#cause-${tree}-${cause}`));
        const having = serves.filter((family) => isFor(only, family)).length;
        expect(
          own.reduce((sum, { families }) => sum + families, 0),
          `${tree} ${cause}`,
        ).toBe(having);
        for (const row of own) expect(row).toMatchObject({ likelihood: String(likelihood), found: "always" });
      }
    }
    await context.close();
  });

  test("shows a part by area, equipment and symptom, and all again", async () => {
    const { context, page, faults } = await site.open({ viewport: { width: 1280, height: 800 } });
    await page.goto(`${site.address}coverage.html`);
    const all = await cells(page);
    const done = () => page.locator("form[data-sift]:not([data-sifting])").waitFor();
    const family = "timer-piston-softener";
    await page.selectOption('[data-sift-by="family"]', family);
    await done();
    const met = Object.keys(written.symptoms).filter((symptom) => standing(symptom, family) !== "does not apply");
    expect([...(await cells(page)).keys()].sort()).toEqual(
      met.map((symptom) => `symptoms/${symptom}.html#on-${family}`).sort(),
    );
    const covered = met.filter((symptom) => standing(symptom, family) === "covered").length;
    await expect
      .poll(() => page.locator("[data-sift-count]").textContent())
      .toContain(`${covered} of ${met.length} pairs covered`);
    const trees = await page
      .locator(".tree-head:visible a")
      .evaluateAll((links) => links.map((link) => link.getAttribute("href")));
    expect(trees.sort()).toEqual(
      written.trees
        .filter(({ serves }) => serves.includes(family))
        .map(({ tree }) => `trees/${tree}.html`)
        .sort(),
    );
    await page.selectOption('[data-sift-by="area"]', "wells");
    await done();
    expect((await cells(page)).size).toBe(met.filter((symptom) => written.symptoms[symptom]?.area === "wells").length);
    await page.locator("form[data-sift] [type=reset]").click();
    await expect.poll(async () => (await cells(page)).size).toBe(all.size);
    await page.selectOption('[data-sift-by="symptom"]', "hard-water");
    await done();
    expect(new Set([...(await cells(page)).keys()].map((to) => to.split("#")[0]))).toEqual(
      new Set(["symptoms/hard-water.html"]),
    );
    expect(faults).toEqual([]);
    await context.close();
  });

  test("the file equals the table; from a disk, what is shown is saved in the same words", async () => {
    const root = inject("site");
    const [head, ...rows] = lines(readFileSync(join(root, "coverage.csv"), "utf8"));
    expect(head).toEqual(["area", "symptom", "equipment", "coverage", "symptom id", "equipment id"]);
    expect(rows.length).toBe(Object.keys(written.symptoms).length * Object.keys(written.equipment).length);
    for (const [, , , stands, symptom = "", family = ""] of rows)
      expect(stands, `${symptom} on ${family}`).toBe(standing(symptom, family));
    const { context, page } = await site.open({ acceptDownloads: true });
    await page.goto(pathToFileURL(join(root, "coverage.html")).href);
    const saved = async (part: string): Promise<string> => {
      const [download] = await Promise.all([
        page.waitForEvent("download"),
        page.locator(`button[data-save="${part}"]`).click(),
      ]);
      return readFileSync(await download.path(), "utf8");
    };
    expect(await saved("matrix")).toBe(readFileSync(join(root, "coverage.csv"), "utf8"));
    expect(await saved("trees")).toBe(readFileSync(join(root, "coverage-causes.csv"), "utf8"));
    await page.selectOption('[data-sift-by="symptom"]', "uv-alarm");
    await page.locator("form[data-sift]:not([data-sifting])").waitFor();
    expect(lines(await saved("matrix")).slice(1)).toEqual(rows.filter(([, , , , symptom]) => symptom === "uv-alarm"));
    await context.close();
  });

  test("prints across the sheet on A4 and Letter, without anything cut off", async () => {
    for (const [format, width, sheet] of [
      ["A4", 1032, /842[.\d]* 59[56][.\d]*\]/],
      ["Letter", 965, /792 612\]/],
    ] as const) {
      const { context, page } = await site.open({ viewport: { width, height: 700 } });
      await page.goto(`${site.address}coverage.html`);
      await page.emulateMedia({ media: "print" });
      const wide = await page.evaluate(
        () =>
          [document.documentElement, ...document.querySelectorAll(".scroll")].filter(
            (box) => box.scrollWidth > box.clientWidth + 1,
          ).length,
      );
      expect(wide, format).toBe(0);
      const pdf = (await page.pdf({ format })).toString("latin1");
      for (const [box] of pdf.matchAll(/\/MediaBox ?\[[^\]]*\]/g)) expect(box).toMatch(sheet);
      await context.close();
    }
  });
});

test("a large board is put together piece by piece, and is whole without script too", async () => {
  const root = inject("site");
  const html = largeBoard(150);
  expect(html, "large enough to need it").toContain("<noscript data-later>");
  const folder = mkdtempSync(join(tmpdir(), "headwater-board-"));
  for (const name of ["style.css", "coverage.css", "board.js"]) copyFileSync(join(root, name), join(folder, name));
  writeFileSync(join(folder, "coverage.html"), inFrame(html, root));
  for (const javaScriptEnabled of [true, false]) {
    const { context, page } = await site.open({ javaScriptEnabled });
    await page.goto(pathToFileURL(join(folder, "coverage.html")).href);
    // 150 symptoms, each with a cell for all 12 families; 150 trees with the four causes of their tables.
    if (javaScriptEnabled) await expect.poll(() => page.locator("noscript").count(), { timeout: 60_000 }).toBe(0);
    expect(await page.locator(".matrix td").count()).toBe(150 * 12);
    expect(await page.locator(".by-tree .tree-head").count()).toBe(150);
    expect(await page.locator('.by-tree tr:not(.tree-head) a[href*="#cause-tree-"]').count()).toBeGreaterThanOrEqual(
      600,
    );
    await context.close();
  }
  rmSync(folder, { recursive: true });
});

describe("the sheet of a symptom", () => {
  test.each(written.trees.map(({ tree }) => tree))(
    "of %s: all its causes, what each shows in words, the way to each",
    async (id) => {
      const tree = written.trees.find((one) => one.tree === id);
      if (!tree) throw new Error("no such tree");
      const { context, page } = await site.open({ javaScriptEnabled: false });
      await page.goto(`${site.address}symptoms/${tree.symptom}.html`);
      expect(await page.locator(`a[href="../trees/${id}.html"]`).count()).toBeGreaterThan(0);
      expect(await page.locator(`a[href="../proofs/${id}.html"]`).count()).toBe(1);
      const total = Object.values(tree.causes).reduce((sum, { likelihood }) => sum + likelihood, 0);
      for (const [cause, { likelihood }] of Object.entries(tree.causes)) {
        const row = page.locator(`#cause-${id}-${cause}`);
        expect(await row.locator("td").first().textContent()).toBe(`${likelihood} of ${total}`);
        expect(await row.locator(".way li").count()).toBeGreaterThan(1);
      }
      expect(await page.locator(`#causes-of-${id} > tbody > tr`).count()).toBe(Object.keys(tree.causes).length);
      const ids = await page
        .locator(".handout :is(th, td)")
        .evaluateAll((all) => all.map((cell) => cell.textContent ?? "").filter((text) => /--\d|__/.test(text)));
      expect(ids, "titles, not ids").toEqual([]);
      await context.close();
    },
  );
});

const pages = ["coverage.html", "symptoms/hard-water.html", "symptoms/no-regeneration.html"];
test.each([360, 1280])("axe finds nothing at %i px", async (width) => {
  const { context, page, faults } = await site.open({ viewport: { width, height: 800 } });
  for (const name of pages) {
    await page.goto(site.address + name);
    expect(await axeFaults(page), name).toEqual([]);
  }
  await page.goto(`${site.address}coverage.html`);
  await page.selectOption('[data-sift-by="family"]', "tank-ro");
  await page.locator("form[data-sift]:not([data-sifting])").waitFor();
  expect(await axeFaults(page), "a part of it").toEqual([]);
  expect(faults).toEqual([]);
  await context.close();
});

test("at 320 px the page stays, and a table is moved within its box by the keyboard", async () => {
  const { context, page } = await site.open({ viewport: { width: 320, height: 640 } });
  for (const name of pages) {
    await page.goto(site.address + name);
    const beyond = await page.evaluate(
      () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
    );
    expect(beyond, name).toBeLessThanOrEqual(0);
    const box = page.locator(".scroll").first();
    await box.scrollIntoViewIfNeeded();
    await box.focus();
    expect(await box.evaluate((one) => one === document.activeElement && one.scrollWidth > one.clientWidth), name).toBe(
      true,
    );
    await page.keyboard.press("ArrowRight");
    await expect.poll(() => box.evaluate((one) => one.scrollLeft), { message: name }).toBeGreaterThan(0);
  }
  await context.close();
});
