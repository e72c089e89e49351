/** The calculators: as right as the compiler in both systems, linkable, readable without script. */
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { HtmlValidate } from "html-validate";
import type { Page } from "playwright-core";
import { describe, expect, inject, test } from "vitest";
import { loadBase } from "../../compiler/cli/load.ts";
import { Compiler, emit } from "../../compiler/index.ts";
import { evaluate } from "../../compiler/model/formula.ts";
import { convert, unitOf } from "../../compiler/model/units.ts";
import { DAY } from "../annotations.ts";
import { axeFaults } from "./axe.ts";
import { scratch } from "./scratch.ts";
import { served } from "./served.ts";
import { tabTo } from "./walking.ts";

const own = scratch("formula-base.yaml");
const ownSite = served(() => own.folder);
const demoSite = served();
const compiler = new Compiler({ today: DAY });
const linked = compiler.linked(loadBase(fileURLToPath(new URL("../../trees", import.meta.url))));
const demo = emit(linked.world, linked.trees, DAY);

async function openCalculator(page: Page, address: string): Promise<void> {
  await page.goto(address);
  await page.locator("formula-sums[data-ready]").waitFor();
}
const exactOn = async (page: Page): Promise<number> =>
  Number((await page.locator("[data-result]").getAttribute("data-exact")) ?? Number.NaN);
const textOf = async (page: Page, selector: string): Promise<string> =>
  ((await page.locator(selector).textContent()) ?? "").replaceAll("\u00a0", " ");
const resultOn = (page: Page): Promise<string> => textOf(page, "[data-result] .number");

function converted(amount: number, from: string, to: string): number {
  const [one, other] = [unitOf(from), unitOf(to)];
  if (!one || !other) throw new Error(`${from} or ${to} is no unit`);
  return convert(amount, one, other);
}

describe.each([
  ["the base of this test", own.base, ownSite],
  ["the demo", demo, demoSite],
] as const)("%s", (_name, base, site) => {
  test("for every formula and every worked example the page's result is the compiler's, in both systems", async () => {
    const { context, page, faults } = await site.open();
    for (const [id, formula] of Object.entries(base.formulas)) {
      await openCalculator(page, `${site.address}formulas/${id}.html`);
      expect(await page.locator("[data-example]").count(), id).toBe(formula.examples.length);
      for (const [index, example] of formula.examples.entries()) {
        const value = evaluate(formula.value.code, (name) => example.given[name] ?? Number.NaN);
        const isSame = async (how: string): Promise<void> => {
          const shown = await exactOn(page);
          const off = Math.abs(shown - value) / Math.max(Math.abs(value), 1e-6);
          expect(off, `${id}, example ${index + 1}, ${how}: ${shown}, not ${value}`).toBeLessThan(1e-9);
        };
        await page.locator(`[data-example="${index}"] [data-fill]`).click();
        await isSame("filled in");
        for (const system of ["us", "metric"] as const) {
          const button = page.locator(`[data-system="${system}"]`);
          if ((await button.count()) > 0) await button.click();
          await isSame(`after switching to ${system}`);
          for (const [name, { unit }] of Object.entries(formula.inputs)) {
            const select = page.locator(`select[data-unit-of="${name}"]`);
            const shown = (await select.count()) > 0 ? await select.inputValue() : unit;
            const typed = converted(example.given[name] ?? Number.NaN, unit, shown);
            await page.locator(`input[data-input="${name}"]`).fill(Number(typed.toPrecision(15)).toString());
          }
          await isSame(`typed in ${system}`);
        }
      }
    }
    expect(faults).toEqual([]);
    await context.close();
  });

  test("every calculator is in the index, and the index is at the foot of every page", async () => {
    const { context, page } = await site.open();
    await page.goto(`${site.address}index.html`);
    const ids = Object.keys(base.formulas);
    expect(await page.locator(".foot a[href='formulas.html']").count()).toBe(ids.length > 0 ? 1 : 0);
    await page.goto(`${site.address}formulas.html`);
    const listed = await page.locator("main a").evaluateAll((all) => all.map((one) => one.getAttribute("href")));
    expect(listed).toEqual(ids.map((id) => `formulas/${id}.html`));
    await context.close();
  });
});

