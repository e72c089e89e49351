/** Every page of the demo: valid HTML, no fault that axe finds, no sideways scrolling, nothing from elsewhere. */
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { HtmlValidate } from "html-validate";
import { describe, expect, inject, test } from "vitest";
import { evenly } from "../evenly.ts";
import { axeFaults } from "./axe.ts";
import { endings } from "./histories.ts";
import { served } from "./served.ts";
import { give, planOf } from "./walking.ts";

const site = served();
const root = inject("site");
const pages = readdirSync(root, { recursive: true, encoding: "utf8" })
  .filter((name) => name.endsWith(".html"))
  .map((name) => name.replaceAll("\\", "/"))
  .sort();

test.each(pages)("%s is valid HTML", async (name) => {
  const validator = new HtmlValidate({ extends: ["html-validate:recommended"] });
  const report = await validator.validateFile(join(root, name));
  const faults = report.results.flatMap(({ messages }) =>
    messages.map(({ ruleId, message, line, column }) => `${line}:${column} ${ruleId} ${message}`),
  );
  expect(faults).toEqual([]);
});

/** The largest page of each folder, and every page that stands by itself: each kind of page there is. */
const kinds = [
  ...pages
    .filter((name) => name.includes("/"))
    .reduce((largest, name) => {
      const folder = name.split("/", 1)[0] ?? "";
      const other = largest.get(folder);
      if (other === undefined || sizeOf(name) > sizeOf(other)) largest.set(folder, name);
      return largest;
    }, new Map<string, string>())
    .values(),
  ...pages.filter((name) => !name.includes("/")),
];
function sizeOf(name: string): number {
  return statSync(join(root, name)).size;
}

const views = [
  ["360 px, light", { width: 360, height: 740 }, "light"],
  ["360 px, dark", { width: 360, height: 740 }, "dark"],
  ["1280 px, light", { width: 1280, height: 800 }, "light"],
  ["1280 px, dark", { width: 1280, height: 800 }, "dark"],
] as const;

/** Of the others, an even part, each in one of the views in turn. */
const others = evenly(
  pages.filter((name) => !kinds.includes(name)),
  16,
);

describe.each(views)("at %s", (name, viewport, colorScheme) => {
  const turn = views.findIndex(([other]) => other === name);
  const here = [...kinds, ...others.filter((_, i) => i % views.length === turn)];
  test.each(here)("%s has no fault that axe finds, as it opens", async (name) => {
    const { context, page, faults } = await site.open({ viewport, colorScheme, reducedMotion: "reduce" });
    await page.goto(site.address + name);
    if (name.startsWith("trees/")) await page.locator('guided-walk[data-mode="start"]').waitFor();
    expect(await axeFaults(page)).toEqual([]);
    expect(faults).toEqual([]);
    await context.close();
  });

  test("nor has the walk at any kind of step, nor the whole procedure", async () => {
    const { context, page, faults } = await site.open({ viewport, colorScheme, reducedMotion: "reduce" });
    await page.goto(`${site.address}trees/water-runs-to-drain.html`);
    const plan = await planOf(page);
    const { history } = endings(plan).reduce((a, b) => (b.history.length > a.history.length ? b : a));
    await page.locator('guided-walk[data-mode="start"]').waitFor();
    // axe takes seconds on a long page, so each kind of step is looked at once, with a caution and without.
    const looked = new Set<string>();
    for (const entry of history) {
      await give(page, entry);
      const step = page.locator("section.step[data-step]:visible").first();
      const kind = `${await step.getAttribute("data-kind")} ${await step.locator(".safety").count()}`;
      if (!looked.has(kind)) expect(await axeFaults(page), `behind ${entry.step}`).toEqual([]);
      looked.add(kind);
      const overflow = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect(overflow, `sideways scrolling behind ${entry.step}`).toBeLessThanOrEqual(0);
    }
    expect(looked.size).toBeGreaterThanOrEqual(4);
    await page.locator('[data-act="all"]').first().click();
    await page.locator('guided-walk[data-mode="all"]').waitFor();
    expect(await axeFaults(page)).toEqual([]);
    expect(faults).toEqual([]);
    await context.close();
  });
});

