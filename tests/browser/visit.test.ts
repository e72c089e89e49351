/** The visit around its steps: what to bring, where and for whom, several at once, notes and photos, going back. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { describe, expect, inject, test } from "vitest";
import type { JobRecord } from "../../site/src/record/format.ts";
import { demoData, isProcedure } from "../outside/demo.ts";
import { axeFaults } from "./axe.ts";
import { endings } from "./histories.ts";
import { served } from "./served.ts";
import { give, placeOf, planOf, tabTo } from "./walking.ts";

const site = served();
const EQUIPMENT = "=equipment";

describe("what to bring", () => {
  /** The files as another YAML parser reads them, by what they hold. */
  type Raw = Readonly<Record<string, unknown>>;
  const files = [...demoData].filter(([path]) => isProcedure(path)).map(([, data]) => data as Raw);
  const routines = new Map(files.flatMap((file) => (typeof file.routine === "string" ? [[file.routine, file]] : [])));

  /** Everything below a value that is called a tool or a part, in routines that it names too. Knows no compiler. */
  function things(value: unknown, seen: Set<string> = new Set()): Set<string> {
    const found = new Set<string>();
    const join = (more: Iterable<string>) => {
      for (const one of more) found.add(one);
    };
    const routine = (id: unknown) => {
      const file = typeof id === "string" ? routines.get(id) : undefined;
      if (file === undefined || seen.has(id as string)) return;
      seen.add(id as string);
      join(things(file.steps, seen));
    };
    if (typeof value !== "object" || value === null) return found;
    for (const [key, part] of Object.entries(value)) {
      if (key === "tools" || key === "parts") for (const id of part as string[]) found.add(`${key.slice(0, -1)}/${id}`);
      else if (key === "use") routine(part);
      else if (key === "remedy" && typeof part === "string") routine(part);
      else join(things(part, seen));
    }
    return found;
  }

  // A training case names its tree too, and has no steps.
  const trees = files.filter(({ tree, steps }) => typeof tree === "string" && steps !== undefined);
  test.each(trees.map((file) => [file.tree as string, file] as const))("%s: as counted from the YAML", (tree, file) => {
    const causes = (file.causes ?? {}) as Readonly<Record<string, { likelihood: number }>>;
    const all = Object.values(causes).reduce((sum, { likelihood }) => sum + likelihood, 0);
    const steps = Object.values(file.steps as Readonly<Record<string, Raw>>);
    const always = things(steps.filter(({ found }) => found === undefined));
    const wanted = new Map<string, Set<string>>();
    for (const step of steps.filter(({ found }) => found !== undefined))
      for (const thing of things([step]))
        wanted.set(thing, (wanted.get(thing) ?? new Set<string>()).add(step.found as string));
    const html = readFileSync(join(inject("site"), "trees", `${tree}.html`), "utf8");
    const shown = [...html.matchAll(/<li data-bring="([^"]+)" data-kind="([^"]+)">(.*?)<\/li>/g)].map(
      ([, id = "", kind = "", rest = ""]) => [`${kind}/${id}`, /data-share="([^"]+)"/.exec(rest)?.[1]] as const,
    );
    const counted = new Map<string, string | undefined>([...always].map((thing) => [thing, undefined]));
    for (const [thing, ids] of wanted) {
      const sum = [...ids].reduce((total, id) => total + (causes[id]?.likelihood ?? 0), 0);
      if (!always.has(thing)) counted.set(thing, String(all === 0 ? 0 : sum / all));
    }
    const rounded = (rows: Iterable<readonly [string, string | undefined]>) =>
      [...rows].map(([thing, share]) => [thing, share && Number(share).toFixed(9)]).sort();
    expect(rounded(shown)).toEqual(rounded(counted));
    for (const kind of ["part/", "tool/"]) {
      const shares = shown
        .filter(([thing, share]) => share && thing.startsWith(kind))
        .map(([, share]) => Number(share));
      expect(shares).toEqual([...shares].sort((one, other) => other - one));
    }
  });

  test("there are repairs among them, and shares between nothing and all", () => {
    const html = readFileSync(join(inject("site"), "trees", "ro-slow.html"), "utf8");
    const shares = [...html.matchAll(/data-share="([^"]+)"/g)].map(([, share]) => Number(share));
    expect(shares.length).toBeGreaterThan(3);
    expect(Math.max(...shares)).toBeLessThanOrEqual(1);
    expect(Math.min(...shares)).toBeGreaterThanOrEqual(0);
  });
});