test("a calculator is found by what it is called, is for, or takes, with a slip too", async () => {
  const { context, page, faults } = await demoSite.open();
  await page.goto(`${demoSite.address}formulas.html`);
  const found = () =>
    page
      .locator("[data-results] [data-listed]")
      .evaluateAll((all) => all.map((one) => one.getAttribute("data-listed")));
  for (const [typed, wanted] of [
    ["bleach", "shock-dose"],
    ["drawdwon", "tank-drawdown"],
    ["backwash", "backwash-flow"],
    // In none of its words on this page: the label of an input.
    ["membrane feed temperature", "permeate-at-temperature"],
  ] as const) {
    await page.locator("[data-find]").fill(typed);
    expect((await found()).slice(0, 3), typed).toContain(wanted);
    expect(await page.locator("[data-areas]").isVisible()).toBe(false);
  }
  await page.locator("[data-find]").fill("leak meter water");
  expect(await page.locator("[data-found-count]").textContent()).toMatch(/^\d+ calculators? found$/);
  await page.keyboard.press("Enter");
  await page.keyboard.press("Enter");
  await page.locator("formula-sums[data-ready]").waitFor();
  await page.goto(`${demoSite.address}formulas.html`);
  await page.locator("[data-find]").fill("xylophone");
  expect(await page.locator("[data-found-count]").textContent()).toMatch(/^Nothing found/);
  await page.locator("[data-find]").fill("");
  expect(await page.locator("[data-areas]").isVisible()).toBe(true);
  expect(faults).toEqual([]);
  await context.close();
});

test("inputs in the address come back as they were typed, with their units, from a server and from a disk", async () => {
  const { context, page, faults } = await ownSite.open({ locale: "de-DE" });
  await openCalculator(page, `${ownSite.address}formulas/container-flow.html`);
  await page.locator('select[data-unit-of="volume"]').selectOption("gal");
  await page.locator('input[data-input="volume"]').fill("2,5");
  await page.locator('input[data-input="time"]').fill("42.0");
  const value = await exactOn(page);
  const { search } = new URL(page.url());
  expect(Object.fromEntries(new URLSearchParams(search))).toEqual({ volume: "2,5 gal", time: "42.0 s" });
  expect(await page.locator("[data-link]").getAttribute("href")).toBe(search);
  await page.reload();
  expect(await page.locator('input[data-input="volume"]').inputValue()).toBe("2,5");
  expect(await page.locator('select[data-unit-of="volume"]').inputValue()).toBe("gal");
  expect(await page.locator('input[data-input="time"]').inputValue()).toBe("42.0");
  expect(await exactOn(page)).toBe(value);
  await openCalculator(page, pathToFileURL(join(own.folder, "formulas/container-flow.html")).href + search);
  expect(await exactOn(page)).toBe(value);
  await page.locator('input[data-input="volume"]').fill("3");
  await page.locator("[data-link]").click();
  await page.locator("formula-sums[data-ready]").waitFor();
  expect(await page.locator('input[data-input="volume"]').inputValue()).toBe("3");
  // A unit that isn't known here is not taken for another one.
  await openCalculator(page, `${ownSite.address}formulas/container-flow.html?volume=5+firkin&time=60`);
  expect(await page.locator('input[data-input="volume"]').inputValue()).toBe("");
  expect(await page.locator('input[data-input="time"]').inputValue()).toBe("60");
  await page.locator('[data-act="clear"]').click();
  expect(new URL(page.url()).search).toBe("");
  expect(faults.filter((fault) => !fault.includes("file:"))).toEqual([]);
  await context.close();
});

test("the computation unfolds, as exact as its readings", async () => {
  const { context, page } = await ownSite.open({ locale: "en-GB" });
  await openCalculator(page, `${ownSite.address}formulas/container-flow.html?volume=9.5+L&time=42+s`);
  expect(await resultOn(page)).toBe("Flow: 13.6 L/min");
  await page.locator("[data-unfold] summary").click();
  expect(await textOf(page, "[data-computed]")).toBe("9.5 L ÷ 42 s = 13.6 L/min");
  await page.locator('input[data-input="volume"]').fill("9.50");
  await page.locator('input[data-input="time"]').fill("12.00");
  expect(await resultOn(page)).toBe("Flow: 47.5 L/min");
  expect(await page.locator("[data-unfold]").getAttribute("open")).toBe("");
  await context.close();
});

