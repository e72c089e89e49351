/** What is true now, the door for whoever has to stop, and the question for a licence. */
import type { Page } from "playwright-core";
import { describe, expect, inject, test } from "vitest";
import {
  type Entry,
  EQUIPMENT,
  isMisfit,
  LICENSED,
  type Place,
  replay,
  UNLICENSED,
  waysBack,
} from "../../site/src/walk/engine.ts";
import type { Plan } from "../../site/src/walk/plan.ts";
import { axeFaults } from "./axe.ts";
import { endings } from "./histories.ts";
import { scratch } from "./scratch.ts";
import { served } from "./served.ts";
import { give, placeOf, planOf, settled, tabTo } from "./walking.ts";

const { folder } = scratch("licensed-base.yaml");
const site = served(() => folder);
const demo = served(() => inject("site"));

const toTree: readonly Entry[] = [
  { step: EQUIPMENT, answer: "dial-softener" },
  { step: "isolate" },
  { step: "bypass-test__turn-handles" },
  { step: "bypass-test__test", answer: "softer" },
  { step: "pull-plug" },
];
const toOpened: readonly Entry[] = [
  ...toTree,
  { step: "in-tree", answer: LICENSED },
  { step: "in-tree", answer: "live" },
  { step: "in-routine" },
  { step: "test-dead__test" },
  { step: "is-head-off", answer: "yes" },
  { step: "lift-head" },
];

function placeAfter(plan: Plan, history: readonly Entry[]): Place {
  const place = replay(plan, history);
  if (isMisfit(place)) throw new Error(place.because);
  return place;
}

async function walked(page: Page, address: string, history: readonly Entry[]): Promise<Plan> {
  await page.goto(address);
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  for (const entry of history) await give(page, entry);
  return planOf(page);
}

const statesOn = (page: Page, attribute: string): Promise<string[]> =>
  page.locator(`[${attribute}]`).evaluateAll((all, name) => all.map((one) => one.getAttribute(name) ?? ""), attribute);

const sizes = [
  ["360 px", { width: 360, height: 740 }],
  ["1280 px", { width: 1280, height: 800 }],
] as const;

describe.each(sizes)("at %s", (_name, viewport) => {
  test("what is true now is right at every step and stays in sight, however far the page is scrolled", async () => {
    const { context, page, faults } = await demo.open({ viewport });
    await page.goto(`${demo.address}trees/pump-cycles-short.html`);
    const plan = await planOf(page);
    const most = (history: readonly Entry[]): number =>
      Math.max(...history.map((_, i) => placeAfter(plan, history.slice(0, i)).states.length));
    const { history } = endings(plan).reduce((a, b) => (most(b.history) > most(a.history) ? b : a));
    expect(most(history)).toBeGreaterThanOrEqual(4);
    await page.locator('guided-walk[data-mode="start"]').waitFor();
    for (const [i, entry] of history.entries()) {
      await give(page, entry);
      const line = page.locator("[data-true-now]");
      expect(await statesOn(page, "data-true"), entry.step).toEqual(placeAfter(plan, history.slice(0, i + 1)).states);
      await page.evaluate(() => window.scrollTo(0, document.documentElement.scrollHeight / 2));
      const box = await line.boundingBox();
      expect(box?.y, entry.step).toBeGreaterThanOrEqual(0);
      expect((box?.y ?? 0) + (box?.height ?? 0), entry.step).toBeLessThan(viewport.height / 2);
      expect(box?.height, "small").toBeLessThan(viewport.height / 6);
    }
    expect(faults).toEqual([]);
    await context.close();
  });

  test("the door out, the way back in and the question for a licence have no fault that axe finds", async () => {
    for (const colorScheme of ["light", "dark"] as const) {
      const { context, page } = await site.open({ viewport, colorScheme, reducedMotion: "reduce" });
      await walked(page, `${site.address}trees/no-display.html`, toTree);
      expect(await page.locator("guided-walk").getAttribute("data-asks")).toBe("electrician");
      expect(await axeFaults(page)).toEqual([]);
      for (const entry of toOpened.slice(toTree.length)) await give(page, entry);
      await page.locator('[data-act="stop"]').click();
      await page.locator('guided-walk[data-mode="leave"]').waitFor();
      for (const summary of await page.locator("[data-leaving] summary").all()) await summary.click();
      expect(await axeFaults(page)).toEqual([]);
      const small = await page
        .locator("[data-leaving] :is(button, summary, a.go):visible")
        .evaluateAll((all) => all.filter((one) => one.getBoundingClientRect().height < 44).map((one) => one.outerHTML));
      expect(small).toEqual([]);
      const overflow = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect(overflow).toBeLessThanOrEqual(0);
      await page.locator('[data-act="leave"]').click();
      await page.locator('[data-act="resume"]').click();
      await page.locator('guided-walk[data-mode="return"]').waitFor();
      expect(await axeFaults(page)).toEqual([]);
      await context.close();
    }
  });
});