async function begin(page: Page, tree: string, family: string, about: Readonly<Record<string, string>>): Promise<void> {
  await page.goto("about:blank");
  await page.goto(`${site.address}trees/${tree}.html`);
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  for (const [name, text] of Object.entries(about)) await page.locator(`[data-about] [name="${name}"]`).fill(text);
  await give(page, { step: EQUIPMENT, answer: family });
}

test("a reader who doesn't know the equipment is led to the tree that tells it", async () => {
  const { context, page, faults } = await site.open();
  await page.goto(`${site.address}trees/ro-slow.html`);
  await page.locator("[data-unknown]").click();
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  expect(page.url()).toBe(`${site.address}trees/what-is-this-unit.html`);
  expect(await page.locator("[data-unknown]").count()).toBe(0);
  expect(faults).toEqual([]);
  await context.close();
});

test("several visits are listed on the home page, each with its equipment and address, and each goes on where it was", async () => {
  const { context, page, faults } = await site.open();
  await begin(page, "ro-slow", "tank-ro", { address: "12 Reed Lane", who: "A. Apprentice", said: "It only dribbles" });
  await give(page, { step: "whats-open", answer: "open" });
  const first = await placeOf(page);
  // The name is kept for the next time, the address and the customer's words are not.
  await page.goto("about:blank");
  await page.goto(`${site.address}trees/pump-cycles-short.html`);
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  expect(await page.locator('[data-about] [name="who"]').inputValue()).toBe("A. Apprentice");
  expect(await page.locator('[data-about] [name="address"]').inputValue()).toBe("");
  await begin(page, "pump-cycles-short", "jet-pump", { address: "3 Mill Road" });
  const second = await placeOf(page);
  await begin(page, "ro-slow", "direct-ro", { address: "5 Weir Street" });

  for (const [address, tree, at] of [
    ["12 Reed Lane", "ro-slow", first],
    ["3 Mill Road", "pump-cycles-short", second],
  ] as const) {
    await page.goto(`${site.address}index.html`);
    await page.locator("[data-visit]").nth(2).waitFor();
    await page.locator("[data-visit]", { hasText: address }).locator('[data-act="go-on"]').click();
    await page.locator('guided-walk[data-mode="walk"]').waitFor();
    expect(new URL(page.url()).pathname).toContain(`${tree}.html`);
    expect(await placeOf(page)).toBe(at);
    // A reload stays with it.
    await page.reload();
    await page.locator('guided-walk[data-mode="walk"]').waitFor();
    expect(await placeOf(page)).toBe(at);
    expect(await page.locator("[data-so-far]").textContent()).toContain(address);
  }
  expect(faults).toEqual([]);
  await context.close();
});

/** A picture of the given size, as a camera would make one. */
async function picture(page: Page, width: number, height: number): Promise<Buffer> {
  const base64 = await page.evaluate(
    ([w, h]) => {
      const canvas = document.createElement("canvas");
      canvas.width = w as number;
      canvas.height = h as number;
      const pen = canvas.getContext("2d");
      pen?.fillRect(0, 0, (w as number) / 2, h as number);
      return canvas.toDataURL("image/png").split(",")[1] ?? "";
    },
    [width, height],
  );
  return Buffer.from(base64, "base64");
}

const photosKept = (page: Page) =>
  page.evaluate(
    () =>
      new Promise<{ type: string; sides: number[] }[]>((resolve) => {
        const request = indexedDB.open("headwater");
        request.onsuccess = () => {
          const all = request.result.transaction("photos").objectStore("photos").getAll();
          all.onsuccess = async () => {
            const found = (all.result as { jpeg: Blob }[]).map(async ({ jpeg }) => {
              const { width, height } = await createImageBitmap(jpeg);
              return { type: jpeg.type, sides: [width, height] };
            });
            request.result.close();
            resolve(await Promise.all(found));
          };
        };
      }),
  );

