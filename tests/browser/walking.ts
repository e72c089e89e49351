/** What a reader does on a tree's page, by mouse or finger, or by keyboard alone. */
import type { Page } from "playwright-core";
import { type Entry, EQUIPMENT } from "../../site/src/walk/engine.ts";
import type { Plan } from "../../site/src/walk/plan.ts";

export async function planOf(page: Page): Promise<Plan> {
  return JSON.parse((await page.locator("guided-walk [data-plan]").textContent()) ?? "") as Plan;
}

/** Waits until the walk has taken in the last entry. */
export async function settled(page: Page): Promise<void> {
  await page.locator("guided-walk:not([data-busy])").waitFor();
}

export async function placeOf(page: Page): Promise<string> {
  await settled(page);
  return (await page.locator("guided-walk").getAttribute("data-at")) ?? "";
}

/** Sets a reading's field to the author's unit, in which a history keeps it. */
export async function inOwnUnit(page: Page, reading: string): Promise<void> {
  const unit = page.locator(`[data-controls] select[data-unit-of="${reading}"]`);
  if ((await unit.count()) > 0) await unit.selectOption({ index: 0 });
}

async function languageOf(page: Page): Promise<string> {
  return (await page.locator("html").getAttribute("lang")) ?? "en";
}

/** As somebody types it who reads the language of the page. */
function typed(value: number, language: string): string {
  const mark = new Intl.NumberFormat(language).formatToParts(0.5).find(({ type }) => type === "decimal");
  return String(value).replace(".", mark?.value ?? ".");
}

export async function typeReadings(page: Page, { readings = {} }: Entry): Promise<void> {
  for (const [id, value] of Object.entries(readings)) {
    await inOwnUnit(page, id);
    await page.locator(`[data-controls] input[data-input="${id}"]`).fill(typed(value, await languageOf(page)));
  }
}

/** Gives one answer as the page asks for it. */
export async function give(page: Page, entry: Entry): Promise<void> {
  await settled(page);
  if (entry.step === EQUIPMENT) {
    const family = page.locator(`[data-family="${entry.answer}"] [data-act="begin"]`);
    if ((await family.count()) > 0) await family.click();
    await page.locator('guided-walk[data-mode="walk"]').waitFor();
    return;
  }
  await typeReadings(page, entry);
  const before = await placeOf(page);
  const asked = (await page.locator("guided-walk").getAttribute("data-asks")) ?? undefined;
  if (entry.answer !== undefined && !entry.readings)
    await page.locator(`[data-controls] [data-answer="${entry.answer}"]`).click();
  else await page.locator('[data-controls] [data-act="go-on"]').click();
  while ((await page.locator('[data-act="sure"]').count()) > 0) await page.locator('[data-act="sure"]').click();
  // After the question for a licence the step is the same, and is shown.
  await page.waitForFunction(
    ([at, asks]) => {
      const walk = document.querySelector<HTMLElement>("guided-walk");
      return walk?.dataset.busy === undefined && (walk?.dataset.at !== at || walk?.dataset.asks !== asks);
    },
    [before, asked],
  );
}

/** Moves focus with Tab until it is on the element; fails after a whole round. */
export async function tabTo(page: Page, selector: string): Promise<void> {
  for (let presses = 0; presses < 200; presses++) {
    if (await page.evaluate((wanted) => document.activeElement?.matches(wanted) ?? false, selector)) return;
    await page.keyboard.press("Tab");
  }
  throw new Error(`the keyboard does not come to ${selector}`);
}
