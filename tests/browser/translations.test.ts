/** The site of a further language: a whole one of its own below the main one's, in that language alone. */
import { readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, inject, test } from "vitest";
import { parse } from "yaml";
import { evenly } from "../evenly.ts";
import { axeFaults } from "./axe.ts";
import { endings } from "./histories.ts";
import { served } from "./served.ts";
import { give, placeOf, planOf } from "./walking.ts";

const site = served();
const folder = inject("site");
const filesBelow = (root: string): string[] =>
  readdirSync(root, { recursive: true, encoding: "utf8" })
    .map((name) => name.replaceAll("\\", "/"))
    .filter((name) => statSync(join(root, name)).isFile())
    .sort();

/** As the author wrote them, read by the YAML library alone. */
const source = new URL("../../trees/translations/es/", import.meta.url);
const sources = readdirSync(source).flatMap((name) => {
  const { texts } = parse(readFileSync(new URL(name, source), "utf8")) as { texts: Record<string, string> };
  return Object.keys(texts);
});

describe("the Spanish site", () => {
  test("has the pages of the tree that is offered, and of what it uses", () => {
    const pages = filesBelow(join(folder, "es")).filter((name) => name.endsWith(".html"));
    expect(pages.filter((name) => name.includes("/"))).toEqual([
      "about/signs.html",
      "charts/uv-alarm.html",
      "formulas/shock-dose.html",
      "paper/uv-alarm.html",
      "proofs/uv-alarm.html",
      "symptoms/uv-alarm.html",
      "trees/uv-alarm.html",
    ]);
  });

  test("shows none of the source texts, on no page", async () => {
    const { context, page } = await site.open({ javaScriptEnabled: false });
    // Short ones are words that the pages themselves use: Done, Months.
    const sentences = sources.filter((text) => text.length > 14);
    expect(sentences.length).toBeGreaterThan(350);
    for (const name of filesBelow(join(folder, "es")).filter((one) => one.endsWith(".html"))) {
      await page.goto(`${site.address}es/${name}`);
      expect(await page.locator("html").getAttribute("lang"), name).toBe("es");
      const text = ((await page.locator("body").textContent()) ?? "").replace(/\s+/g, " ");
      expect(
        sentences.filter((sentence) => text.includes(sentence)),
        name,
      ).toEqual([]);
    }
    await page.goto(`${site.address}trees/uv-alarm.html`);
    const english = ((await page.locator("body").textContent()) ?? "").replace(/\s+/g, " ");
    // The same search finds them where they stand.
    expect(sentences.filter((sentence) => english.includes(sentence)).length).toBeGreaterThan(200);
    await context.close();
  });

  test("is walked to its ends", async () => {
    const { context, page, faults } = await site.open();
    const address = `${site.address}es/trees/uv-alarm.html`;
    await page.goto(address);
    const ends = evenly(endings(await planOf(page)), 3);
    expect(ends.length).toBe(3);
    for (const { name, history } of ends) {
      await page.goto("about:blank");
      await page.goto(address);
      await page.locator('guided-walk[data-mode="start"]').waitFor();
      for (const entry of history) await give(page, entry);
      expect(await placeOf(page)).toBe(name.startsWith("done behind") ? "=done" : name);
      await page.locator("guided-walk[data-ended]").waitFor();
    }
    expect(faults).toEqual([]);
    await context.close();
  });

  test("a visit there is not one of the English site, nor the other way round", async () => {
    const { context, page, faults } = await site.open();
    for (const prefix of ["es/", ""]) {
      await page.goto(`${site.address}${prefix}trees/uv-alarm.html`);
      const [end] = endings(await planOf(page));
      for (const entry of end?.history.slice(0, 3) ?? []) await give(page, entry);
    }
    for (const [prefix, title] of [
      ["es/", "La unidad ultravioleta está en alarma"],
      ["", "The ultraviolet unit is in alarm"],
    ]) {
      await page.goto(`${site.address}${prefix}index.html`);
      const visits = page.locator("kept-visits details[data-visit]");
      await visits.first().waitFor();
      expect(await visits.count()).toBe(1);
      expect(await visits.first().textContent()).toContain(title);
    }
    expect(faults).toEqual([]);
    await context.close();
  });

  test("links each page to the same one in the other language, and back; what isn't there, to its home", async () => {
    const { context, page, faults } = await site.open();
    const link = page.locator("header a[hreflang]");
    const pages = filesBelow(join(folder, "es")).filter((name) => name.endsWith(".html"));
    for (const name of pages) {
      await page.goto(`${site.address}es/${name}`);
      expect(await link.textContent()).toBe("English");
      expect(await link.getAttribute("lang")).toBe("en");
      await link.click();
      expect(page.url()).toBe(`${site.address}${name}`);
      expect(await link.textContent()).toBe("Español");
      expect([await link.getAttribute("lang"), await link.getAttribute("hreflang")]).toEqual(["es", "es"]);
      await link.click();
      expect(page.url()).toBe(`${site.address}es/${name}`);
    }
    const others = filesBelow(folder).filter((name) => name.endsWith(".html") && !name.startsWith("es/"));
    for (const name of evenly(
      others.filter((one) => !pages.includes(one)),
      6,
    )) {
      await page.goto(site.address + name);
      await link.click();
      expect(page.url(), name).toBe(`${site.address}es/index.html`);
    }
    expect(faults).toEqual([]);
    await context.close();
  }, 600_000);

  test.each([
    [{ width: 360, height: 740 }, "light"],
    [{ width: 1280, height: 800 }, "dark"],
  ] as const)(
    "has no fault that axe finds at %o, %s; the link is large enough to be touched",
    async (viewport, colorScheme) => {
      const { context, page } = await site.open({ viewport, colorScheme });
      for (const name of ["es/index.html", "es/trees/uv-alarm.html", "trees/uv-alarm.html"]) {
        await page.goto(site.address + name);
        expect(await axeFaults(page), name).toEqual([]);
        const box = await page.locator("header a[hreflang]").boundingBox();
        // WCAG 2.2, 2.5.5 (target size, enhanced).
        expect(Math.min(box?.width ?? 0, box?.height ?? 0)).toBeGreaterThanOrEqual(44);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
        expect(wide, name).toBeLessThanOrEqual(0);
      }
      await context.close();
    },
  );
});