test("no page scrolls sideways at 320, 360, 768 or 1280 px", async () => {
  const { context, page } = await site.open();
  for (const name of pages) {
    await page.goto(site.address + name);
    for (const width of [320, 360, 768, 1280]) {
      await page.setViewportSize({ width, height: 800 });
      const overflow = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect(overflow, `${name} at ${width} px`).toBeLessThanOrEqual(0);
    }
  }
  await context.close();
});

test("with text at 200 % no kind of page scrolls sideways, and a step fits too", async () => {
  const { context, page } = await site.open();
  const overflow = async () => {
    await page.evaluate(() => document.documentElement.style.setProperty("font-size", "200%"));
    return page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  };
  for (const name of kinds) {
    await page.goto(site.address + name);
    expect(await overflow(), name).toBeLessThanOrEqual(0);
  }
  await page.goto(`${site.address}trees/water-runs-to-drain.html`);
  const { history } = endings(await planOf(page)).reduce((a, b) => (b.history.length > a.history.length ? b : a));
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  for (const entry of history) {
    await give(page, entry);
    expect(await overflow(), `behind ${entry.step}`).toBeLessThanOrEqual(0);
  }
  await context.close();
});

/* What counts as steady: a cumulative layout shift of at most 0.1, by the Core Web Vitals (web.dev/articles/cls). A slow
   processor shows the page for a while before its scripts are done and its type is read. */
test.each([360, 1280])("nothing moves under the eye while a page opens on a slow device, %i px wide", async (width) => {
  const { context, page } = await site.open({ viewport: { width, height: 800 } });
  const devtools = await context.newCDPSession(page);
  await devtools.send("Emulation.setCPUThrottlingRate", { rate: 4 });
  await page.addInitScript(() => {
    Object.assign(window, { shift: 0 });
    new PerformanceObserver((list) => {
      for (const entry of list.getEntries() as (PerformanceEntry & { value: number })[])
        Object.assign(window, { shift: (window as unknown as { shift: number }).shift + entry.value });
    }).observe({ type: "layout-shift", buffered: true });
  });
  for (const name of kinds) {
    await page.goto(site.address + name);
    await page.evaluate(() => document.fonts.ready);
    // The walk begins when it has looked for visits; a frame is drawn behind that.
    if (name.includes("trees/")) await page.locator("guided-walk[data-mode]").waitFor();
    await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => setTimeout(drawn, 100))));
    expect(await page.evaluate(() => (window as unknown as { shift: number }).shift), name).toBeLessThan(0.1);
  }
  await context.close();
});

