/** What a visit leaves behind: by its schema, read back equal, on paper, shared, and deleted for good. */
import { readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { Ajv2020 } from "ajv/dist/2020.js";
import { getDocument } from "pdfjs-dist/legacy/build/pdf.mjs";
import type { Page } from "playwright-core";
import { describe, expect, inject, test } from "vitest";
import type { JobRecord } from "../../site/src/record/format.ts";
import { minutesUsed } from "../../site/src/record/time.ts";
import type { Plan } from "../../site/src/walk/plan.ts";
import { axeFaults } from "./axe.ts";
import { type Ending, endings } from "./histories.ts";
import { served } from "./served.ts";
import { give, planOf, tabTo } from "./walking.ts";

const site = served();
const schema = JSON.parse(readFileSync(new URL("../../schema/record.json", import.meta.url), "utf8")) as object;
// Another reader than the page's: every fault, not the first alone.
const validate = new Ajv2020({ strict: true, allErrors: true }).compile<JobRecord>(schema);

/** The end with the longest way among those that the test asks for. */
function longest(ends: readonly Ending[], wanted: (end: Ending) => boolean): Ending {
  const [first, ...others] = ends.filter(wanted);
  if (first === undefined) throw new Error("there is no such end");
  return others.reduce((best, one) => (one.history.length > best.history.length ? one : best), first);
}

async function walkTo(page: Page, tree: string, pick: (ends: Ending[], plan: Plan) => Ending): Promise<Ending> {
  await page.goto(`${site.address}trees/${tree}.html`);
  const plan = await planOf(page);
  const end = pick(endings(plan), plan);
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  for (const entry of end.history) await give(page, entry);
  await page.locator('[data-summary] [data-act="save"]').waitFor();
  return end;
}

const proven = (ends: Ending[]): Ending => longest(ends, ({ name }) => name.startsWith("done behind"));

/** The shortest way to a proof: for what any record has. */
function shortest(ends: readonly Ending[]): Ending {
  return ends
    .filter(({ name }) => name.startsWith("done behind"))
    .reduce((best, one) => (one.history.length < best.history.length ? one : best));
}

/** What the button saves. */
async function saved(page: Page, press = '[data-summary] [data-act="save"]'): Promise<{ name: string; text: string }> {
  const [download] = await Promise.all([page.waitForEvent("download"), page.locator(press).click()]);
  return { name: download.suggestedFilename(), text: readFileSync(await download.path(), "utf8") };
}

/** Everything that the browser keeps, with the bytes of what is no text. */
async function everythingKept(page: Page): Promise<string> {
  return page.evaluate(async () => {
    const found: unknown[] = [{ ...localStorage }, { ...sessionStorage }];
    for (const { name = "" } of await indexedDB.databases()) {
      const database = await new Promise<IDBDatabase>((resolve) => {
        const request = indexedDB.open(name);
        request.onsuccess = () => resolve(request.result);
      });
      for (const store of database.objectStoreNames)
        found.push(
          await new Promise((resolve) => {
            const request = database.transaction(store).objectStore(store).getAll();
            request.onsuccess = () => resolve(request.result);
          }),
        );
      database.close();
    }
    return JSON.stringify(found);
  });
}

describe("the record of a repair that was proven", () => {
  test("is valid by its schema, tells what was answered, and is read back equal on another device", async () => {
    const { context, page, faults } = await site.open();
    const { history } = await walkTo(page, "ro-slow", proven);
    const { name, text } = await saved(page);
    expect(name).toMatch(/^visit-\d{4}-\d\d-\d\d-ro-slow\.json$/);
    const record = JSON.parse(text) as JobRecord;
    expect(validate(record), JSON.stringify(validate.errors)).toBe(true);
    // What the test has answered, and nothing else.
    expect([record.equipment.id, ...record.entries.map(({ step }) => step)]).toEqual([
      history[0]?.answer,
      ...history.slice(1).map(({ step }) => step),
    ]);
    for (const [place, entry] of record.entries.entries()) {
      expect(entry.answer).toBe(history[place + 1]?.answer);
      expect(Object.fromEntries((entry.readings ?? []).map(({ id, amount }) => [id, amount]))).toEqual(
        history[place + 1]?.readings ?? {},
      );
      if (entry.value === undefined) continue;
      const { from = Number.NEGATIVE_INFINITY, below = Number.POSITIVE_INFINITY } = entry.band ?? {};
      expect(entry.value.amount).toBeGreaterThanOrEqual(from);
      expect(entry.value.amount).toBeLessThan(below);
    }
    expect(record.found.at(-1)?.proof).toBe("fixed");
    expect(record.fitted.length).toBeGreaterThan(0);
    expect(record.state).toBe("ended");

    const other = await site.open();
    await other.page.goto(`${site.address}index.html`);
    const path = join(tmpdir(), `headwater-${process.pid}.json`);
    writeFileSync(path, text);
    await other.page.locator('[data-act="read-in"]').setInputFiles(path);
    const visit = other.page.locator(`[data-visit="${record.record}"]`);
    await visit.locator("summary").click();
    await visit.locator('[data-act="show"]').click();
    expect(JSON.parse((await saved(other.page)).text)).toEqual(record);
    // A second time nothing changes.
    await other.page.locator('[data-act="read-in"]').setInputFiles(path);
    await expect
      .poll(() => other.page.locator("[data-visits-status]").textContent())
      .toMatch(/on this device already. Nothing was changed/);
    expect(await other.page.locator("[data-visit]").count()).toBe(1);
    expect([...faults, ...other.faults]).toEqual([]);
    await other.context.close();
    await context.close();
  });

  test("is one or two pages on paper, with all that was found, measured and done", async () => {
    const { context, page } = await site.open();
    await page.addInitScript(() => {
      window.print = () => undefined;
    });
    await walkTo(page, "ro-slow", proven);
    const record = JSON.parse((await saved(page)).text) as JobRecord;
    await page.locator('[data-summary] [data-act="print"]').click();
    const pdf = await getDocument({ data: new Uint8Array(await page.pdf({ format: "Letter" })) }).promise;
    expect(pdf.numPages).toBeLessThanOrEqual(2);
    let text = "";
    for (let number = 1; number <= pdf.numPages; number++) {
      const { items } = await (await pdf.getPage(number)).getTextContent();
      text += items.map((item) => ("str" in item ? item.str : "")).join(" ");
    }
    // Where a line ends, and how far letters stand apart, is the printer's.
    const bare = (words: string) => words.replace(/[\s\u00a0]+/g, "");
    const paper = bare(text);
    const wanted = [
      record.equipment.title,
      record.procedure.title,
      ...record.found.map(({ title }) => title),
      ...record.fitted.map(({ title }) => title),
      ...record.entries.filter(({ kind }) => kind !== "use" && kind !== "found").map(({ asked }) => asked),
      ...record.entries.flatMap(({ readings = [] }) => readings.map(({ typed, in: unit }) => `${typed}${unit}`)),
      ...record.entries.flatMap(({ band }) => band?.say ?? []),
    ];
    const measured = new Set(
      record.entries.flatMap(({ kind, proves, asked }) => (kind === "measure" && !proves ? asked : [])),
    );
    for (const words of wanted.filter((one) => !measured.has(one))) expect(paper).toContain(bare(words));
    // Neither the procedure nor the buttons.
    expect(paper).not.toContain(bare("Begin another visit"));
    expect(paper).not.toContain(bare("What it can be"));
    await context.close();
  });

  test("goes to the device's share sheet, as a file where the sheet takes one, and is saved where there is none", async () => {
    const { context, page } = await site.open();
    await page.addInitScript(() => {
      const shared: object[] = [];
      Object.assign(window, { shared });
      Object.assign(navigator, {
        canShare: ({ files }: { files: File[] }) => files.every(({ type }) => type === "text/plain"),
        share: async ({ title, text, files }: { title: string; text: string; files: File[] }) => {
          if (document.documentElement.dataset.refuse) throw new DOMException("no", "DataError");
          shared.push({ title, text, name: files[0]?.name, content: await files[0]?.text() });
        },
      });
    });
    await walkTo(page, "ro-slow", proven);
    const record = JSON.parse((await saved(page)).text) as JobRecord;
    await page.locator('[data-act="share"]').click();
    await expect.poll(() => page.locator("[data-record-status]").textContent()).toBe("Shared.");
    const [sheet] = await page.evaluate(() => (window as unknown as { shared: Record<string, string>[] }).shared);
    expect(JSON.parse(sheet?.content ?? "")).toEqual(record);
    expect(sheet?.name).toMatch(/\.txt$/);
    expect(sheet?.text).toContain(record.found[0]?.title);
    await page.evaluate(() => {
      document.documentElement.dataset.refuse = "yes";
    });
    expect(JSON.parse((await saved(page, '[data-act="share"]')).text)).toEqual(record);
    await context.close();
  });
});

test("every end of several trees leaves a valid record", async () => {
  const { context, page } = await site.open();
  for (const tree of ["uv-alarm", "water-runs-to-drain", "what-is-this-unit"]) {
    await page.goto(`${site.address}trees/${tree}.html`);
    const kinds = new Set<string>();
    // One end of each sort: the walk's own tests go through them all.
    for (const { name } of endings(await planOf(page))) {
      const sort = name.startsWith("done behind") ? "done" : name.split("-")[0];
      if (sort === undefined || kinds.has(sort) || kinds.size > 3) continue;
      kinds.add(sort);
      await page.goto("about:blank");
      await walkTo(page, tree, (ends) => ends.find((one) => one.name === name) as Ending);
      const record = JSON.parse((await saved(page)).text) as JobRecord;
      expect(validate(record), `${tree}, ${name}: ${JSON.stringify(validate.errors)}`).toBe(true);
      expect(record.end?.step).toBe(name.startsWith("done behind") ? "=done" : name);
    }
  }
  await context.close();
});

test("read from a disk, the walk finds its record too", async () => {
  const { context, page, faults } = await site.open();
  const address = pathToFileURL(join(inject("site"), "trees", "ro-slow.html")).href;
  await page.goto(address);
  const { history } = shortest(endings(await planOf(page)));
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  for (const entry of history) await give(page, entry);
  await page.locator('[data-summary] [data-act="save"]').waitFor();
  expect(validate(JSON.parse((await saved(page)).text)), JSON.stringify(validate.errors)).toBe(true);
  expect(faults).toEqual([]);
  await context.close();
});

describe("a file that is no record", () => {
  const sound = {
    format: 1,
    record: "1-a",
    base: "tansy-vale-demo",
    procedure: { id: "ro-slow", title: "Little water" },
    equipment: { id: "tank-ro", title: "With a tank" },
    began: "2026-10-02T08:30:00.000Z",
    changed: "2026-10-02T08:30:00.000Z",
    state: "open",
    minutes: { used: 0, planned: 0 },
    found: [],
    fitted: [],
    entries: [],
    notes: [],
    photos: [],
  };
  test.each<[string, string, RegExp]>([
    ["no JSON", "{format: 1", /holds no JSON/],
    ["another kind of JSON", "[1, 2]", /is no record that can be read: at its top it must be object/],
    ["nothing", "null", /is no record that can be read/],
    ["a newer format", JSON.stringify({ ...sound, format: 2 }), /newer version/],
    ["a state of a fourth kind", JSON.stringify({ ...sound, state: "lost" }), /at state it must be equal to one of/],
    [
      "another base",
      JSON.stringify({ ...sound, base: "my-firm" }),
      /belongs to another base of procedures \(my-firm\)/,
    ],
  ])("%s is complained of, and nothing is lost", async (_, text, complaint) => {
    const { context, page, faults } = await site.open();
    await page.goto(`${site.address}index.html`);
    const read = (name: string, content: string) =>
      page
        .locator('[data-act="read-in"]')
        .setInputFiles({ name, mimeType: "application/json", buffer: Buffer.from(content) });
    await read("sound.json", JSON.stringify(sound));
    await page.locator('[data-visit="1-a"]').waitFor();
    const before = await everythingKept(page);
    await read("bad.json", text);
    await expect.poll(() => page.locator("[data-visits-status]").textContent()).toMatch(complaint);
    expect(await page.locator("[data-visits-status]").textContent()).toContain("“bad.json”");
    expect(await everythingKept(page)).toBe(before);
    expect(faults).toEqual([]);
    await context.close();
  });
});

test("deleted means deleted, after a question, and the other visits stay", async () => {
  const { context, page, faults } = await site.open();
  await walkTo(page, "ro-slow", shortest);
  const record = JSON.parse((await saved(page)).text) as JobRecord;
  await page.locator('[data-act="another"]').click();
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  await give(page, { step: "=equipment", answer: "direct-ro" });
  await page.goto(`${site.address}index.html`);
  await page.locator("[data-visit]").nth(1).waitFor();
  expect(await everythingKept(page)).toContain(record.record);
  const visit = page.locator(`[data-visit="${record.record}"]`);
  await visit.locator("summary").click();
  await visit.locator('[data-act="remove"]').click();
  await visit.locator('[data-act="remove-no"]').click();
  expect(await everythingKept(page)).toContain(record.record);
  await visit.locator('[data-act="remove"]').click();
  await visit.locator('[data-act="remove-yes"]').click();
  await expect.poll(() => page.locator("[data-visit]").count()).toBe(1);
  const kept = await everythingKept(page);
  expect(kept).not.toContain(record.record);
  expect(kept).toContain("direct-ro");
  expect(faults).toEqual([]);
  await context.close();
});

describe.each([
  [360, "light"],
  [360, "dark"],
  [1280, "light"],
  [1280, "dark"],
] as const)("at %i px, %s", (width, colorScheme) => {
  test("axe finds nothing wrong with the record and the list of visits; targets are large; the keyboard comes everywhere", async () => {
    const { context, page, faults } = await site.open({ viewport: { width, height: 800 }, colorScheme });
    await walkTo(page, "ro-slow", shortest);
    expect(await axeFaults(page)).toEqual([]);
    expect(await smallTargets(page, "[data-summary]")).toEqual([]);
    await page.goto(`${site.address}index.html`);
    await page.locator("[data-visit]").waitFor();
    await tabTo(page, "[data-visit] summary");
    await page.keyboard.press("Enter");
    await tabTo(page, '[data-act="show"]');
    await page.keyboard.press("Enter");
    await page.locator('[data-summary] [data-act="save"]').waitFor();
    expect(await axeFaults(page)).toEqual([]);
    expect(await smallTargets(page, "kept-visits")).toEqual([]);
    await tabTo(page, '[data-act="remove"]');
    await page.keyboard.press("Enter");
    await tabTo(page, '[data-act="remove-yes"]');
    await page.keyboard.press("Enter");
    await expect.poll(() => page.locator("[data-visit]").count()).toBe(0);
    await page.setViewportSize({ width: 320, height: 700 });
    const overflow = await page.evaluate(
      () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
    );
    expect(overflow).toBeLessThanOrEqual(0);
    expect(faults).toEqual([]);
    await context.close();
  });
});

test("the record doesn't scroll sideways at 320 px", async () => {
  const { context, page } = await site.open({ viewport: { width: 320, height: 700 } });
  await walkTo(page, "ro-slow", proven);
  const overflow = () =>
    page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
  expect(await overflow()).toBeLessThanOrEqual(0);
  await page.goto(`${site.address}index.html`);
  await page.locator("[data-visit] summary").click();
  await page.locator('[data-act="show"]').click();
  await page.locator('[data-summary] [data-act="save"]').waitFor();
  expect(await overflow()).toBeLessThanOrEqual(0);
  await context.close();
});

/** What can be pressed and is lower or narrower than 48 CSS pixels. */
async function smallTargets(page: Page, inside: string): Promise<string[]> {
  return page.evaluate(
    (selector) =>
      [...document.querySelectorAll(`${selector} :is(button, a, summary, input, textarea)`)].flatMap((target) => {
        const { width, height } = target.getBoundingClientRect();
        return width > 0 && (height < 48 || width < 48) ? [`${target.textContent}: ${width} × ${height}`] : [];
      }),
    inside,
  );
}

test("the time used leaves out pauses and a clock that was put back", () => {
  const at = (...times: string[]) => times.map((time) => ({ when: `2026-10-02T${time}:00.000Z` }));
  expect(minutesUsed("2026-10-02T08:00:00.000Z", at("08:05", "08:20"))).toBe(20);
  // Two hours are a step; a minute more is a pause.
  expect(minutesUsed("2026-10-02T08:00:00.000Z", at("10:00"))).toBe(120);
  expect(minutesUsed("2026-10-02T08:00:00.000Z", at("10:01", "10:11"))).toBe(10);
  expect(minutesUsed("2026-10-02T08:00:00.000Z", at("07:00", "07:10"))).toBe(10);
});