describe("without a network", () => {
  test("each site stores its own files and none of the other's", async () => {
    const { context, page } = await site.open({ serviceWorkers: "allow" });
    const stored = async (): Promise<Record<string, string[]>> =>
      page.evaluate(async () => {
        const found: Record<string, string[]> = {};
        for (const name of await caches.keys()) {
          const keys = await (await caches.open(name)).keys();
          found[name] = keys.map(({ url }) => new URL(url).pathname).sort();
        }
        return found;
      });
    const below = new URL(site.address).pathname;
    const wanted = (root: string, prefix: string, isOwn: (name: string) => boolean): string[] =>
      filesBelow(root)
        .filter((name) => isOwn(name) && !["sw.js", "headwater-site.json"].includes(name))
        .map((name) => below + prefix + encodeURI(name))
        .sort();
    await page.goto(`${site.address}es/trees/uv-alarm.html`);
    await page.locator('[data-stored="complete"]').waitFor({ timeout: 60_000 });
    const spanish = wanted(join(folder, "es"), "es/", () => true);
    expect(Object.values(await stored())).toEqual([spanish]);
    await page.goto(`${site.address}index.html`);
    await page.locator('[data-stored="complete"]').waitFor({ timeout: 120_000 });
    const english = wanted(folder, "", (name) => !name.startsWith("es/"));
    expect(Object.values(await stored()).sort((a, b) => a.length - b.length)).toEqual([spanish, english]);
    // Both are there at once, and each answers for its own pages.
    await context.setOffline(true);
    for (const name of ["es/trees/uv-alarm.html", "trees/ro-slow.html", "es/index.html"]) {
      const response = await page.goto(site.address + name);
      expect(response?.fromServiceWorker(), name).toBe(true);
      expect(await page.locator("html").getAttribute("lang")).toBe(name.startsWith("es/") ? "es" : "en");
    }
    await context.close();
  }, 300_000);
});
