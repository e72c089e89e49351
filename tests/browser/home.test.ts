/** The home page and the page of parts: found by sayings with slips, causes and parts; narrowed by senses, without script too. */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { load } from "js-yaml";
import type { Page } from "playwright-core";
import { describe, expect, test } from "vitest";
import { axeFaults } from "./axe.ts";
import { served } from "./served.ts";

const site = served();
const demo = fileURLToPath(new URL("../../trees/", import.meta.url));

/** The files as they are written, read by another library and by none of our own code. */
const trees: { tree: string; symptom: string; steps: Record<string, { found?: string }> }[] = [];
const routines = new Map<string, unknown>();
const symptoms: Record<string, { title: string; by?: string[] }> = {};
const causes: Record<string, { title: string }> = {};
const parts: Record<string, { title: string }> = {};
for (const name of readdirSync(demo, { recursive: true, encoding: "utf8" })) {
  if (!name.endsWith(".yaml")) continue;
  const data = load(readFileSync(join(demo, name), "utf8")) as Record<string, never>;
  if (data.steps !== undefined && data.tree !== undefined) trees.push(data as unknown as (typeof trees)[number]);
  if (data.routine !== undefined) routines.set(data.routine, data.steps);
  if (!name.startsWith("catalog")) continue;
  Object.assign(symptoms, data.symptoms);
  Object.assign(causes, data.causes);
  Object.assign(parts, data.parts);
}
/** All that stands as parts below a place in a file, and in the routines that it names. */
function partsBelow(value: unknown): string[] {
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, inner]): string[] => {
    if (key === "parts" && Array.isArray(inner)) return inner as string[];
    if ((key === "remedy" || key === "use") && typeof inner === "string") return partsBelow(routines.get(inner));
    return partsBelow(inner);
  });
}
const SENSES = ["sees", "hears", "smells", "tastes", "measures"];

async function foundFor(page: Page, typed: string): Promise<string[]> {
  await page.locator("[data-find]").fill(typed);
  return page
    .locator("[data-results] [data-listed]:visible a")
    .evaluateAll((all) => all.map((one) => one.getAttribute("href")?.replace(/^trees\/|\.html$/g, "") ?? ""));
}
const shown = (page: Page): Promise<string[]> =>
  page
    .locator("[data-symptom]:visible")
    .evaluateAll((all) => all.map((one) => one.getAttribute("data-symptom") ?? "").sort());

test("what customers say finds its tree among the first three, with slips and in any order", async () => {
  const { context, page, faults } = await site.open();
  await page.goto(`${site.address}index.html`);
  for (const [typed, wanted] of [
    ["softner eats a bag of salt evry week", "too-much-salt"],
    ["shower only dribles", "low-flow"],
    ["stinks of roten egs", "sulphur-smell"],
    ["orange toliet bowl", "iron-staining"],
    ["tap kitchen beads", "media-in-fixtures"],
    ["pipes hamer at nihgt", "noise-in-cycle"],
    ["the screan is blakc", "dead-display"],
    ["purpel light beeps", "uv-alarm"],
    ["blond hair turnd green", "blue-green-stains"],
    ["puddel under the softener", "floor-leak"],
    ["cofee tastes slaty", "salty-taste"],
    ["presure like a yoyo", "pressure-swings"],
    ["bactera in our wel", "coliform-positive"],
    ["ice cubs cloudy", "ro-taste"],
    ["no watter at all", "no-water-well"],
    // Beginnings of words.
    ["milk wat", "cloudy-water"],
  ] as const) {
    const symptomOf = new Map(trees.map(({ tree, symptom }) => [tree, symptom]));
    const first = (await foundFor(page, typed)).slice(0, 3).map((tree) => symptomOf.get(tree));
    expect(first, typed).toContain(wanted);
  }
  expect(faults).toEqual([]);
  await context.close();
});

test("every cause that a tree names and every part of its remedies finds that tree", async () => {
  const { context, page } = await site.open();
  await page.goto(`${site.address}index.html`);
  const ofCauses = new Map<string, Set<string>>();
  const ofParts = new Map<string, Set<string>>();
  const note = (map: Map<string, Set<string>>, key: string | undefined, tree: string) =>
    key !== undefined && map.set(key, (map.get(key) ?? new Set()).add(tree));
  for (const { tree, steps } of trees)
    for (const step of Object.values(steps)) {
      const { found } = step;
      if (found === undefined) continue;
      note(ofCauses, causes[found]?.title, tree);
      for (const part of partsBelow(step)) note(ofParts, parts[part]?.title, tree);
    }
  expect(ofCauses.size).toBeGreaterThan(100);
  expect(ofParts.size).toBeGreaterThan(20);
  for (const [title, wanted] of [...ofCauses, ...ofParts]) {
    const found = await foundFor(page, title);
    expect(
      [...wanted].filter((tree) => !found.includes(tree)),
      title,
    ).toEqual([]);
  }
  await context.close();
});