test("what was said before the first step is mended on the way, and a note at the end is in the record", async () => {
  const { context, page, faults } = await site.open();
  await begin(page, "ro-slow", "tank-ro", { address: "12 Reed Lane", who: "A. Apprentice" });
  await page.locator("[data-so-far] summary").click();
  const lines = page.locator("[data-about-here]");
  expect(await lines.locator('[name="who"]').inputValue()).toBe("A. Apprentice");
  await lines.locator('[name="address"]').fill("21 Reed Lane");
  await lines.locator('[name="said"]').fill("It only dribbles");
  expect(await page.locator("[data-so-far] summary").textContent()).toContain("21 Reed Lane");
  // On the chart, and back to the visit.
  await page.locator("[data-chart]").click();
  await page.locator("[data-box][aria-current]").waitFor();
  await page.locator("[data-to-steps]").click();
  await page.locator('guided-walk[data-mode="walk"]').waitFor();
  const plan = await planOf(page);
  const { history } = endings(plan).reduce((a, b) => (b.history.length < a.history.length ? b : a));
  for (const entry of history.slice(1)) await give(page, entry);
  await page.locator("[data-summary] h2").waitFor();
  await page.locator("[data-note] summary").click();
  await page.locator("#note_text").fill("The key is with the neighbour.");
  // The note is left, and the record on the screen has it.
  await page.locator("#note_text").press("Tab");
  await page.locator("[data-summary] .note-text").waitFor();
  expect(await page.locator("[data-summary] .note-text").textContent()).toBe("The key is with the neighbour.");
  expect(await page.locator("[data-summary] .record-facts").textContent()).toContain("21 Reed Lane");
  expect(await page.locator("[data-summary] [data-said]").textContent()).toContain("It only dribbles");
  await page.reload();
  await page.locator("[data-summary] .note-text").waitFor();
  expect(await page.locator("[data-summary] .record-facts").textContent()).toContain("21 Reed Lane");
  expect(faults).toEqual([]);
  await context.close();
});

test("notes and photos outlive a reload, stand in the record, are read back equal, and go with the visit", async () => {
  const { context, page, faults } = await site.open();
  await begin(page, "ro-slow", "tank-ro", { address: "12 Reed Lane", who: "A. Apprentice", said: "It only dribbles" });
  await page.locator("[data-note] summary").click();
  await page.locator("#note_text").fill("Kink behind the cupboard.\nMended before.");
  const photo = { name: "photo.png", mimeType: "image/png", buffer: await picture(page, 3200, 2400) };
  await page.locator('[data-act="photo"]').setInputFiles(photo);
  await page.locator("[data-photo]").waitFor();
  // Nothing is waited for: an answer is never refused because a note is being written.
  await give(page, { step: "whats-open", answer: "feed-half" });
  await page.locator('[data-act="back"]').click();
  await expect.poll(() => placeOf(page)).toBe("whats-open");
  await page.reload();
  await page.locator('guided-walk[data-at="whats-open"]').waitFor();
  expect(await page.locator("#note_text").inputValue()).toBe("Kink behind the cupboard.\nMended before.");
  await page.locator("[data-photo] img").waitFor();
  expect(await photosKept(page)).toEqual([{ type: "image/jpeg", sides: [1600, 1200] }]);
  await page
    .locator('[data-act="photo"]')
    .setInputFiles({ name: "no.png", mimeType: "image/png", buffer: Buffer.from("no picture") });
  await expect.poll(() => page.locator("[data-note-status]").textContent()).toMatch(/no picture/);
  // A second one is taken and thrown away again.
  await page.locator('[data-act="photo"]').setInputFiles({ ...photo, buffer: await picture(page, 30, 40) });
  await page.locator("[data-photo]").nth(1).waitFor();
  expect((await photosKept(page)).at(1)?.sides).toEqual([30, 40]);
  await page.locator('[data-act="photo-remove"]').nth(1).click();
  await expect.poll(() => page.locator("[data-photo]").count()).toBe(1);
  expect((await photosKept(page)).length).toBe(1);

  await page.goto(`${site.address}index.html`);
  await page.locator('[data-visit] [data-act="show"]').click();
  expect(await page.locator("[data-summary] [data-said]").textContent()).toContain("It only dribbles");
  expect(await page.locator("[data-summary] .record-facts").textContent()).toMatch(/12 Reed Lane.*A\. Apprentice/);
  expect(await page.locator("[data-summary] .note-text").textContent()).toContain("Mended before.");
  expect(await page.locator("[data-summary] [data-notes] img").count()).toBe(1);
  const save = async () => {
    const [download] = await Promise.all([
      page.waitForEvent("download"),
      page.locator('[data-summary] [data-act="save"]').click(),
    ]);
    return readFileSync(await download.path(), "utf8");
  };
  const text = await save();
  const record = JSON.parse(text) as JobRecord;
  expect(record.photos.length).toBe(1);
  expect(record).toMatchObject({ address: "12 Reed Lane", who: "A. Apprentice", said: "It only dribbles" });
  await page.locator('[data-act="remove"]').click();
  await page.locator('[data-act="remove-yes"]').click();
  await expect.poll(() => page.locator("[data-visit]").count()).toBe(0);
  expect(await photosKept(page)).toEqual([]);
  await page
    .locator('[data-act="read-in"]')
    .setInputFiles({ name: "record.json", mimeType: "application/json", buffer: Buffer.from(text) });
  await page.locator('[data-visit] [data-act="show"]').click();
  expect(JSON.parse(await save())).toEqual(record);
  expect(faults).toEqual([]);
  await context.close();
});