test("what is true now follows going back, a reload and a repeat", async () => {
  const { context, page } = await site.open();
  const before = [...toOpened.slice(0, -2)];
  const plan = await walked(page, `${site.address}trees/no-display.html`, before);
  expect(await statesOn(page, "data-true")).toEqual(["bypassed", "unplugged", "tested"]);
  await page.locator('[data-act="back"]').click();
  await expect.poll(() => statesOn(page, "data-true")).toEqual(["bypassed", "unplugged"]);
  await page.reload();
  await page.locator('guided-walk[data-mode="walk"]').waitFor();
  expect(await statesOn(page, "data-true")).toEqual(["bypassed", "unplugged"]);
  await give(page, { step: "test-dead__test" });
  // Sent back and through the routine again: what already held keeps its place in the order.
  const again = [
    { step: "is-head-off", answer: "again" },
    { step: "in-tree", answer: "dead" },
    { step: "in-routine" },
    { step: "test-dead__test" },
  ];
  for (const entry of again) await give(page, entry);
  expect(placeAfter(plan, [...before, ...again]).states).toEqual(["bypassed", "unplugged", "tested"]);
  expect(await statesOn(page, "data-true")).toEqual(["bypassed", "unplugged", "tested"]);
  await context.close();
});

test("whoever has to stop is shown what to put back, last change first, and can come back later", async () => {
  const { context, page, faults } = await site.open();
  await walked(page, `${site.address}trees/no-display.html`, toOpened);
  expect(await placeOf(page)).toBe("close-head");
  await tabTo(page, '[data-act="stop"]');
  await page.keyboard.press("Enter");
  await page.locator('guided-walk[data-mode="leave"]').waitFor();
  expect(await page.evaluate(() => document.activeElement?.closest("[data-leaving]") !== null)).toBe(true);
  expect(await statesOn(page, "data-back")).toEqual(["opened", "unplugged", "bypassed"]);
  // `tested` may stay: it is named, but nobody has to put it back.
  expect(await page.locator("[data-leaving]").textContent()).toContain("Tested");
  expect(await page.locator('[data-back="opened"]').textContent()).toContain("The head is off the vessel.");
  expect(await page.locator('[data-back="opened"] a').getAttribute("href")).toBe("#close-head");
  const steps = page.locator('[data-back="unplugged"] details[data-steps="plug-in"]');
  await tabTo(page, '[data-back="unplugged"] summary');
  await page.keyboard.press("Enter");
  expect(await steps.locator(".step").first().isVisible()).toBe(true);
  expect(await steps.textContent()).toContain("Put the plug back in");
  expect(await page.locator('[data-back="bypassed"]').textContent()).toContain("Put the unit back into service");

  // Still leaving after a reload; staying goes on where the walk stood.
  await page.reload();
  await page.locator('guided-walk[data-mode="leave"]').waitFor();
  await page.locator('[data-act="stay"]').click();
  expect(await placeOf(page)).toBe("close-head");

  await page.locator('[data-act="stop"]').click();
  await tabTo(page, '[data-act="leave"]');
  await page.keyboard.press("Enter");
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  await page.goto("about:blank");
  await page.goto(`${site.address}trees/no-display.html`);
  await page.locator('[data-act="resume"]').click();
  await page.locator('guided-walk[data-mode="return"]').waitFor();
  expect(await statesOn(page, "data-again")).toEqual(["bypassed", "unplugged", "tested", "opened"]);
  await page.locator('[data-leaving] [data-act="go-on"]').click();
  expect(await placeOf(page)).toBe("close-head");
  expect(await statesOn(page, "data-true")).toEqual(["bypassed", "unplugged", "tested", "opened"]);
  await give(page, { step: "close-head" });
  expect(await placeOf(page)).toBe("power-again");
  expect(faults).toEqual([]);
  await context.close();
});