test("the style sheet names no side of the page as left or right: what begins a line depends on the language", () => {
  const sided =
    /(?:^|[;{])((?:margin|padding|border)-(?:left|right)[^:;{}]*|left|right|float|text-align:(?:left|right))/g;
  const sheets = readdirSync(root).filter((name) => name.endsWith(".css"));
  expect(sheets.length).toBeGreaterThan(0);
  for (const name of sheets)
    expect([...readFileSync(join(root, name), "utf8").matchAll(sided)].map(([, said]) => said)).toEqual([]);
});

test("where a link leads, its number stands apart from its title", async () => {
  const { context, page } = await site.open({ javaScriptEnabled: false });
  for (const name of ["trees/water-runs-to-drain.html", "paper/water-runs-to-drain.html"]) {
    await page.goto(site.address + name);
    const texts = await page.locator(".step a.go:has(b:first-child)").allInnerTexts();
    expect(texts.length).toBeGreaterThan(20);
    for (const text of texts) expect(text).toMatch(/^\S+ \S/);
  }
  await context.close();
});

test("every link inside the site leads to a page and a place that are there", async () => {
  const { context, page } = await site.open({ javaScriptEnabled: false });
  const ids = new Map<string, Set<string>>();
  const links: { from: string; to: string }[] = [];
  for (const name of pages) {
    await page.goto(site.address + name);
    ids.set(name, new Set(await page.locator("[id]").evaluateAll((all) => all.map(({ id }) => id))));
    const hrefs = await page
      .locator("a[href]")
      .evaluateAll((all) => all.map((a) => new URL(a.getAttribute("href") ?? "", document.baseURI).href));
    for (const to of hrefs) links.push({ from: name, to });
  }
  const broken = links.filter(({ to }) => {
    if (/^(mailto|tel):/.test(to)) return false;
    if (!to.startsWith(site.address)) return true;
    const { pathname, hash } = new URL(to);
    const target = decodeURIComponent(pathname.slice(new URL(site.address).pathname.length)) || "index.html";
    // A table to save is a file beside the pages.
    if (target.endsWith(".csv")) return !existsSync(join(root, target));
    const known = ids.get(target);
    return !known || (hash.length > 1 && !known.has(decodeURIComponent(hash.slice(1))));
  });
  expect(broken).toEqual([]);
  await context.close();
});

test("the symptom is found by what the customer says, misspelt too", async () => {
  const { context, page, faults } = await site.open();
  await page.goto(`${site.address}index.html`);
  const input = page.locator('input[type="search"]');
  const shown = (): Promise<string[]> =>
    page.locator('main a[href^="trees/"]:visible').evaluateAll((all) => all.map((a) => a.getAttribute("href") ?? ""));
  const all = await shown();
  expect(all.length).toBeGreaterThanOrEqual(3);
  for (const [typed, wanted] of [
    ["never stops drainng", "trees/water-runs-to-drain.html"],
    ["pump cliking on off", "trees/pump-cycles-short.html"],
    ["gurgeling under the sink", "trees/ro-runs-to-drain.html"],
  ] as const) {
    await input.fill(typed);
    await expect.poll(async () => (await shown())[0], { message: typed }).toBe(wanted);
  }
  await input.fill("");
  await expect.poll(async () => (await shown()).length).toBe(all.length);
  expect(faults).toEqual([]);
  await context.close();
});

test("read from a disk, the pages are whole and can be followed", async () => {
  const { context, page, faults } = await site.open();
  await page.goto(pathToFileURL(join(root, "trees/ro-runs-to-drain.html")).href);
  expect(await page.locator("h1").textContent()).toBeTruthy();
  expect(await page.evaluate(() => document.styleSheets[0]?.href?.startsWith("file:"))).toBe(true);
  expect(await page.evaluate(() => getComputedStyle(document.querySelector(".skip") as Element).position)).toBe(
    "absolute",
  );
  await page.locator('[data-act="begin"]').first().waitFor();
  expect(faults.filter((fault) => !fault.includes("file:"))).toEqual([]);
  await context.close();
});

test("safety messages carry their word, and a notice has no alert triangle", async () => {
  const { context, page } = await site.open();
  for (const name of pages.filter((one) => one.startsWith("trees/"))) {
    await page.goto(site.address + name);
    const cautions = await page.locator(".safety[data-hazard]").evaluateAll((all) =>
      all.map((one) => ({
        word: one.querySelector(".signal b")?.textContent ?? "",
        signal: [...one.classList].find((name) => name !== "safety"),
        hasAlert: one.querySelector(".signal svg") !== null,
      })),
    );
    expect(cautions.length).toBeGreaterThan(0);
    for (const { signal, word, hasAlert } of cautions) {
      // ANSI Z535.6: the word itself, and the alert triangle only where somebody can be hurt.
      expect(word).toBe(signal?.toUpperCase());
      expect(hasAlert).toBe(signal !== "notice");
    }
  }
  await context.close();
});
