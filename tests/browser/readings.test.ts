/** Readings in the walk: any unit, comma and point, refused and doubted, timed, drawn and unfolded. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import type { MeasureStep } from "../../compiler/model/compiled.ts";
import { evaluate, holdsValue } from "../../compiler/model/formula.ts";
import { convert, unitOf } from "../../compiler/model/units.ts";
import { type Entry, EQUIPMENT } from "../../site/src/walk/engine.ts";
import { arithmeticSize } from "../page-arithmetic.ts";
import { axeFaults } from "./axe.ts";
import { scratch } from "./scratch.ts";
import { served } from "./served.ts";
import { give, placeOf, planOf, tabTo } from "./walking.ts";

const { folder, base } = scratch("formula-base.yaml");
const site = served(() => folder);
const address = (): string => `${site.address}trees/wet-floor.html`;

const begin: Entry = { step: EQUIPMENT, answer: "dial-softener" };
const way: readonly Entry[] = [
  begin,
  { step: "drain-flow", answer: "low", readings: { volume: 10, time: 60 } },
  { step: "gauge", answer: "slow", readings: { flow: 4 } },
  { step: "raw", answer: "hard", readings: { raw: 170 } },
  { step: "frost", answer: "warm", readings: { air: 5 } },
];
const to = (step: string): readonly Entry[] =>
  way.slice(
    0,
    way.findIndex((entry) => entry.step === step),
  );

async function walked(page: Page, history: readonly Entry[]): Promise<void> {
  await page.goto(address());
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  for (const entry of history) await give(page, entry);
}
const field = (page: Page, id: string) => page.locator(`[data-controls] input[data-input="${id}"]`);
const unit = (page: Page, id: string) => page.locator(`[data-controls] select[data-unit-of="${id}"]`);
const rangeOn = (page: Page): Promise<string | null> => page.locator("[data-result]").getAttribute("data-range");
const textOf = async (page: Page, selector: string): Promise<string> =>
  ((await page.locator(selector).first().textContent()) ?? "").replaceAll("\u00a0", " ");

test("every measurement of the tree computes as the compiler does, in both systems and for all equipment", async () => {
  const { context, page, faults } = await site.open();
  const steps = base.trees[0]?.steps.filter((step): step is MeasureStep => step.kind === "measure") ?? [];
  expect(steps.length).toBe(5);
  for (const family of base.trees[0]?.serves ?? [])
    for (const system of ["us", "metric"] as const) {
      await page.goto("about:blank");
      await walked(page, [{ step: EQUIPMENT, answer: family }]);
      const read: Record<string, number> = {};
      for (const step of steps) {
        expect(await placeOf(page)).toBe(step.id);
        const button = page.locator(`[data-system="${system}"]`);
        if ((await button.count()) > 0) await button.click();
        for (const { id, unit: author, between } of step.readings) {
          const amount = Number((between[0] + (between[1] - between[0]) * 0.07).toPrecision(4));
          const select = unit(page, id);
          const [from, shown] = [author, (await select.count()) > 0 ? await select.inputValue() : author].map(unitOf);
          if (!from || !shown) throw new Error(`${author} is no unit`);
          await field(page, id).fill(String(Number(convert(amount, from, shown).toPrecision(15))));
          read[id] = read[`${step.id}.${id}`] = amount;
        }
        const value = evaluate(
          step.value.code,
          (name) => read[name] ?? step.value.facts?.[name]?.[family] ?? Number.NaN,
        );
        const exact = Number(await page.locator("[data-result]").getAttribute("data-exact"));
        expect(Math.abs(exact - value), `${step.id}, ${system}`).toBeLessThanOrEqual(1e-9 * Math.abs(value));
        const range = step.ranges.find((one) => holdsValue(one.byFamily?.[family] ?? one, value));
        expect(await rangeOn(page), `${step.id}, ${system}`).toBe(range?.id);
        await page.locator('[data-act="go-on"]').click();
        while ((await page.locator('[data-act="sure"]').count()) > 0) await page.locator('[data-act="sure"]').click();
        await page.waitForFunction(
          (at) => document.querySelector<HTMLElement>("guided-walk")?.dataset.at !== at,
          step.id,
        );
      }
    }
  expect(faults).toEqual([]);
  await context.close();
});

test("the system comes from the device's language, is kept once chosen, and switching loses nothing", async () => {
  for (const [locale, shown] of [
    ["en-US", "gal"],
    ["de-DE", "L"],
    ["en-GB", "L"],
  ] as const) {
    const { context, page } = await site.open({ locale });
    await walked(page, [begin]);
    expect(await unit(page, "volume").inputValue(), locale).toBe(shown);
    await context.close();
  }
  const { context, page, faults } = await site.open({ locale: "en-US" });
  await walked(page, [begin]);
  for (const text of ["2.50", "2,5", "0.330", "17"]) {
    await field(page, "volume").fill(text);
    await field(page, "time").fill("42");
    const exact = await page.locator("[data-result]").getAttribute("data-exact");
    for (let i = 0; i < 3; i++) {
      await page.locator('[data-system="metric"]').click();
      expect(await field(page, "volume").inputValue()).not.toBe(text);
      expect(await page.locator("[data-result]").getAttribute("data-exact")).toBe(exact);
      await page.locator('[data-system="us"]').click();
      expect(await field(page, "volume").inputValue()).toBe(text);
    }
    await unit(page, "volume").selectOption("L");
    expect(await page.locator("[data-result]").getAttribute("data-exact")).toBe(exact);
    await unit(page, "volume").selectOption("gal");
    expect(await field(page, "volume").inputValue()).toBe(text);
  }
  await field(page, "volume").fill("2.5");
  await page.locator('[data-system="metric"]').click();
  expect(await field(page, "volume").inputValue()).toBe("9.46");
  await page.locator('[data-act="go-on"]').click();
  await page.waitForFunction(() => document.querySelector<HTMLElement>("guided-walk")?.dataset.at === "gauge");
  // The record keeps what was typed; the choice holds for the next step and the next visit.
  expect(await page.locator("[data-so-far] li").last().textContent()).toContain("Water caught: 2.5\u00a0gal");
  expect(await unit(page, "flow").inputValue()).toBe("L/min");
  await page.reload();
  expect(await unit(page, "flow").inputValue()).toBe("L/min");
  const kept = await page.evaluate(
    () =>
      new Promise<unknown>((resolve) => {
        const request = indexedDB.open("headwater");
        request.onsuccess = () => {
          const all = request.result.transaction("visits").objectStore("visits").getAll();
          all.onsuccess = () => resolve(all.result[0].history.at(-1));
        };
      }),
  );
  expect(kept).toMatchObject({
    typed: { volume: ["2.5", "gal"], time: ["42", "s"] },
    result: [expect.any(Number), "L/min"],
  });
  expect(faults).toEqual([]);
  await context.close();
});

test("a threshold is the same in both units: 5.0 gpm and 18.927 L/min take the same branch", async () => {
  const { context, page } = await site.open({ locale: "en-US" });
  await walked(page, to("gauge"));
  for (const [text, as, range] of [
    ["5.0", "gpm", "fast"],
    ["18.927", "L/min", "fast"],
    ["18,93", "L/min", "fast"],
    ["4.99", "gpm", "slow"],
    ["18.89", "L/min", "slow"],
  ] as const) {
    await unit(page, "flow").selectOption(as);
    await field(page, "flow").fill(text);
    expect(await rangeOn(page), `${text} ${as}`).toBe(range);
    for (const other of ["gpm", "L/min"]) {
      await unit(page, "flow").selectOption(other);
      expect(await rangeOn(page), `${text} ${as}, shown in ${other}`).toBe(range);
    }
  }
  await page.locator('[data-act="all"]').first().click();
  expect(await textOf(page, '#gauge [data-branch="slow"] th')).toBe("below 5 gpm · 18.9 L/min");
  await context.close();
});

test("comma and point count, separators of thousands don't, and refusals say why in both units", async () => {
  const { context, page } = await site.open({ locale: "en-US" });
  await walked(page, to("raw"));
  const refusal = page.locator('[data-refusal="raw"]');
  await unit(page, "raw").selectOption("mg/L CaCO3");
  for (const [text, reason] of [
    ["1,200", /thousands separator/],
    ["1.200,5", /thousands separator/],
    ["1'200", /thousands separator/],
    ["about 5", /not a number/],
    ["", /Type the reading/],
    ["1600", /0 to 1500 mg\/L CaCO3 · 0 to 87\.6 gpg/],
    ["-3", /0 to 1500 mg\/L CaCO3/],
  ] as const) {
    await field(page, "raw").fill(text);
    await page.locator('[data-act="go-on"]').click();
    expect(await placeOf(page), text).toBe("raw");
    expect(await textOf(page, '[data-refusal="raw"]'), text).toMatch(reason);
    expect(await field(page, "raw").getAttribute("aria-invalid")).toBe("true");
    const described = (await field(page, "raw").getAttribute("aria-describedby"))?.split(" ") ?? [];
    expect(described).toContain(await refusal.getAttribute("id"));
    expect(await page.evaluate(() => document.activeElement?.getAttribute("data-input"))).toBe("raw");
  }
  for (const text of ["59,9", "59.9", " 59.9 "]) {
    await field(page, "raw").fill(text);
    expect(await rangeOn(page), text).toBe("soft");
    expect(await refusal.textContent()).toBe("");
  }
  // Everything that is shown as possible is: the bounds of the other unit are rounded inwards.
  await unit(page, "raw").selectOption("gpg");
  await field(page, "raw").fill("87.6");
  expect(await rangeOn(page)).toBe("hard");
  await context.close();
});

test("only where it can be negative does a field have a key for the sign", async () => {
  const { context, page } = await site.open({ locale: "de-DE" });
  await walked(page, to("frost"));
  expect(await field(page, "air").getAttribute("inputmode")).toBe("decimal");
  const sign = page.locator('[data-act="sign"]');
  await field(page, "air").fill("3.5");
  await sign.click();
  expect(await field(page, "air").inputValue()).toBe("-3.5");
  expect(await rangeOn(page)).toBe("freezes");
  await page.locator('[data-system="us"]').click();
  expect(await field(page, "air").inputValue()).toBe("25.7");
  await page.locator('[data-system="metric"]').click();
  await sign.click();
  expect(await rangeOn(page)).toBe("warm");
  await field(page, "air").fill("−20");
  expect(await rangeOn(page)).toBe("freezes");
  await page.goto("about:blank");
  await walked(page, to("raw"));
  expect(await page.locator('[data-act="sign"]:visible').count()).toBe(0);
  await context.close();
});

test("an unusual reading is asked about once", async () => {
  const { context, page } = await site.open({ locale: "de-DE" });
  await walked(page, [begin]);
  await field(page, "volume").fill("1,5");
  await field(page, "time").fill("30");
  await page.locator('[data-act="go-on"]').click();
  expect(await placeOf(page)).toBe("drain-flow");
  expect(await textOf(page, '[data-doubt="volume"]')).toMatch(
    /unusual: 1\.5 L · 0\.396 gal.*2 to 60 L · 0\.529 to 15\.8 gal/s,
  );
  expect(await page.evaluate(() => document.activeElement?.getAttribute("data-act"))).toBe("sure");
  // A changed reading takes the question away; it comes again for another unusual one.
  await field(page, "volume").fill("20");
  expect(await page.locator('[data-act="sure"]').count()).toBe(0);
  await field(page, "volume").fill("100");
  await page.locator('[data-act="go-on"]').click();
  await page.locator('[data-act="sure"]').click();
  await page.waitForFunction(() => document.querySelector<HTMLElement>("guided-walk")?.dataset.at === "gauge");
  // Where the formula says nothing of what is usual, nothing is asked.
  await field(page, "flow").fill("0");
  await page.locator('[data-act="go-on"]').click();
  await page.waitForFunction(() => document.querySelector<HTMLElement>("guided-walk")?.dataset.at === "raw");
  await context.close();
});

test("what the step itself calls usual is asked about, and goes before what its formula says", async () => {
  const { context, page } = await site.open({ locale: "de-DE" });
  await walked(page, [begin]);
  // The formula calls less than 30 s unusual, the step less than 10.
  await field(page, "volume").fill("3");
  await field(page, "time").fill("20");
  await page.locator('[data-act="go-on"]').click();
  await page.waitForFunction(() => document.querySelector<HTMLElement>("guided-walk")?.dataset.at === "gauge");
  await page.goto("about:blank");
  await walked(page, [begin]);
  await field(page, "volume").fill("3");
  await field(page, "time").fill("9");
  await page.locator('[data-act="go-on"]').click();
  expect(await textOf(page, '[data-doubt="time"]')).toMatch(/unusual: 9 s.*10 to 900 s/s);
  await page.goto("about:blank");
  // A lone reading, with no formula at all.
  await walked(page, to("raw"));
  await field(page, "raw").fill("1200");
  await page.locator('[data-act="go-on"]').click();
  expect(await placeOf(page)).toBe("raw");
  expect(await textOf(page, '[data-doubt="raw"]')).toMatch(
    /unusual: 1200 mg\/L CaCO3 · 70\.1 gpg.*5 to 800 mg\/L CaCO3 · 0\.293 to 46\.7 gpg/s,
  );
  await page.locator('[data-act="sure"]').click();
  await page.waitForFunction(() => document.querySelector<HTMLElement>("guided-walk")?.dataset.at === "frost");
  await context.close();
});

test("the timer fills the field, survives a reload, and is worked by keyboard", async () => {
  const { context, page, faults } = await site.open({ locale: "en-US" });
  await walked(page, [begin]);
  expect(await page.locator("[data-timer]").count()).toBe(1);
  await tabTo(page, '[data-act="timer"]');
  await page.keyboard.press("Enter");
  expect(await page.locator('[data-act="timer"]').getAttribute("aria-pressed")).toBe("true");
  await page.waitForTimeout(1200);
  await page.reload();
  await page.locator('[data-act="timer"][aria-pressed="true"]').waitFor();
  await expect.poll(() => page.locator("[data-elapsed]").textContent()).toMatch(/^[1-9]\d*\.\d/);
  await tabTo(page, '[data-act="timer"]');
  await page.keyboard.press("Space");
  const time = Number(await field(page, "time").inputValue());
  expect(time).toBeGreaterThanOrEqual(1.2);
  expect(time).toBeLessThan(30);
  expect(await page.evaluate(() => document.activeElement?.getAttribute("data-input"))).toBe("time");
  await page.locator('[data-act="timer"]').click();
  await field(page, "volume").fill("3");
  await field(page, "time").fill("30");
  await page.locator('[data-act="go-on"]').click();
  await page.waitForFunction(() => document.querySelector<HTMLElement>("guided-walk")?.dataset.at === "gauge");
  expect(await page.evaluate(() => Object.keys(localStorage).filter((key) => key.includes("timer")))).toEqual([]);
  expect(faults).toEqual([]);
  await context.close();
});

test("the value stands on a gauge, near its limit in words too, and the computation unfolds", async () => {
  const { context, page } = await site.open({ locale: "en-GB" });
  await walked(page, [begin]);
  await field(page, "volume").fill("10.0");
  await field(page, "time").fill("42");
  expect(await textOf(page, "[data-nearness]")).toBe("0.86 L/min below the limit of 15.14 L/min.");
  const bands = page.locator("[data-gauge] [data-band]");
  expect(await bands.evaluateAll((all) => all.map((one) => one.getAttribute("data-band")))).toEqual([
    "high-for-dial",
    "enough",
    "low",
  ]);
  expect(await page.locator("[data-here]").getAttribute("data-band")).toBe("low");
  expect(Number(await page.locator("[data-share]").getAttribute("data-share"))).toBeGreaterThan(0.9);
  expect(await page.locator("[data-gauge] [role=img]").getAttribute("aria-label")).toMatch(
    /below the limit.*Less than this unit needs.*below.*Enough: 15\.14.L\/min to below 28\.39.L\/min/,
  );
  await page.locator("[data-unfold] summary").click();
  expect(await textOf(page, "[data-computed]")).toBe("10.0 L ÷ 42 s = 14.3 L/min");
  // Rounding never shows a value on the wrong side: 15.1 would seem to be below, 15 would not.
  await field(page, "volume").fill("10.6");
  await field(page, "time").fill("42");
  expect(await textOf(page, "[data-result] .number")).toBe("Flow: 15.143 L/min");
  expect(await rangeOn(page)).toBe("enough");
  await page.goto("about:blank");
  await walked(page, way);
  await field(page, "now").fill("4");
  await page.locator("[data-unfold] summary").click();
  expect(await textOf(page, "[data-computed]")).toMatch(/^\(4 (gpm|L\/min) \+ 4 gpm\) ÷ 2 ÷ 5 gpm = /);
  await context.close();
});

test("without script a measurement shows its readings, its formula in words and its ranges in both units", async () => {
  const { context, page } = await site.open({ javaScriptEnabled: false });
  await page.goto(address());
  const text = await textOf(page, "#drain-flow");
  for (const wanted of ["0.1 to 200 L · 0.0265 to 52.8 gal", "Flow = Water caught ÷ Time taken, in L/min or gpm"])
    expect(text).toContain(wanted);
  expect(await textOf(page, '#gauge [data-branch="fast"] th')).toBe("5 gpm · 18.9 L/min or more");
  // 0.8 × 5 gpm and 0.8 × 8 gpm.
  expect(await textOf(page, '#drain-flow [data-branch="low"] th')).toBe(
    "below 15.14 L/min · 4 gpm Softener with a dialbelow 24.23 L/min · 6.4 gpm Softener with a display",
  );
  // A range for one kind of equipment alone says only its own end, and needs no name beside it.
  expect(await textOf(page, '#drain-flow [data-branch="high"] th')).toBe("45.42 L/min · 12 gpm or more");
  expect(await page.locator('#drain-flow a[href="../formulas/container-flow.html"]').count()).toBe(1);
  await context.close();
});

test.each([
  ["360 px", { width: 360, height: 740 }, "dark"],
  ["1280 px", { width: 1280, height: 800 }, "light"],
] as const)(
  "at %s axe finds no fault at a measurement, filled in, refused or doubted",
  async (_n, viewport, colorScheme) => {
    const { context, page, faults } = await site.open({
      viewport,
      colorScheme,
      locale: "en-US",
      reducedMotion: "reduce",
    });
    await walked(page, [begin]);
    await field(page, "volume").fill("0.3");
    await field(page, "time").fill("42");
    await page.locator("[data-unfold] summary").click();
    // The pointer stays on the button that is pressed: it must be readable then too.
    await page.locator('[data-system="us"]').click();
    expect(await axeFaults(page)).toEqual([]);
    const small = await page
      .locator("[data-controls] :is(button, select, input, summary):visible")
      .evaluateAll((all) => all.filter((one) => one.getBoundingClientRect().height < 44).map((one) => one.outerHTML));
    expect(small).toEqual([]);
    await page.locator('[data-act="go-on"]').click();
    await page.locator('[data-act="sure"]').waitFor();
    expect(await axeFaults(page)).toEqual([]);
    await field(page, "time").fill("0");
    await page.locator('[data-act="go-on"]').click();
    expect(await axeFaults(page)).toEqual([]);
    expect(
      await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth),
    ).toBeLessThanOrEqual(0);
    expect(faults).toEqual([]);
    await context.close();
  },
);

test("the whole way is walked by keyboard alone", async () => {
  const { context, page, faults } = await site.open({ locale: "en-US" });
  await walked(page, [begin]);
  for (const [at, typed] of [
    ["drain-flow", { volume: "5", time: "60" }],
    ["gauge", { flow: "4.5" }],
    ["raw", { raw: "10" }],
    ["frost", { air: "40" }],
    ["share", { now: "5" }],
  ] as const) {
    expect(await placeOf(page)).toBe(at);
    for (const [id, text] of Object.entries(typed)) {
      await tabTo(page, `[data-controls] input[data-input="${id}"]`);
      await page.keyboard.type(text);
    }
    await page.keyboard.press("Enter");
    await page.waitForFunction((was) => document.querySelector<HTMLElement>("guided-walk")?.dataset.at !== was, at);
  }
  expect(await placeOf(page)).toBe("call");
  expect(faults).toEqual([]);
  await context.close();
});

test("the page's arithmetic for a tree is under 3 KB compressed", async () => {
  const { context, page } = await site.open();
  await page.goto(address());
  expect(arithmeticSize(await planOf(page))).toBeLessThan(3000);
  expect(gzipSync(readFileSync(join(folder, "walk.js")), { level: 9 }).length).toBeLessThanOrEqual(30_000);
  await context.close();
});
