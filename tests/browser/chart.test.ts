/** The chart and the printed procedure: complete by the files as they are written, readable, and read back from paper. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { getDocument } from "pdfjs-dist/legacy/build/pdf.mjs";
import { describe, expect, inject, test } from "vitest";
import { qrModules } from "../../site/src/chart/qr.ts";
import { anchorOf } from "../../site/src/walk/plan.ts";
import { evenly } from "../evenly.ts";
import { demoData, isProcedure } from "../outside/demo.ts";
import { planIn } from "../page-arithmetic.ts";
import { axeFaults } from "./axe.ts";
import { endings } from "./histories.ts";
import { readQr } from "./qr-reader.ts";
import { served } from "./served.ts";
import { give, planOf } from "./walking.ts";

const site = served();

type Targets = Readonly<Record<string, unknown>>;
interface Written {
  readonly tree: string;
  readonly steps: Readonly<Record<string, Readonly<Record<string, unknown>>>>;
}
const trees = [...demoData]
  .filter(([path]) => isProcedure(path))
  .map(([, data]) => data as Written)
  // Training cases name a tree too, and have no steps.
  .filter(({ tree, steps }) => tree !== undefined && steps !== undefined);

/** Every way out of a step, by what is written: `<branch> <target>`; the end `done` is no step. */
function written(step: Readonly<Record<string, unknown>>): string[] {
  const ways: string[] = [];
  const add = (branch: string, target: unknown): void => {
    if (typeof target === "string") ways.push(`${branch} ${target}`);
    else if (target !== null && typeof target === "object") {
      const { then, again } = target as { then?: unknown; again?: { step: string; else: string } };
      add(branch, then);
      if (again) for (const to of [again.step, again.else]) add(branch, to);
    }
  };
  for (const name of ["answers", "ranges", "outcomes", "cases"])
    for (const [branch, target] of Object.entries((step[name] ?? {}) as Targets)) add(branch, target);
  // A routine that is done and no more has one outcome of that name.
  add(step.use === undefined ? "" : "done", step);
  add("else", step.else);
  add("=unlicensed", step.unlicensed);
  if (Array.isArray(step.remedy))
    for (const part of step.remedy as readonly unknown[])
      if (typeof part === "object" && part !== null) add("=unlicensed", (part as Targets).unlicensed);
  const proof = step.prove as Targets | undefined;
  if (proof !== undefined) {
    for (const branch of ["fixed", "not-fixed"]) add(branch, proof[branch]);
    for (const name of ["answers", "ranges"])
      for (const [branch, target] of Object.entries((proof[name] ?? {}) as Targets)) add(branch, target);
  }
  return ways.filter((way) => !way.endsWith(" done"));
}

test("there are trees to look at", () => {
  expect(trees.length).toBeGreaterThanOrEqual(28);
});

test.each(trees.map((tree) => [tree.tree, tree] as const))(
  "%s: all steps, all ways, nothing hidden",
  async (id, tree) => {
    const { context, page, faults } = await site.open();
    await page.goto(`${site.address}charts/${id}.html`);
    await page.evaluate(() => document.fonts.ready);
    const keys = await page
      .locator("[data-box]")
      .evaluateAll((all) => all.map((one) => (one as SVGElement).dataset.box));
    expect([...keys].sort()).toEqual(Object.keys(tree.steps).sort());
    const lines = await page.locator("[data-from]").evaluateAll((all) =>
      all.map((one) => {
        const { from = "", to = "", branches = "" } = (one as SVGElement).dataset;
        return { from, to, branches: branches.split("|") };
      }),
    );
    for (const [from, step] of Object.entries(tree.steps)) {
      const drawn = lines
        .filter((line) => line.from === from)
        .flatMap(({ to, branches }) => branches.map((branch) => `${branch} ${to}`));
      expect([...new Set(drawn)].sort(), from).toEqual([...new Set(written(step))].sort());
    }
    // In words, the same steps in the same order.
    expect(
      await page.locator("[data-outline]").evaluateAll((all) => all.map((one) => (one as HTMLElement).dataset.outline)),
    ).toEqual(keys);
    // Links lead to the steps.
    const procedure = readFileSync(join(inject("site"), "trees", `${id}.html`), "utf8");
    for (const href of await page.locator("a[data-box]").evaluateAll((all) => all.map((a) => a.getAttribute("href")))) {
      expect(href?.split("#")[0]).toBe(`../trees/${id}.html`);
      expect(procedure).toContain(`id="${href?.split("#")[1]}"`);
    }
    for (const width of [360, 1280]) {
      await page.setViewportSize({ width, height: 800 });
      expect(await page.evaluate(misplaced), `at ${width} px`).toEqual([]);
    }
    expect(faults).toEqual([]);
    await context.close();
  },
);

