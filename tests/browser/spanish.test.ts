/**
 * A base in Spanish has a Spanish site: no English is left on its pages or in its scripts, a visit is walked to its record
 * in Spanish, and axe finds no fault. The base's own texts are Spanish, so whatever is English comes from the interface.
 */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { HtmlValidate } from "html-validate";
import type { Page } from "playwright-core";
import { describe, expect, test } from "vitest";
import type { JobRecord } from "../../site/src/record/format.ts";
import { catalogues, flat, type Text } from "../catalogues.ts";
import { axeFaults } from "./axe.ts";
import { endings } from "./histories.ts";
import { scratch } from "./scratch.ts";
import { served } from "./served.ts";
import { give, planOf } from "./walking.ts";

const own = scratch("spanish-base.yaml", undefined, "");
const site = served(() => own.folder);
const files = (kind: string) =>
  readdirSync(own.folder, { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(kind))
    .map((name) => name.replaceAll("\\", "/"))
    .sort();
const textOf = (name: string) => readFileSync(join(own.folder, name), "utf8");

/**
 * English words that are in no Spanish text. The commonest of English by any count of words, but for those that are
 * Spanish as well ("a", "me", "no", "he", "use").
 */
const ENGLISH =
  /(?<!\p{L})(the|of|and|to|in|is|it|that|was|for|on|are|with|as|his|they|at|be|this|have|from|or|one|had|by|not|but|what|all|were|we|when|your|can|there|an|each|which|she|do|how|their|if|will|up|other|about|out|many|then|them|these|so|some|would|make|like|him|into|time|look|two|more|go|see|number|way|could|people|than|first|been|call|who|its|now|find|long|down|day|did|get|come|made|part|step|steps|cause|causes|routine|reading|readings|done|end|begin|back|below|above|none|any|show|covered|partly)(?!\p{L})/iu;
/** Units and names are the same in every language. */
const NO_WORDS = /\b(in|psi|gpg|gpm)\b|JSON|CSV|Headwater/g;

function englishIn(texts: readonly string[]): string[] {
  return texts.filter((text) => ENGLISH.test(text.replace(NO_WORDS, "")));
}

/** What a reader sees or hears of the page as it stands: its texts, and the names that are only read out. */
async function saidOn(page: Page): Promise<string[]> {
  return page.evaluate(() => {
    const said: string[] = [document.title];
    const texts = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = texts.nextNode(); node !== null; node = texts.nextNode())
      if (node.parentElement?.closest("script, style") === null) said.push(node.textContent ?? "");
    for (const element of document.querySelectorAll("[aria-label], [alt], [title], [placeholder], [data-value]"))
      for (const name of ["aria-label", "alt", "title", "placeholder", "data-value"])
        said.push(element.getAttribute(name) ?? "");
    return said.filter((text) => text.trim() !== "");
  });
}

test("the test of a text for English knows English from Spanish", async () => {
  const all = async (language: string) =>
    Object.values(await catalogues(language)).flatMap((texts) =>
      [...flat(texts).values()].filter((text): text is string => typeof text === "string" && text.includes(" ")),
    );
  const [english, spanish] = [await all("en"), await all("es")];
  expect(englishIn(spanish)).toEqual([]);
  expect(englishIn(english).length / english.length).toBeGreaterThan(0.9);
});

test("no page says anything in English, with its scripts or without", async () => {
  const pages = files(".html");
  expect(pages.length).toBeGreaterThanOrEqual(12);
  for (const javaScriptEnabled of [true, false]) {
    const { context, page, faults } = await site.open({ javaScriptEnabled, locale: "es-ES" });
    for (const name of pages) {
      await page.goto(site.address + name);
      const said = await saidOn(page);
      expect(said.length, name).toBeGreaterThan(5);
      expect(englishIn(said), name).toEqual([]);
      expect(await page.locator("html").getAttribute("lang"), name).toBe("es");
    }
    expect(faults).toEqual([]);
    await context.close();
  }
});

/** What a text of the catalogue says whatever is put into it, in pieces long enough to be told from chance. */
function piecesOf(text: Text): string[] {
  if (typeof text === "string") return text.length >= 12 ? [text] : [];
  const mark = "§";
  const samples = [Array(8).fill(mark), Array(8).fill(1), Array(8).fill(7), [[mark, mark]], [[]]];
  return samples.flatMap((sample: unknown[]) => {
    try {
      return String(text(...sample.slice(0, text.length)))
        .split(/[§\d]+/)
        .map((piece) => piece.trim())
        .filter((piece) => piece.length >= 12);
    } catch {
      // A list where a text was meant, or the other way round.
      return [];
    }
  });
}

test("no phrase of the English catalogue is in any file, and the phrases of the Spanish one are", async () => {
  const built = [".html", ".js", ".csv", ".webmanifest"].flatMap(files).map((name) => [name, textOf(name)] as const);
  const piecesIn = async (language: string) =>
    Object.values(await catalogues(language)).flatMap((texts) => [...flat(texts).values()].flatMap(piecesOf));
  const english = new Set(await piecesIn("en"));
  expect(english.size).toBeGreaterThan(250);
  const left = [...english].flatMap((piece) =>
    built.flatMap(([name, text]) => (text.includes(piece) ? [`${name}: ${piece}`] : [])),
  );
  expect(left).toEqual([]);
  const spanish = [...new Set(await piecesIn("es"))];
  const used = spanish.filter((piece) => built.some(([, text]) => text.includes(piece)));
  expect(used.length / spanish.length).toBeGreaterThan(0.7);
});

