/**
 * Ends of every tree, reached as a reader would: by links without script and by keyboard alone; of some trees several, the
 * longest way among them, and by finger too.
 */
import { readdirSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { describe, expect, inject, test } from "vitest";
import { type Entry, isMisfit, replay } from "../../site/src/walk/engine.ts";
import { anchorOf } from "../../site/src/walk/plan.ts";
import { evenly } from "../evenly.ts";
import { endings } from "./histories.ts";
import { served } from "./served.ts";
import { give, inOwnUnit, placeOf, planOf, settled, tabTo, typeReadings } from "./walking.ts";

const site = served();
const trees = readdirSync(join(inject("site"), "trees"))
  .filter((name) => name.endsWith(".html"))
  .map((name) => name.slice(0, -".html".length));

test("there are trees to walk", () => {
  expect(trees.length).toBeGreaterThanOrEqual(3);
});

/** Ends of a tree that one run comes to in the browser; that all can be reached is known from the plan. */
const ENDS = 3;

const thorough = evenly(trees, 5);

describe.each(thorough)("%s", (tree) => {
  test("its ends are reached by finger", async () => {
    const { context, page, faults } = await site.open({ hasTouch: true });
    await page.goto(`${site.address}trees/${tree}.html`);
    const plan = await planOf(page);
    const ends = endings(plan);
    const stops = Object.entries(plan.steps).filter(([, step]) => step.kind === "stop");
    expect(ends.length).toBeGreaterThanOrEqual(stops.filter(([key]) => !key.includes("__")).length);
    for (const { name, history } of evenly(ends, ENDS)) {
      await page.goto("about:blank");
      await page.goto(`${site.address}trees/${tree}.html`);
      await page.locator('guided-walk[data-mode="start"]').waitFor();
      for (const entry of history) {
        if (entry !== history[0]) {
          expect(await placeOf(page), `on the way to ${name}`).toBe(entry.step);
          expect(await page.locator('[data-act="stop"]').isVisible(), `the door out at ${entry.step}`).toBe(true);
        }
        await give(page, entry);
      }
      const at = await placeOf(page);
      expect(name.startsWith("done behind") ? at === "=done" : at === name, `${name}, but stands at ${at}`).toBe(true);
      await page.locator("guided-walk[data-ended]").waitFor();
      expect(await page.locator("[data-summary]").isVisible()).toBe(true);
      // The caution stands before the action, wherever there is one.
      expect(await page.locator("section.step[data-step]:visible").count()).toBeLessThanOrEqual(1);
    }
    expect(faults).toEqual([]);
    await context.close();
  });

  test("a reload in the middle keeps the place and all answers; back and start again work", async () => {
    const { context, page, faults } = await site.open();
    await page.goto(`${site.address}trees/${tree}.html`);
    const plan = await planOf(page);
    const { history } = endings(plan).reduce((a, b) => (b.history.length > a.history.length ? b : a));
    await page.locator('guided-walk[data-mode="start"]').waitFor();
    const middle = Math.ceil(history.length / 2);
    for (const entry of history.slice(0, middle)) await give(page, entry);
    const at = await placeOf(page);
    const soFar = await page.locator("[data-so-far]").textContent();
    await page.reload();
    await page.locator('guided-walk[data-mode="walk"]').waitFor();
    expect(await placeOf(page)).toBe(at);
    expect(await page.locator("[data-so-far]").textContent()).toBe(soFar);
    await page.locator('[data-act="back"]').first().click();
    await page.waitForFunction(([was]) => document.querySelector<HTMLElement>("guided-walk")?.dataset.at !== was, [at]);
    expect(await placeOf(page)).toBe(history[middle - 1]?.step);
    await give(page, history[middle - 1] ?? { step: "" });
    expect(await placeOf(page)).toBe(at);
    await page.locator('[data-act="restart"]').first().click();
    // Where something must be put back, that comes first.
    await page.locator('guided-walk:is([data-mode="start"], [data-mode="leave"])').waitFor();
    const leave = page.locator('[data-act="leave"]');
    if (await leave.isVisible()) await leave.click();
    await page.locator('guided-walk[data-mode="start"]').waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });
});

describe.each(trees)("%s", (tree) => {
  test("its ends are reached by links without script", async () => {
    const { context, page } = await site.open({ javaScriptEnabled: false });
    await page.goto(`${site.address}trees/${tree}.html`);
    const plan = await planOf(page);
    /** Links of one section that lead on, as a reader sees them. */
    const linksIn = async (anchor: string): Promise<string[]> =>
      page
        .locator(`section[id="${anchor}"] a.go[href^="#"]`)
        .evaluateAll((links) => links.map((link) => link.getAttribute("href")?.slice(1) ?? ""));
    const from = new Map<string, string | undefined>([[anchorOf(plan.start), undefined]]);
    for (const anchor of from.keys())
      for (const next of await linksIn(anchor)) if (!from.has(next)) from.set(next, anchor);
    const ends = Object.entries(plan.steps)
      .filter(([, step]) => step.kind === "stop" || (step.kind === "found" && step.next === undefined))
      .map(([key]) => anchorOf(key));
    for (const end of [...ends, "done"]) {
      expect(from.has(end), `no links lead to ${end}`).toBe(true);
    }
    for (const end of thorough.includes(tree) ? [...evenly(ends, ENDS - 1), "done"] : ["done"]) {
      const way: string[] = [];
      for (let at: string | undefined = end; at !== undefined; at = from.get(at)) way.unshift(at);
      await page.goto(`${site.address}trees/${tree}.html`);
      for (const [i, anchor] of way.entries()) {
        expect(await page.locator(`section[id="${anchor}"]`).isVisible()).toBe(true);
        const next = way[i + 1];
        if (next === undefined) break;
        await page.locator(`section[id="${anchor}"] a.go[href="#${next}"]`).first().click();
        expect(new URL(page.url()).hash).toBe(`#${next}`);
      }
    }
    await context.close();
  });

  test("an end is reached by keyboard alone", async () => {
    const { context, page, faults } = await site.open();
    await page.goto(`${site.address}trees/${tree}.html`);
    const plan = await planOf(page);
    const ways = endings(plan).sort((a, b) => a.history.length - b.history.length);
    const way = thorough.includes(tree) ? ways.at(-1) : ways.find(({ history }) => history.length > 4);
    if (way === undefined) throw new Error("no way to an end");
    await page.locator('guided-walk[data-mode="start"]').waitFor();
    for (const [i, entry] of way.history.entries()) {
      await settled(page);
      if (i === 0) {
        await tabTo(page, `[data-family="${entry.answer}"] [data-act="begin"]`);
        await page.keyboard.press("Enter");
        await page.locator('guided-walk[data-mode="walk"]').waitFor();
        continue;
      }
      expect(await placeOf(page)).toBe(entry.step);
      const focused = await page.evaluate(() =>
        document.activeElement?.closest("[data-step]")?.getAttribute("data-step"),
      );
      expect(focused, "the focus comes along to the step").toBe(entry.step);
      for (const [id, value] of Object.entries(entry.readings ?? {})) {
        await inOwnUnit(page, id);
        await tabTo(page, `[data-controls] input[data-input="${id}"]`);
        await page.keyboard.type(String(value));
      }
      const isAnswer = entry.answer !== undefined && !entry.readings;
      await tabTo(
        page,
        isAnswer ? `[data-controls] [data-answer="${entry.answer}"]` : '[data-controls] [data-act="go-on"]',
      );
      const before = await page.locator("[data-so-far]").textContent();
      await page.keyboard.press("Enter");
      // An unusual reading is asked about once.
      while ((await page.locator('[data-act="sure"]').count()) > 0) {
        await tabTo(page, '[data-act="sure"]');
        await page.keyboard.press("Enter");
      }
      await page.waitForFunction(
        ([old, at]) => {
          const walk = document.querySelector<HTMLElement>("guided-walk");
          const soFar = document.querySelector("[data-so-far]")?.textContent ?? "";
          return walk?.dataset.busy === undefined && (soFar !== old || walk?.dataset.at !== at);
        },
        [before, entry.step],
      );
    }
    await page.locator("guided-walk[data-ended]").waitFor();
    expect(faults).toEqual([]);
    await context.close();
  });
});

test("a reading outside its bounds is refused with the reason, and comma and point both count", async () => {
  const { context, page } = await site.open();
  await page.goto(`${site.address}trees/pump-cycles-short.html`);
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  await give(page, { step: "=equipment", answer: "jet-pump" });
  await give(page, { step: "look-round" });
  await give(page, { step: await placeOf(page), answer: "sound" });
  expect(await placeOf(page)).toBe("idle-starts");
  const input = page.locator('[data-controls] input[data-input="starts"]');
  expect(await input.getAttribute("inputmode")).toBe("decimal");
  await input.fill("2000");
  await page.locator('[data-controls] [data-act="go-on"]').click();
  expect(await placeOf(page)).toBe("idle-starts");
  expect(await page.locator('[data-refusal="starts"]').textContent()).toMatch(/200/);
  for (const text of ["0,5", "0.5"]) {
    await input.fill(text);
    await expect.poll(() => page.locator("[data-result]").getAttribute("data-range")).toBe("none");
  }
  await input.fill("1,0");
  await expect.poll(() => page.locator("[data-result]").getAttribute("data-range")).toBe("starts");
  await context.close();
});

/** The next step is made ready while a finger is still on the answer that leads to it. */
describe("a finger on an answer", () => {
  /** Where everything stands, but for what is made ready out of sight. */
  const standing = (page: Page) =>
    page.evaluate(() => [
      document.documentElement.scrollHeight,
      scrollY,
      ...[...document.querySelectorAll("body *")].flatMap((one) => {
        const { x, y, width, height } = one.getBoundingClientRect();
        const isShown = width * height > 0 && one.closest("[data-coming]") === null;
        return isShown ? `${one.localName} ${one.id} ${x} ${y} ${width} ${height}` : [];
      }),
    ]);
  const buttonFor = ({ answer, readings }: Entry) =>
    `[data-controls] ${answer === undefined || readings ? '[data-act="go-on"]' : `[data-answer="${answer}"]`}`;
  const press = async (page: Page, selector: string) => {
    const button = page.locator(selector);
    await button.scrollIntoViewIfNeeded();
    await page.waitForFunction(() =>
      [...document.images].every((image) => image.complete || image.offsetParent === null),
    );
    // What comes into sight is laid out with the next frame.
    await page.evaluate(() => new Promise((drawn) => requestAnimationFrame(() => requestAnimationFrame(drawn))));
    const { x = 0, y = 0, width = 0, height = 0 } = (await button.boundingBox()) ?? {};
    await page.mouse.move(x + width / 2, y + height / 2);
    const before = await standing(page);
    await page.mouse.down();
    return before;
  };
  const coming = (page: Page) => page.locator("[data-coming]");

  test.each([360, 1280])("shows that it is felt, and moves nothing, all along a way, %i px wide", async (width) => {
    const { context, page, faults } = await site.open({ viewport: { width, height: 740 } });
    await page.goto(`${site.address}trees/hard-water.html`);
    const { history } = endings(await planOf(page)).reduce((a, b) => (b.history.length > a.history.length ? b : a));
    const [equipment, ...answers] = history;
    await page.locator('guided-walk[data-mode="start"]').waitFor();
    await give(page, equipment ?? { step: "" });
    let ready = 0;
    for (const entry of answers) {
      const at = await placeOf(page);
      await typeReadings(page, entry);
      const button = buttonFor(entry);
      const before = await press(page, button);
      expect(await page.locator(`${button}[data-pressed]`).count(), `pressed at ${at}`).toBe(1);
      expect(await standing(page), `at ${at}`).toEqual(before);
      ready += await coming(page).count();
      expect(await page.locator("[data-coming]:not([aria-hidden='true'])").count(), "out of reach").toBe(0);
      expect(await placeOf(page)).toBe(at);
      await page.mouse.up();
      while ((await page.locator('[data-act="sure"]').count()) > 0) await page.locator('[data-act="sure"]').click();
      await page.waitForFunction((was) => document.querySelector<HTMLElement>("guided-walk")?.dataset.at !== was, at);
      await settled(page);
      expect(await page.locator("[data-coming], .step[aria-hidden], .procedure[aria-hidden]").count()).toBe(0);
      expect(await page.locator("section.step[data-step]:visible").count()).toBe(1);
    }
    await page.locator("guided-walk[data-ended]").waitFor();
    expect(ready).toBeGreaterThan(answers.length / 2);
    expect(faults).toEqual([]);
    await context.close();
  });

  test("answers nothing when it leaves the button, or scrolls; what is answered then decides", async () => {
    const { context, page, faults } = await site.open({ hasTouch: true });
    await page.goto(`${site.address}trees/ro-slow.html`);
    await page.locator('guided-walk[data-mode="start"]').waitFor();
    await give(page, { step: "=equipment", answer: "tank-ro" });
    expect(await placeOf(page)).toBe("whats-open");
    const plan = await planOf(page);
    const { steps } = plan;
    const step = steps["whats-open"];
    if (step?.kind !== "look") throw new Error("no check");
    const [first, second] = step.answers;
    const isAsItWas = async () => {
      await expect.poll(() => coming(page).count()).toBe(0);
      expect(await page.locator("[data-pressed]").count()).toBe(0);
      expect(await page.locator("[data-controls]").count()).toBe(1);
      expect(await placeOf(page)).toBe("whats-open");
    };

    // Off the button before it is lifted.
    const before = await press(page, `[data-answer="${first?.id}"]`);
    await expect.poll(() => coming(page).count()).toBe(1);
    await page.mouse.move(5, 5);
    await page.mouse.up();
    await isAsItWas();
    expect(await standing(page)).toEqual(before);

    // A finger that goes on to scroll.
    const { x = 0, y = 0 } = (await page.locator(`[data-answer="${first?.id}"]`).boundingBox()) ?? {};
    const devtools = await context.newCDPSession(page);
    const touch = (type: "touchStart" | "touchMove" | "touchEnd", up = 0) =>
      devtools.send("Input.dispatchTouchEvent", {
        type,
        touchPoints: type === "touchEnd" ? [] : [{ x: x + 20, y: y + 20 - up }],
      });
    await touch("touchStart");
    await expect.poll(() => coming(page).count()).toBe(1);
    for (const up of [20, 60, 120]) await touch("touchMove", up);
    await touch("touchEnd");
    await isAsItWas();
    await page.evaluate(() => scrollTo(0, 0));

    // While one finger is on the first answer, the second is given by keyboard, which comes to nothing out of sight.
    await press(page, `[data-answer="${first?.id}"]`);
    await expect.poll(() => coming(page).count()).toBe(1);
    await page.keyboard.press("Tab");
    expect(await coming(page).count()).toBe(0);
    await page.locator(`[data-answer="${second?.id}"]`).focus();
    await page.keyboard.press("Enter");
    await page.waitForFunction(() => document.querySelector<HTMLElement>("guided-walk")?.dataset.at !== "whats-open");
    const expected = replay(plan, [
      { step: "=equipment", answer: "tank-ro" },
      { step: "whats-open", answer: second?.id ?? "" },
    ]);
    if (isMisfit(expected)) throw new Error(expected.because);
    expect(await placeOf(page)).toBe(expected.at);
    await page.mouse.up();
    await expect.poll(() => coming(page).count()).toBe(0);
    expect(await page.locator("section.step[data-step]:visible").count()).toBe(1);
    expect(await page.locator("[data-controls]").count()).toBe(1);
    expect(faults).toEqual([]);
    await context.close();
  });
});
