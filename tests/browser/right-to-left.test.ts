/**
 * A base in a language that is written from right to left: its pages run that way, borders and indents with them. There
 * is no catalogue for it, so the interface is English.
 */
import { readdirSync } from "node:fs";
import { expect, test } from "vitest";
import { axeFaults } from "./axe.ts";
import { endings } from "./histories.ts";
import { scratch } from "./scratch.ts";
import { served } from "./served.ts";
import { give, planOf } from "./walking.ts";

const own = scratch(
  "formula-base.yaml",
  (text) =>
    `${text}\n--- # headwater.yaml\nformat: 1\nbase: example\ntitle: Example base\nowner: A co-operative\nlanguage: he\nnotice: Local codes come first.\nareas: {softeners: Softeners}\n`,
);
const site = served(() => own.folder);

test("pages are marked as running from right to left, and none is wider than the screen", async () => {
  const { context, page, faults } = await site.open();
  const pages = readdirSync(own.folder, { recursive: true, encoding: "utf8" }).filter((name) => name.endsWith(".html"));
  expect(pages.length).toBeGreaterThan(8);
  for (const name of pages) {
    await page.goto(site.address + name.replaceAll("\\", "/"));
    expect(await page.evaluate(() => [document.documentElement.lang, document.documentElement.dir])).toEqual([
      "he",
      "rtl",
    ]);
    for (const width of [360, 1280]) {
      await page.setViewportSize({ width, height: 740 });
      // What lies beyond the left edge could be scrolled to; beyond the right one nothing can be in this direction.
      const beyond = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect(beyond, `${name} at ${width} px`).toBeLessThanOrEqual(0);
    }
  }
  expect(faults).toEqual([]);
  await context.close();
});

test("borders and columns of a walk stand at the right, and axe finds no fault", async () => {
  const { context, page, faults } = await site.open({ colorScheme: "dark", reducedMotion: "reduce" });
  const [tree] = own.base.trees;
  await page.goto(`${site.address}trees/${tree?.id}.html`);
  const plan = await planOf(page);
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  const { history } = endings(plan).reduce((best, one) => (one.history.length > best.history.length ? one : best));
  const [equipment, first] = history;
  if (equipment === undefined || first?.readings === undefined) throw new Error("the tree begins with no measurement");
  await give(page, equipment);
  for (const [id, value] of Object.entries(first.readings))
    await page.locator(`[data-controls] input[data-input="${id}"]`).fill(String(value));
  await page.locator("[data-gauge]").waitFor();
  const { bar, mark, bands, width } = await page.evaluate(() => {
    const box = (selector: string) => (document.querySelector(selector) as Element).getBoundingClientRect();
    const { borderLeftWidth, borderRightWidth } = getComputedStyle(document.querySelector("output.value") as Element);
    return {
      bar: [borderLeftWidth, borderRightWidth],
      mark: box(".mark").right,
      bands: box(".bands").right,
      width: document.documentElement.clientWidth,
    };
  });
  expect(bar).toEqual(["0px", "8px"]);
  expect(mark).toBeCloseTo(bands, 0);
  expect(bands).toBeGreaterThan(width / 2);
  expect(await axeFaults(page)).toEqual([]);
  expect(faults).toEqual([]);
  await context.close();
});