test("signal words are the Spanish ones, and numbers have a comma", async () => {
  const { context, page } = await site.open({ javaScriptEnabled: false });
  await page.goto(`${site.address}about/signs.html`);
  // The words of NOM-026-STPS and of the Spanish text of ANSI Z535 labels.
  expect(await page.locator(".safety .signal b").allTextContents()).toEqual([
    "PELIGRO",
    "ADVERTENCIA",
    "PRECAUCIÓN",
    "AVISO",
  ]);
  await page.goto(`${site.address}trees/agua-dura.html`);
  const ranges = (await page.locator("#dureza .ranges th[scope=row]").allTextContents()).map((text) =>
    text.replaceAll("\u00a0", " "),
  );
  expect(ranges).toEqual(["menos de 1,5 gpg · 25,7 mg/L CaCO3", "1,5 gpg · 25,7 mg/L CaCO3 o más"]);
  await context.close();
});

test("a visit is walked to its end and leaves its record, in Spanish", async () => {
  const { context, page, faults } = await site.open({ locale: "es-MX" });
  await page.goto(`${site.address}trees/agua-dura.html`);
  const plan = await planOf(page);
  const { history } = endings(plan)
    .filter(({ name }) => name.startsWith("done behind"))
    .reduce((best, one) => (one.history.length > best.history.length ? one : best));
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  const english: string[] = [];
  for (const entry of history) {
    await give(page, entry);
    english.push(...englishIn(await saidOn(page)));
  }
  await page.locator('[data-summary] [data-act="save"]').waitFor();
  const report = page.locator("[data-summary] .report");
  expect(await report.locator("h2").textContent()).toBe("Registro de esta visita");
  expect(await report.locator("[data-proven] b").allTextContents()).toEqual(["No reparado", "Reparado"]);
  const [download] = await Promise.all([
    page.waitForEvent("download"),
    page.locator('[data-summary] [data-act="save"]').click(),
  ]);
  const { found } = JSON.parse(readFileSync(await download.path(), "utf8")) as JobRecord;
  expect(found.map(({ proof }) => proof)).toEqual(["not-fixed", "fixed"]);
  english.push(...englishIn(await saidOn(page)));
  await page.goto(`${site.address}index.html`);
  await page.locator("[data-visit]").waitFor();
  english.push(...englishIn(await saidOn(page)));
  expect(english).toEqual([]);
  expect(faults).toEqual([]);
  await context.close();
});

test("typed numbers: a comma is decimal, and a point before three digits is refused as it may mean thousands", async () => {
  const { context, page, faults } = await site.open({ locale: "es-ES" });
  await page.goto(`${site.address}formulas/caudal.html`);
  await page.locator("formula-sums[data-ready]").waitFor();
  await page.locator('[data-system="metric"]').click();
  const volume = page.locator('input[data-input="volumen"]');
  await page.locator('input[data-input="tiempo"]').fill("42");
  const exact = async () => Number(await page.locator("[data-result]").getAttribute("data-exact"));
  for (const typed of ["9,125", "9.1250"]) {
    await volume.fill(typed);
    // 1.05 × 9.125 L ÷ 42 s × 60, by hand.
    expect(await exact(), typed).toBeCloseTo(13.6875, 9);
  }
  expect(await page.locator("[data-result] .number").textContent()).toContain("13,7");
  await volume.fill("9.125");
  await volume.blur();
  expect(await page.locator('[data-refusal="volumen"]').textContent()).toContain("dos maneras");
  // The examples fill in what the page itself can read.
  for (const [index, expected] of [14.25, 19.87].entries()) {
    await page.locator(`[data-example="${index}"] [data-fill]`).click();
    expect(Math.abs((await exact()) - expected)).toBeLessThanOrEqual(0.01);
  }
  expect(faults).toEqual([]);
  await context.close();
});

test("finding passes over Spanish words that find nothing", async () => {
  const { context, page, faults } = await site.open();
  await page.goto(`${site.address}index.html`);
  const input = page.locator('input[type="search"]');
  const count = page.locator("[data-found-count]");
  await input.fill("el jabon no hace espuma");
  await expect.poll(() => count.textContent()).toBe("Resultado: 1 árbol");
  await input.fill("que es la");
  await expect.poll(() => count.textContent()).toBe("No se encontró nada. Pruebe con otra palabra.");
  expect(faults).toEqual([]);
  await context.close();
});

describe.each([
  ["360 px, light", { width: 360, height: 740 }, "light"],
  ["1280 px, dark", { width: 1280, height: 800 }, "dark"],
] as const)("at %s", (_name, viewport, colorScheme) => {
  test.each([
    "index.html",
    "parts.html",
    "coverage.html",
    "formulas.html",
    "about/signs.html",
    "trees/agua-dura.html",
    "charts/agua-dura.html",
    "proofs/agua-dura.html",
    "paper/agua-dura.html",
    "symptoms/agua-dura.html",
    "formulas/caudal.html",
  ])("%s is valid, is not wider than the screen, and has no fault that axe finds", async (name) => {
    const validator = new HtmlValidate({ extends: ["html-validate:recommended"] });
    const report = await validator.validateFile(join(own.folder, name));
    expect(
      report.results.flatMap(({ messages }) => messages.map(({ ruleId, message }) => `${ruleId} ${message}`)),
    ).toEqual([]);
    const { context, page, faults } = await site.open({ viewport, colorScheme, reducedMotion: "reduce" });
    await page.goto(site.address + name);
    if (name.startsWith("trees/")) await page.locator('guided-walk[data-mode="start"]').waitFor();
    expect(await axeFaults(page)).toEqual([]);
    const isWide = () => document.documentElement.scrollWidth - document.documentElement.clientWidth;
    expect(await page.evaluate(isWide)).toBeLessThanOrEqual(0);
    expect(faults).toEqual([]);
    await context.close();
  });
});