test("a photo that is ready late stays with the step at which it was taken, and nothing is said of it at the next", async () => {
  const { context, page, faults } = await site.open();
  await begin(page, "ro-slow", "tank-ro", {});
  await page.evaluate(() => {
    const make = createImageBitmap;
    const ready = new Promise<void>((resolve) => Object.assign(window, { ready: resolve }));
    window.createImageBitmap = async (...args: unknown[]) => {
      await ready;
      return make(...(args as Parameters<typeof make>));
    };
  });
  await page.locator("[data-note] summary").click();
  const photo = { name: "photo.png", mimeType: "image/png", buffer: await picture(page, 300, 200) };
  await page.locator('[data-act="photo"]').setInputFiles(photo);
  await give(page, { step: "whats-open", answer: "open" });
  await page.evaluate(() => (window as unknown as { ready(): void }).ready());
  await expect.poll(async () => (await photosKept(page)).length).toBe(1);
  // Long enough for a list of photos to be drawn.
  await page.waitForTimeout(300);
  expect(await placeOf(page)).toBe("tank-weight");
  expect(await page.locator("[data-note-status]").textContent()).toBe("");
  expect(await page.locator("[data-photo]").count()).toBe(0);
  await page.locator('[data-act="back"]').click();
  await page.locator("[data-photo]").waitFor({ state: "attached" });
  expect(await placeOf(page)).toBe("whats-open");
  expect(faults).toEqual([]);
  await context.close();
});

test("a letter typed while an answer is being written is neither lost nor taken off the screen", async () => {
  const { context, page, faults } = await site.open();
  await begin(page, "ro-slow", "tank-ro", { address: "12 Reed Lan" });
  await page.locator("[data-so-far] summary").click();
  await page.evaluate(() => {
    const { commit } = IDBTransaction.prototype;
    const type = () => {
      const field = document.querySelector<HTMLInputElement>('[data-about-here] [name="address"]');
      if (field === null || document.querySelector("guided-walk[data-busy]") === null) return;
      field.value += "e";
      field.dispatchEvent(new InputEvent("input", { bubbles: true }));
    };
    IDBTransaction.prototype.commit = function () {
      IDBTransaction.prototype.commit = commit;
      commit.call(this);
      // Behind what the page does while it waits: the next step is made, and not shown yet.
      queueMicrotask(() => queueMicrotask(type));
    };
  });
  await give(page, { step: "whats-open", answer: "open" });
  expect(await placeOf(page)).toBe("tank-weight");
  const isShown = async () => {
    expect(await page.locator('[data-about-here] [name="address"]').inputValue()).toBe("12 Reed Lane");
    expect(await page.locator("[data-so-far] summary").textContent()).toContain("12 Reed Lane");
  };
  await isShown();
  await page.reload();
  await page.locator('guided-walk[data-at="tank-weight"]').waitFor();
  await isShown();
  expect(faults).toEqual([]);
  await context.close();
});