test("a result says the phrase, the cause or the part that it was found by, where its title does not", async () => {
  const { context, page } = await site.open();
  await page.goto(`${site.address}index.html`);
  const why = page.locator("[data-results] [data-listed]").first().locator("[data-why]");
  await foundFor(page, "fish eggs shower");
  expect(await why.textContent()).toBe("They say: There are little balls like fish eggs in the shower head.");
  await foundFor(page, "permeate chek valve");
  expect(await why.getAttribute("data-why")).toMatch(/^(causes|parts)$/);
  expect(await why.textContent()).toMatch(/check valve/i);
  await foundFor(page, "salt tank is full of water");
  expect(await why.count()).toBe(0);
  await context.close();
});

test("the page of parts lists, for each found step of the files, the part, the tree and the cause", async () => {
  const { context, page } = await site.open({ javaScriptEnabled: false });
  await page.goto(`${site.address}index.html`);
  await page.getByRole("link", { name: "I only know the part" }).click();
  let checked = 0;
  for (const { tree, steps } of trees)
    for (const step of Object.values(steps)) {
      const { found } = step;
      for (const part of found === undefined ? [] : partsBelow(step)) {
        const use = page.locator(`#part_${part} [data-tree="${tree}"]`);
        expect(await use.locator("a").getAttribute("href"), `${part} in ${tree}`).toBe(`trees/${tree}.html`);
        expect(await use.textContent(), `${part} in ${tree}`).toContain(causes[found ?? ""]?.title);
        checked++;
      }
    }
  expect(checked).toBeGreaterThan(30);
  // Opened by the keyboard, without script.
  const part = page.locator("details.part").first();
  expect(await part.locator("a").first().isVisible()).toBe(false);
  await part.locator("summary").focus();
  await page.keyboard.press("Enter");
  expect(await part.locator("a").first().isVisible()).toBe(true);
  await context.close();
});

describe.each([true, false])("with script: %s", (javaScriptEnabled) => {
  test("the list narrows to what one sees, hears, smells, tastes, measures, by keyboard", async () => {
    const { context, page, faults } = await site.open({ javaScriptEnabled });
    await page.goto(`${site.address}index.html`);
    expect(await shown(page)).toEqual(Object.keys(symptoms).sort());
    await page.locator("#sense_all").focus();
    for (const sense of SENSES) {
      await page.keyboard.press("ArrowRight");
      const wanted = Object.entries(symptoms).filter(([, { by }]) => by?.includes(sense));
      expect(wanted.length, sense).toBeGreaterThan(0);
      expect(await shown(page), sense).toEqual(wanted.map(([id]) => id).sort());
      // No area is left with a heading and nothing below it.
      expect(await page.locator(".area:visible:not(:has([data-symptom]:not([data-by=''])))").count()).toBe(0);
      for (const area of await page.locator(".area:visible").all())
        expect(await area.locator("[data-symptom]:visible").count(), sense).toBeGreaterThan(0);
      if (javaScriptEnabled)
        expect(await page.locator("[data-found-count]").textContent()).toMatch(
          new RegExp(`^${wanted.length} trees? listed$`),
        );
    }
    expect(faults).toEqual([]);
    await context.close();
  });
});

test("each symptom stands once, with a link to each of its trees", async () => {
  const { context, page } = await site.open({ javaScriptEnabled: false });
  await page.goto(`${site.address}index.html`);
  for (const { tree, symptom } of trees)
    expect(await page.locator(`[data-symptom="${symptom}"] a[href="trees/${tree}.html"]`).count(), tree).toBe(1);
  const titles = await page.locator("[data-symptom] h3").allTextContents();
  expect(titles.sort()).toEqual(
    Object.values(symptoms)
      .map(({ title }) => title)
      .sort(),
  );
  for (const link of await page.locator(".areas a").all())
    expect(await page.locator((await link.getAttribute("href")) ?? "").count()).toBe(1);
  await context.close();
});

test.each(["light", "dark"] as const)(
  "axe finds nothing in results, a narrowed list and open parts, %s",
  async (colorScheme) => {
    const { context, page } = await site.open({ colorScheme });
    await page.goto(`${site.address}index.html`);
    await foundFor(page, "permeate check valve");
    expect(await axeFaults(page)).toEqual([]);
    await foundFor(page, "");
    await page.locator("#sense_hears").check();
    await page.locator("[data-symptom]:visible summary").first().click();
    expect(await axeFaults(page)).toEqual([]);
    for (const target of await page.locator(":is(.chips label, .symptoms .go, .areas a, .says summary):visible").all())
      expect((await target.boundingBox())?.height).toBeGreaterThanOrEqual(48);
    await page.goto(`${site.address}parts.html`);
    await page.locator("details.part summary").first().click();
    expect(await axeFaults(page)).toEqual([]);
    await context.close();
  },
);