test("when nothing has to be put back, the door says so plainly", async () => {
  const { context, page } = await site.open();
  await walked(page, `${site.address}trees/no-display.html`, toTree.slice(0, 1));
  await page.locator('[data-act="stop"]').click();
  await page.locator('guided-walk[data-mode="leave"]').waitFor();
  expect(await page.locator("[data-back]").count()).toBe(0);
  expect(await page.locator("[data-leaving]").textContent()).toContain("Nothing has to be put back");
  await page.locator('[data-act="leave"]').click();
  await page.locator('[data-act="resume"]').click();
  expect(await placeOf(page)).toBe("isolate");
  await context.close();
});

test("at every place of the demo, all that must be put back is listed, none before what came after it", async () => {
  const { context, page } = await demo.open();
  for (const tree of ["water-runs-to-drain", "ro-runs-to-drain", "pump-cycles-short"]) {
    await page.goto(`${demo.address}trees/${tree}.html`);
    const plan = await planOf(page);
    for (const { history } of endings(plan))
      for (const [i] of history.entries()) {
        const place = placeAfter(plan, history.slice(0, i + 1));
        const held = place.states.filter((state) => plan.back[state] !== undefined);
        const ways = waysBack(plan, place);
        expect(ways.flatMap(({ states }) => states).sort()).toEqual([...held].sort());
        const firsts = ways.map(({ states }) => held.indexOf(states.at(-1) ?? ""));
        expect(firsts).toEqual([...firsts].sort((a, b) => b - a));
      }
  }
  await context.close();
});

test("who holds the licence does the step, and is asked once", async () => {
  const { context, page, faults } = await site.open();
  await walked(page, `${site.address}trees/no-display.html`, toTree);
  const section = page.locator("#in-tree");
  expect(await section.locator("[data-licence]").textContent()).toMatch(
    /Electrician.*mains wiring.*Local law decides/s,
  );
  expect(await section.locator(".things").isVisible(), "nothing else is shown before the answer").toBe(false);
  await tabTo(page, `[data-controls] [data-answer="${LICENSED}"]`);
  await page.keyboard.press("Enter");
  await page.locator("guided-walk:not([data-asks])").waitFor();
  expect(await placeOf(page)).toBe("in-tree");
  expect(await section.locator(".things").isVisible()).toBe(true);
  expect(await page.locator("[data-so-far]").textContent()).toContain("Do you hold this licence: Electrician?");
  await page.reload();
  await page.locator('guided-walk[data-mode="walk"]').waitFor();
  expect(await page.locator("guided-walk").getAttribute("data-asks")).toBeNull();
  await give(page, { step: "in-tree", answer: "live" });
  await give(page, { step: "in-routine" });
  expect(await placeOf(page)).toBe("test-dead__test");
  expect(await page.locator("guided-walk").getAttribute("data-asks")).toBeNull();
  await give(page, { step: "test-dead__test" });
  expect(await statesOn(page, "data-true")).toContain("tested");
  // Going back past the question takes the answer back.
  for (const at of ["test-dead__test", "in-routine", "in-tree"]) {
    await page.locator('[data-act="back"]').click();
    await expect.poll(() => placeOf(page)).toBe(at);
  }
  await page.locator('[data-act="back"]').click();
  await page.locator('guided-walk[data-asks="electrician"]').waitFor();
  expect(faults).toEqual([]);
  await context.close();
});