test("going back says which changes the record no longer holds, though the house still does", async () => {
  const { context, page, faults } = await site.open();
  await page.goto(`${site.address}trees/ro-slow.html`);
  const { history } = endings(await planOf(page)).reduce((a, b) => (b.history.length > a.history.length ? b : a));
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  const states = () =>
    page.locator("[data-true]").evaluateAll((all) => all.map((one) => one.textContent?.trim() ?? ""));
  // As far as the first step that changes something.
  for (const entry of history) {
    await give(page, entry);
    if ((await states()).length > 0) break;
  }
  const [changed = ""] = await states();
  await page.locator('[data-act="back"]').click();
  await expect.poll(states).toEqual([]);
  const said = await page.locator("[data-status]").textContent();
  expect(said).toContain("Taken back:");
  expect(said).toContain(`The record no longer says: ${changed}`);
  expect(said).toContain("What was done in the house stays done");
  expect(faults).toEqual([]);
  await context.close();
});

test("minutes used stand against the minutes planned for the steps that were done, and whom to call is at hand", async () => {
  const { context, page } = await site.open();
  await page.clock.install({ time: new Date("2026-10-02T08:00:00Z") });
  await begin(page, "ro-slow", "tank-ro", {});
  await page.clock.fastForward("07:00");
  // The YAML plans 3 and 2 minutes for these two.
  await give(page, { step: "whats-open", answer: "open" });
  await page.clock.fastForward("04:00");
  await give(page, { step: "tank-weight", answer: "light" });
  expect(await page.locator("[data-minutes]").textContent()).toMatch(/^11 min so far, planned for these steps: 5 min$/);
  await page.locator("[data-call-here] summary").click();
  expect(await page.locator("[data-call-here] [data-call]").isVisible()).toBe(true);
  await context.close();
});

describe.each([
  [360, "light"],
  [360, "dark"],
  [1280, "light"],
  [1280, "dark"],
] as const)("at %i px, %s", (width, colorScheme) => {
  test("axe finds nothing wrong with the start and a step; targets are large; the keyboard comes everywhere", async () => {
    const { context, page, faults } = await site.open({ viewport: { width, height: 800 }, colorScheme });
    await page.goto(`${site.address}trees/ro-slow.html`);
    await page.locator('guided-walk[data-mode="start"]').waitFor();
    expect(await axeFaults(page)).toEqual([]);
    expect(await smallTargets(page)).toEqual([]);
    await tabTo(page, '[name="address"]');
    await page.keyboard.type("12 Reed Lane");
    await tabTo(page, "[data-unknown]");
    await give(page, { step: EQUIPMENT, answer: "tank-ro" });
    await tabTo(page, "[data-note] summary");
    await page.keyboard.press("Enter");
    await tabTo(page, "#note_text");
    await page.keyboard.type("Kink");
    await tabTo(page, '[data-act="photo"]');
    await tabTo(page, "[data-call-here] summary");
    await page.keyboard.press("Enter");
    expect(await axeFaults(page)).toEqual([]);
    expect(await smallTargets(page)).toEqual([]);
    await page.setViewportSize({ width: 320, height: 700 });
    const overflow = await page.evaluate(
      () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
    );
    expect(overflow).toBeLessThanOrEqual(0);
    expect(faults).toEqual([]);
    await context.close();
  });
});

/** What can be pressed here and is lower than 48 CSS pixels. Links in the line of a sentence are no targets by WCAG. */
async function smallTargets(page: Page): Promise<string[]> {
  return page.evaluate(() =>
    [
      ...document.querySelectorAll(
        "guided-walk :is(button, summary, input, textarea, [data-unknown], .about input, .about textarea)",
      ),
    ].flatMap((target) => {
      const { width, height } = target.getBoundingClientRect();
      return width > 0 && height < 48 ? [`${target.outerHTML.slice(0, 80)}: ${width} × ${height}`] : [];
    }),
  );
}
