/**
 * What a screen reader is given: Chromium's accessibility tree, in its order, and what is announced without being asked
 * for. WCAG 2.2: 1.3.2 (meaningful sequence), 2.4.3 (focus order), 4.1.2 (name, role, value), 4.1.3 (status messages).
 */
import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import { endings } from "./histories.ts";
import { served } from "./served.ts";
import { give, planOf, settled } from "./walking.ts";

const site = served();

interface Node {
  readonly nodeId: string;
  readonly ignored: boolean;
  readonly role?: { readonly value: string };
  readonly name?: { readonly value: string };
  readonly properties?: readonly { readonly name: string; readonly value: { readonly value?: unknown } }[];
  readonly childIds?: readonly string[];
}

interface Spoken {
  readonly role: string;
  readonly name: string;
  /** `polite` or `assertive`, of a region whose changes are read out. */
  readonly live: string;
  readonly isFocused: boolean;
}

/** Everything that is not ignored, in the order in which it is read. */
async function spoken(page: Page): Promise<Spoken[]> {
  const devtools = await page.context().newCDPSession(page);
  const { nodes } = (await devtools.send("Accessibility.getFullAXTree")) as unknown as { nodes: Node[] };
  await devtools.detach();
  const byId = new Map(nodes.map((node) => [node.nodeId, node]));
  const read: Spoken[] = [];
  const visit = (id: string | undefined): void => {
    const node = id === undefined ? undefined : byId.get(id);
    if (node === undefined) return;
    const property = (name: string) => node.properties?.find((one) => one.name === name)?.value.value;
    if (!node.ignored)
      read.push({
        role: node.role?.value ?? "",
        name: (node.name?.value ?? "").replace(/\s+/g, " ").trim(),
        live: String(property("live") ?? ""),
        isFocused: property("focused") === true,
      });
    for (const child of node.childIds ?? []) visit(child);
  };
  visit(nodes[0]?.nodeId);
  return read;
}

const text = async (page: Page, selector: string): Promise<string[]> =>
  (await page.locator(selector).allTextContents()).map((said) => said.replace(/\s+/g, " ").trim());

test("a step is read from its heading: first its caution, then the work, then the answers; the rest comes behind", async () => {
  const { context, page, faults } = await site.open();
  await page.goto(`${site.address}trees/ro-slow.html`);
  const { history } = endings(await planOf(page)).reduce((a, b) => (b.history.length > a.history.length ? b : a));
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  let cautions = 0;
  for (const entry of history) {
    await give(page, entry);
    await settled(page);
    if ((await page.locator("guided-walk[data-ended]").count()) > 0) break;
    const step = "section.step[data-step]:visible";
    const read = await spoken(page);
    const [title = ""] = await text(page, `${step} h3`);
    const focused = read.findIndex(({ isFocused, role }) => isFocused && role !== "RootWebArea");
    expect(read[focused], `behind ${entry.step}`).toMatchObject({ role: "heading", name: title });
    // What stands above is read before, and nothing of it again.
    const after = read.slice(focused + 1);
    const place = (name: string, from = 0) => after.findIndex((one, i) => i >= from && one.name === name);
    let at = 0;
    for (const avoid of await text(page, `${step} .safety .avoid`)) {
      const found = after.findIndex(({ role, name }, i) => i >= at && role === "StaticText" && avoid.startsWith(name));
      expect(found, `${entry.step}: ${avoid}`).toBeGreaterThanOrEqual(at);
      at = found;
      cautions++;
    }
    const buttons = await text(page, "[data-controls]:visible button:not([hidden])");
    const answers = after.filter(({ role, name }) => role === "button" && buttons.includes(name));
    expect(answers.length, `behind ${entry.step}`).toBeGreaterThan(0);
    const first = after.indexOf(answers[0] as Spoken);
    expect(first).toBeGreaterThan(at);
    const stop = place("I have to stop");
    expect(stop, "the way out is the last thing of the walk").toBeGreaterThan(first);
    // Nothing that can be worked is without a name.
    for (const { role, name } of read)
      if (/^(button|link|textbox|combobox|radio|spinbutton)$/.test(role)) expect(name, role).not.toBe("");
  }
  expect(cautions).toBeGreaterThan(0);
  expect(faults).toEqual([]);
  await context.close();
});

test("what changes without being asked for is announced: what is true now, what a reading means, why it is refused", async () => {
  const { context, page, faults } = await site.open();
  await page.goto(`${site.address}trees/ro-slow.html`);
  const plan = await planOf(page);
  const { history } = endings(plan).reduce((a, b) => (b.history.length > a.history.length ? b : a));
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  const announced = async () =>
    page.evaluate(() =>
      [...document.querySelectorAll<HTMLElement>('[aria-live="polite"], [role="status"], [role="alert"], output')]
        .filter((region) => region.checkVisibility())
        .map((region) => (region.textContent ?? "").replace(/\s+/g, " ").trim())
        .join(" | "),
    );
  const seen = new Set<string>();
  for (const entry of history) {
    const [reading] = Object.keys(entry.readings ?? {});
    if (reading !== undefined && !seen.has("refused")) {
      const field = page.locator(`[data-controls] input[data-input="${reading}"]`);
      await field.fill("no number");
      await page.locator('[data-controls] [data-act="go-on"]').click();
      expect(await announced()).toContain((await text(page, `[data-refusal="${reading}"]`))[0]);
      // And it is said with the field, for whoever comes back to it.
      expect(await field.getAttribute("aria-invalid")).toBe("true");
      seen.add("refused");
      for (const [id, value] of Object.entries(entry.readings ?? {}))
        await page.locator(`[data-controls] input[data-input="${id}"]`).fill(String(value));
      await page.locator("[data-result][data-range]").first().waitFor();
      const says = await announced();
      const [means = ""] = await text(page, "[data-result]");
      expect(means).not.toBe("");
      expect(says).toContain(means.slice(0, 20));
      seen.add("means");
    }
    const before = await announced();
    await give(page, entry);
    await settled(page);
    const [now = ""] = await text(page, "[data-true-now]");
    if ((await page.locator("[data-true]").count()) > 0 && !before.includes(now)) {
      expect(await announced()).toContain(now);
      seen.add("true now");
    }
  }
  expect([...seen].sort()).toEqual(["means", "refused", "true now"]);
  await page.locator('[data-act="back"]').first().click();
  await settled(page);
  await expect.poll(announced).toContain("Taken back");
  expect(faults).toEqual([]);
  await context.close();
});