test("an unusual input is remarked upon and hinders nothing; an impossible one has no result", async () => {
  const { context, page } = await ownSite.open({ locale: "en-US" });
  await openCalculator(page, `${ownSite.address}formulas/drawdown.html`);
  for (const [name, text] of [
    ["tank", "20"],
    ["charge", "28"],
    ["cut-in", "30"],
    ["cut-out", "95"],
  ])
    await page.locator(`input[data-input="${name}"]`).fill(text ?? "");
  await page.keyboard.press("Tab");
  expect(await textOf(page, '[data-doubt="cut-out"]')).toMatch(/95 psi .*655 kPa.*40 to 80 psi/s);
  expect(await exactOn(page)).toBeGreaterThan(10);
  await page.locator('[data-act="sure"]').click();
  expect(await textOf(page, '[data-doubt="cut-out"]')).toBe("");
  await page.locator('input[data-input="cut-out"]').fill("950");
  await page.keyboard.press("Tab");
  expect(await textOf(page, '[data-refusal="cut-out"]')).toMatch(/10 to 125 psi · 69 to 861 kPa/);
  expect(await page.locator("[data-result]").getAttribute("data-exact")).toBeNull();
  await context.close();
});

test("by keyboard alone an example is filled in and changed", async () => {
  const { context, page, faults } = await ownSite.open({ locale: "en-US" });
  await openCalculator(page, `${ownSite.address}formulas/heater-rise.html`);
  await tabTo(page, '[data-example="1"] [data-fill]');
  await page.keyboard.press("Enter");
  expect(await page.evaluate(() => document.activeElement?.id)).toBe("sum_h");
  expect(await page.locator('select[data-unit-of="hot"]').inputValue()).toBe("°C");
  await tabTo(page, '[data-system="metric"]');
  await page.keyboard.press("Space");
  await tabTo(page, 'input[data-input="hot"]');
  await page.keyboard.type("60");
  expect(await resultOn(page)).toBe("Rise: 50 Δ°C");
  expect(faults).toEqual([]);
  await context.close();
});

test("without script the formula, what goes in, the examples and the source are there to read", async () => {
  const { context, page } = await ownSite.open({ javaScriptEnabled: false });
  await page.goto(`${ownSite.address}formulas/container-flow.html`);
  const text = await textOf(page, "main");
  for (const wanted of [
    "Flow = Water caught ÷ Time taken, in L/min or gpm",
    "0.1 to 200 L · 0.0265 to 52.8 gal",
    "usual: 2 to 60 L",
    "Water caught: 5 gal",
    "gives 5 gpm",
    "A watch and a bucket",
    "Common practice, no published source",
  ])
    expect(text).toContain(wanted);
  await context.close();
});

test("the pages of formulas are valid HTML", async () => {
  const validator = new HtmlValidate({ extends: ["html-validate:recommended"] });
  for (const root of [own.folder, inject("site")])
    for (const name of readdirSync(root, { recursive: true, encoding: "utf8" }).filter((one) =>
      /^formulas.*\.html$|wet-floor\.html$/.test(one),
    )) {
      const { results } = await validator.validateFile(join(root, name));
      expect(
        results.flatMap(({ messages }) => messages.map(({ ruleId, message }) => `${ruleId} ${message}`)),
        name,
      ).toEqual([]);
    }
});

test.each([
  ["360 px", { width: 360, height: 740 }, "light"],
  ["1280 px", { width: 1280, height: 800 }, "dark"],
] as const)(
  "at %s axe finds no fault, all targets are large, nothing scrolls sideways",
  async (_n, viewport, colorScheme) => {
    const { context, page, faults } = await ownSite.open({ viewport, colorScheme, locale: "en-US" });
    for (const id of Object.keys(own.base.formulas)) {
      await openCalculator(page, `${ownSite.address}formulas/${id}.html`);
      await page.locator('[data-example="0"] [data-fill]').click();
      await page.locator("[data-unfold] summary").click();
      expect(await axeFaults(page), id).toEqual([]);
      const small = await page
        .locator(":is(button, select, input, summary, main a):visible")
        .evaluateAll((all) => all.filter((one) => one.getBoundingClientRect().height < 44).map((one) => one.outerHTML));
      expect(small, id).toEqual([]);
      expect(
        await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth),
        id,
      ).toBeLessThanOrEqual(0);
    }
    await page.goto(`${ownSite.address}formulas.html`);
    expect(await axeFaults(page)).toEqual([]);
    expect(faults).toEqual([]);
    await context.close();
  },
);