/** In the page: boxes that meet, text outside its symbol, lines that don't end at their boxes. */
function misplaced(): string[] {
  const wrong: string[] = [];
  const all = [...document.querySelectorAll<SVGGElement>(".pan [data-box], .pan .end")].map((group) => ({
    group,
    name: group.dataset.box ?? group.textContent ?? "",
    outline: group.querySelector<SVGGraphicsElement>(".outline"),
    at: group.querySelector(".outline")?.getBoundingClientRect() as DOMRect,
  }));
  for (const [place, { group, name, outline, at }] of all.entries()) {
    for (const other of all.slice(place + 1)) {
      const meets =
        at.left < other.at.right && other.at.left < at.right && at.top < other.at.bottom && other.at.top < at.bottom;
      if (meets) wrong.push(`${name} meets ${other.name}`);
    }
    const box = outline?.getBBox();
    if (box === undefined) continue;
    const [middleX, middleY] = [box.x + box.width / 2, box.y + box.height / 2];
    for (const text of group.querySelectorAll("text")) {
      const { x, y, width, height } = text.getBBox();
      for (const [cornerX, cornerY] of [
        [x, y + 3],
        [x + width, y + 3],
        [x, y + height - 4],
        [x + width, y + height - 4],
      ] as const) {
        const across = Math.abs(cornerX - middleX) / (box.width / 2);
        const up = Math.abs(cornerY - middleY) / (box.height / 2);
        const isInside = outline?.tagName === "path" ? across + up <= 1 : across <= 1 && up <= 1;
        if (!isInside) wrong.push(`${name}: "${text.textContent}" is not inside`);
      }
    }
  }
  for (const line of document.querySelectorAll<SVGGElement>(".pan [data-from]")) {
    const { from = "", to = "" } = line.dataset;
    const path = line.querySelector<SVGPathElement>(".line");
    const matrix = path?.getScreenCTM();
    if (path == null || matrix == null) continue;
    for (const [box, length] of [
      [from, 0],
      [to, path.getTotalLength()],
    ] as const) {
      const point = path.getPointAtLength(length).matrixTransform(matrix);
      const at = all.find(({ name }) => name === box)?.at;
      const isAtIt =
        at !== undefined &&
        point.x >= at.left - 2 &&
        point.x <= at.right + 2 &&
        point.y >= at.top - 2 &&
        point.y <= at.bottom + 2;
      if (!isAtIt) wrong.push(`the line from ${from} to ${to} doesn't touch ${box}`);
    }
  }
  return wrong;
}