test("who lacks it is led away, in the tree and in a routine, and nothing is taken for done", async () => {
  const { context, page, faults } = await site.open();
  await walked(page, `${site.address}trees/no-display.html`, [...toTree, { step: "in-tree", answer: UNLICENSED }]);
  expect(await placeOf(page)).toBe("in-routine");
  expect(await page.locator("[data-status]").textContent()).toContain("Is there voltage at the socket?");
  await give(page, { step: "in-routine" });
  // The routine returns by the outcome that it names for this, without asking again.
  expect(await placeOf(page)).toBe("power-again");
  expect(await page.locator("[data-status]").textContent()).toContain("Hold the tester to the socket");
  expect(await statesOn(page, "data-true")).toEqual(["bypassed", "unplugged"]);
  for (const step of [
    "power-again",
    "plug-in__step--1",
    "restore",
    "back-to-service__step--1",
    "back-to-service__step--2",
  ])
    await give(page, { step });
  await page.locator("guided-walk[data-ended]").waitFor();
  expect(await page.locator("[data-summary] [data-answers]").textContent()).toMatch(
    /Do you hold this licence: Electrician\?\s*No/,
  );
  expect(faults).toEqual([]);
  await context.close();
});

test("an end shows what stays as it is, with the reason, and only what is true", async () => {
  const { context, page } = await site.open();
  const history = [...toTree.slice(0, 3), { step: "bypass-test__test", answer: "as-before" }];
  await walked(page, `${site.address}trees/no-display.html`, history);
  await page.locator("guided-walk[data-ended]").waitFor();
  expect(await page.locator('[data-act="stop"]').count()).toBe(0);
  expect(await page.locator('[data-summary] [data-left="bypassed"]').textContent()).toContain(
    "The customer wants it so.",
  );
  await context.close();
});

test("beginning again is leaving early too, while something must be put back", async () => {
  const { context, page, faults } = await site.open();
  await walked(page, `${site.address}trees/no-display.html`, toTree);
  await page.locator('[data-act="restart"]').first().click();
  await page.locator('guided-walk[data-mode="leave"]').waitFor();
  expect(await page.locator("[data-leaving] [data-back]").count()).toBeGreaterThan(0);
  await page.locator('[data-act="leave"]').click();
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  // Where nothing must be put back, it begins at once.
  await walked(page, `${site.address}trees/no-display.html`, toTree.slice(0, 2));
  await page.locator('[data-act="restart"]').first().click();
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  expect(faults).toEqual([]);
  await context.close();
});

test("without script, the licence stands before the step, and every step leads to how all is put back", async () => {
  const { context, page } = await site.open({ javaScriptEnabled: false });
  await page.goto(`${site.address}trees/no-display.html`);
  const body = page.locator("#in-tree .body");
  expect(await body.locator("> *").nth(1).getAttribute("data-licence")).toBe("electrician");
  await body.locator("[data-licence] a.go").click();
  expect(new URL(page.url()).hash).toBe("#in-routine");
  const routine = page.locator("#test-dead__test [data-licence] a.go");
  expect(await routine.getAttribute("href")).toBe("#test-dead__out_nobody");
  await page.locator('#close-head a[href="#leaving"]').click();
  expect(await page.locator("#leaving").isVisible()).toBe(true);
  const unplugged = page.locator("#state_unplugged + dd");
  expect(await unplugged.textContent()).toContain("The plug is out and in sight.");
  expect(await unplugged.locator("a.go").getAttribute("href")).toBe("#routine-plug-in");
  await settled(page);
  await context.close();
});
