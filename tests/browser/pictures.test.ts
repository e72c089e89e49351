/** Pictures in a real browser: they load, follow the reader's scheme, print on white, and cost nothing before their step. */
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { expect, inject, test } from "vitest";
import { endings } from "./histories.ts";
import { served } from "./served.ts";
import { give, planOf } from "./walking.ts";

const site = served();
const root = inject("site");
const names = readdirSync(join(root, "pictures")).sort();
const TREE = "trees/hard-water.html";

test("every picture is one that the browser can draw, in its own size", async () => {
  const { context, page, faults } = await site.open();
  await page.goto(`${site.address}index.html`);
  const sizes = await page.evaluate(
    (addresses) =>
      Promise.all(
        addresses.map(async (address) => {
          const image = new Image();
          image.src = address;
          await image.decode().catch(() => undefined);
          return `${image.naturalWidth} x ${image.naturalHeight}`;
        }),
      ),
    names.map((name) => `${site.address}pictures/${name}`),
  );
  expect(names.length).toBeGreaterThanOrEqual(40);
  expect(new Set(sizes)).toEqual(new Set(["320 x 200"]));
  expect(faults).toEqual([]);
  await context.close();
});

test.each([
  ["light", "screen", true],
  ["dark", "screen", false],
  ["dark", "print", true],
] as const)("a picture in the page follows the reader: %s, %s", async (colorScheme, media, isBright) => {
  // Without script the whole procedure is there, pictures included.
  const { context, page, faults } = await site.open({ colorScheme, javaScriptEnabled: false });
  await page.goto(site.address + TREE);
  await page.emulateMedia({ media, colorScheme });
  const picture = page.locator("img.picture").first();
  await picture.scrollIntoViewIfNeeded();
  await expect.poll(() => picture.evaluate((image: HTMLImageElement) => image.complete)).toBe(true);
  const box = await picture.boundingBox();
  expect(box?.width).toBeGreaterThan(250);
  expect((box?.x ?? 0) + (box?.width ?? 999)).toBeLessThanOrEqual(360);
  expect((box?.width ?? 0) / (box?.height ?? 1)).toBeCloseTo(1.6, 1);
  // The corner of every drawing is its paper. The pixels are read from what was really painted.
  const shot = `data:image/png;base64,${(await picture.screenshot()).toString("base64")}`;
  const reader = await site.open();
  const corner = await reader.page.evaluate(async (source) => {
    const image = new Image();
    image.src = source;
    await image.decode();
    const canvas = document.createElement("canvas");
    const pen = canvas.getContext("2d");
    pen?.drawImage(image, 0, 0);
    return [...(pen?.getImageData(4, 4, 1, 1).data ?? [])].slice(0, 3);
  }, shot);
  expect(corner).toEqual(isBright ? [255, 255, 255] : [16, 23, 22]);
  expect([...faults, ...reader.faults]).toEqual([]);
  await reader.context.close();
  await context.close();
});

test("the walk loads a picture when its step is shown, and not before", async () => {
  const { context, page, faults } = await site.open();
  const asked: string[] = [];
  page.on("request", (request) => {
    if (request.url().includes("/pictures/")) asked.push(request.url());
  });
  await page.goto(site.address + TREE);
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  await page.waitForLoadState("networkidle");
  expect(await page.locator("img.picture").count()).toBeGreaterThan(10);
  expect(asked).toEqual([]);
  const { history } = endings(await planOf(page)).reduce((a, b) => (b.history.length > a.history.length ? b : a));
  const shown = page.locator("section.step[data-step]:visible img.picture");
  for (const entry of history) {
    await give(page, entry);
    if ((await shown.count()) > 0) break;
  }
  await shown.scrollIntoViewIfNeeded();
  await expect.poll(() => shown.evaluate((image: HTMLImageElement) => image.naturalWidth)).toBe(320);
  expect(new Set(asked)).toEqual(new Set([await shown.evaluate((image: HTMLImageElement) => image.src)]));
  expect(faults).toEqual([]);
  await context.close();
});

test("read from a disk, pictures are there too", async () => {
  const { context, page } = await site.open({ javaScriptEnabled: false });
  await page.goto(pathToFileURL(join(root, TREE)).href);
  const picture = page.locator("img.picture").last();
  await picture.scrollIntoViewIfNeeded();
  await expect.poll(() => picture.evaluate((image: HTMLImageElement) => image.naturalWidth)).toBe(320);
  await context.close();
});