test("by keyboard: into the chart, box by box in the order of the numbers, always in sight", async () => {
  const { context, page } = await site.open({ reducedMotion: "reduce" });
  await page.goto(`${site.address}charts/too-much-salt.html`);
  await page.locator("[data-pan]").focus();
  const keys = await page.locator("[data-box]").evaluateAll((all) => all.map((one) => (one as SVGElement).dataset.box));
  for (const key of keys) {
    await page.keyboard.press("Tab");
    const focused = await page.evaluate(() => {
      const box = document.activeElement as unknown as SVGElement;
      const at = box.getBoundingClientRect();
      const pan = document.querySelector("[data-pan]")?.getBoundingClientRect() as DOMRect;
      const seen = at.right > pan.left && at.left < pan.right && at.bottom > pan.top && at.top < pan.bottom;
      return {
        key: box.dataset.box,
        seen,
        thick: getComputedStyle(box.querySelector(".outline") as Element).strokeWidth,
      };
    });
    expect(focused).toEqual({ key, seen: true, thick: "6px" });
  }
  await page.keyboard.press("Enter");
  await page.waitForURL(/trees\/too-much-salt\.html#/);
  await context.close();
});

test("zoom: larger, smaller, and all of it in sight", async () => {
  const { context, page } = await site.open();
  await page.goto(`${site.address}charts/too-much-salt.html`);
  const width = () => page.locator("#chart").evaluate((one) => one.getBoundingClientRect().width);
  const before = await width();
  await page.locator('[data-act="larger"]').click();
  expect(await width()).toBeGreaterThan(before * 1.2);
  await page.locator('[data-act="whole"]').click();
  const spare = await page.locator("[data-pan]").evaluate((pan) => pan.clientWidth - pan.scrollWidth);
  expect(spare).toBe(0);
  expect(await width()).toBeLessThan(360);
  await context.close();
});

test.each(["light", "dark"] as const)("the way so far and where the reader stands, %s", async (colorScheme) => {
  const { context, page, faults } = await site.open({ colorScheme });
  await page.goto(`${site.address}charts/too-much-salt.html`);
  expect(await page.locator("[data-been]").count()).toBe(0);
  await page.goto(`${site.address}trees/too-much-salt.html`);
  const { history } = endings(await planOf(page)).reduce((a, b) => (b.history.length > a.history.length ? b : a));
  const taken = history.slice(0, 8);
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  for (const entry of taken) await give(page, entry);
  // In the tree itself: what happens in a routine or a remedy is in the box of the step that led there.
  const been = taken.map(({ step }) => step).filter((step) => !/__|--|^=/.test(step));
  expect(been.length).toBeGreaterThan(1);
  await page.goto(`${site.address}charts/too-much-salt.html`);
  await page.locator("[data-box][aria-current]").waitFor();
  const marked = await page
    .locator("[data-box][data-been]")
    .evaluateAll((all) => all.map((one) => (one as SVGElement).dataset.box ?? ""));
  for (const key of been) expect(marked).toContain(key);
  expect(await page.locator("[data-box][aria-current]").count()).toBe(1);
  expect(await page.locator("[data-here]").textContent()).toMatch(/^You are here: \d+ /);
  expect(await page.locator("[data-from][data-been]").count()).toBeGreaterThan(0);
  expect(await axeFaults(page)).toEqual([]);
  expect(faults).toEqual([]);
  await context.close();
});

/** The pages' text, in the order in which it was set. */
async function textOf(pdf: Uint8Array): Promise<{ readonly pages: string[]; readonly sizes: Set<string> }> {
  const document = await getDocument({ data: new Uint8Array(pdf), verbosity: 0 }).promise;
  const pages: string[] = [];
  const sizes = new Set<string>();
  for (let number = 1; number <= document.numPages; number++) {
    const page = await document.getPage(number);
    const { items } = await page.getTextContent();
    pages.push(items.map((item) => ("str" in item ? item.str : "")).join(" "));
    const [, , width, height] = page.view as [number, number, number, number];
    // Chromium rounds paper up to whole pixels of its own: A4 is 595 by 842 points, and it makes 596 by 843.
    sizes.add(width < 600 ? "A4" : "Letter");
    expect(Math.abs(width - (width < 600 ? 595 : 612))).toBeLessThan(1.5);
    expect(Math.abs(height - (width < 600 ? 842 : 792))).toBeLessThan(1.5);
  }
  return { pages, sizes };
}

test.each(["A4", "Letter"] as const)(
  "on paper (%s): every step in order, its cautions before its work, the chart on its own",
  async (format) => {
    const { context, page, faults } = await site.open();
    await page.goto(`${site.address}paper/stuck-mid-cycle.html`);
    const steps = await page.locator("section.step").evaluateAll((all) =>
      all.map((step) => {
        const words = (at: Element | null | undefined) => (at?.textContent ?? "").replace(/\s+/g, "");
        return {
          number: words(step.querySelector(".number")),
          title: words(step.querySelector("h3")),
          cautions: [...step.querySelectorAll(".safety .avoid")].map(words),
          how: words(step.querySelector(".how")),
        };
      }),
    );
    expect(steps.length).toBeGreaterThan(40);
    expect(steps.some(({ cautions }) => cautions.length > 0)).toBe(true);
    const { pages, sizes } = await textOf(await page.pdf({ format }));
    expect([...sizes]).toEqual([format]);
    const text = pages.join(" ").replace(/\s+/g, "");
    let at = text.indexOf("Stepbystep");
    expect(at).toBeGreaterThan(0);
    for (const { number, title, cautions, how } of steps) {
      for (const part of [title, ...cautions, how]) {
        const next = text.indexOf(part, at);
        expect(next, `${number}: ${part}`).toBeGreaterThanOrEqual(at);
        at = next + part.length;
      }
    }
    const charted = pages.flatMap((words, index) => (/Begin|Sheet \d+ of \d+/.test(words) ? [index] : []));
    expect(charted.length).toBeGreaterThan(0);
    for (const index of charted.slice(0, 1)) expect(pages[index]).not.toContain("Step by step");
    // Something to fill in and something to tick.
    expect(await page.locator(".fill-in").count()).toBeGreaterThanOrEqual(4);
    expect(await page.locator(".blank").count()).toBeGreaterThan(0);
    expect(faults).toEqual([]);
    await context.close();
  },
);

describe("on paper for one kind of equipment", () => {
  /** In the page: what is in sight, what its links lead to that isn't, and what no link from the start leads to. */
  function inSight(start: string): { steps: string[]; astray: string[]; unreached: string[] } {
    const isSeen = (one: Element | null) => one?.checkVisibility() === true;
    const steps = [...document.querySelectorAll(".step")].filter(isSeen).map(({ id }) => id);
    const astray: string[] = [];
    const reached = new Set<string>();
    const todo = [start];
    for (const id of todo) {
      if (reached.has(id)) continue;
      reached.add(id);
      const place = document.getElementById(id);
      if (!isSeen(place)) astray.push(id);
      // A routine is begun at its first step, or where it says.
      const begins = place?.querySelector(":scope > .onward a, :scope > .step");
      if (place?.matches(".routine") && begins) todo.push(begins.getAttribute("href")?.slice(1) ?? begins.id);
      if (!place?.matches(".step")) continue;
      for (const link of place.querySelectorAll('a.go[href^="#"]'))
        if (isSeen(link)) todo.push(link.getAttribute("href")?.slice(1) ?? "");
    }
    return { steps, astray, unreached: steps.filter((id) => !reached.has(id)) };
  }

  test.each(trees.map(({ tree }) => tree))(
    "%s: all that its ways can come to, every link leads on, and nothing else is there",
    async (tree) => {
      const plan = planIn(readFileSync(join(inject("site"), "trees", `${tree}.html`), "utf8"));
      const { context, page, faults } = await site.open({ javaScriptEnabled: false });
      await page.goto(`${site.address}paper/${tree}.html`);
      const all = await page.evaluate(inSight, anchorOf(plan.start));
      expect(all).toEqual({ ...all, astray: [], unreached: [] });
      const ways = endings(plan);
      for (const family of evenly(plan.families, 5)) {
        if (plan.families.length > 1) await page.locator(`#for_${family}`).check();
        const { steps, astray, unreached } = await page.evaluate(inSight, anchorOf(plan.start));
        expect({ family, astray, unreached }).toEqual({ family, astray: [], unreached: [] });
        const walked = new Set(
          ways
            .filter(({ history }) => history[0]?.answer === family)
            .flatMap(({ name, history }) => [...history.slice(1).map(({ step }) => step), name])
            .filter((key) => key in plan.steps)
            .map(anchorOf),
        );
        expect([...walked].filter((id) => !steps.includes(id))).toEqual([]);
        if (plan.families.length > 1) await page.locator("#all_for").check();
        expect((await page.evaluate(inSight, anchorOf(plan.start))).steps).toEqual(all.steps);
      }
      expect(faults).toEqual([]);
      await context.close();
    },
  );

  test("it says for which, leaves out the rest, and the chart where it isn't wanted", async () => {
    const { context, page, faults } = await site.open();
    await page.goto(`${site.address}paper/sulphur-smell.html`);
    const whole = await textOf(await page.pdf({ format: "A4" }));
    await page.locator("#for_cartridge-housing").check();
    const one = await textOf(await page.pdf({ format: "A4" }));
    await page.locator("#with_chart").uncheck();
    const { pages } = await textOf(await page.pdf({ format: "A4" }));
    const text = pages.join(" ");
    expect(text).toMatch(/For which equipment\s+Cartridge housing/);
    expect(whole.pages.join(" ")).toContain("The solution is used up or too weak");
    expect(text).not.toContain("Hose of the feed pump");
    expect(text).not.toMatch(/Sheet \d+ of|The chart/);
    // Nothing of the pump: no state of it, and no routine to start it again.
    expect(whole.pages.join(" ")).toMatch(/Locked off.*Start the pump again/s);
    expect(text).not.toMatch(/Locked off|Start the pump again/);
    expect(one.pages.join(" ")).toMatch(/The chart/);
    expect(one.pages.length).toBeLessThan(whole.pages.length / 2);
    expect(pages.length).toBeLessThan(one.pages.length);
    // What causes show says nothing of checks that aren't made.
    await page.locator("[data-causes] summary").click();
    const links = await page
      .locator('[data-cause] li a[href^="#"]')
      .evaluateAll((all) =>
        all
          .filter((one) => one.checkVisibility())
          .map((one) => document.querySelector(one.getAttribute("href") ?? "")?.checkVisibility()),
      );
    expect(links.length).toBeGreaterThan(0);
    expect(new Set(links)).toEqual(new Set([true]));
    // A choice by the equipment has one answer left.
    expect(await page.locator("#unit-first .ways > li:visible").count()).toBe(1);
    expect(await axeFaults(page)).toEqual([]);
    expect(faults).toEqual([]);
    await context.close();
  });
});

/* No decoder is among the packages: this one was written from the standard for one size, and knows nothing of the
   encoder. It checks the Reed-Solomon code words as well. */
test("the code says the address again", () => {
  for (const text of ["https://a.example/trees/hard-water.html", "https://b.example/t/trees/no-salt.html"])
    expect(readQr(qrModules(text))).toBe(text);
});
