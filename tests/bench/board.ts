/**
 * The coverage board of a large base in Chromium: 1,000 trees, each for a symptom of its own, and 12 families, so 12,000
 * pairs of symptom and equipment. It is the demo's page with the board of the large base in it, opened from the disk.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Page } from "playwright-core";
import { Compiler, emit } from "../../compiler/index.ts";
import { coverageHtml, viewOf } from "../../site/src/render/coverage.ts";
import { findChromium, launch } from "../browser/chromium.ts";
import { largeBase } from "./large-base.ts";

export interface BoardFigures {
  readonly megabytes: number;
  /** The longest time that the page's thread was not free, in ms; 0 where it never was for 50 ms. */
  readonly opening: number;
  readonly sifting: number;
  /** From the choice until all is done, in ms: the longest. */
  readonly sifted: number;
}

/** Each tree for a symptom of its own. */
export function largeBoard(trees: number): string {
  const today = "2026-10-10";
  const { world, trees: linked } = new Compiler({ today }).linked({ files: largeBase(trees, 10, trees), pictures: [] });
  return coverageHtml(viewOf(emit(world, linked, today)));
}

/** The demo's page with another board in it. */
export function inFrame(board: string, demo: string): string {
  const frame = readFileSync(join(demo, "coverage.html"), "utf8");
  return frame.slice(0, frame.indexOf('<div class="board">')) + board + frame.slice(frame.indexOf("</main>"));
}

/** @param demo Folder of the demo's site; a page is put into it. */
export async function measureBoard(demo: string, trees = 1000): Promise<BoardFigures> {
  const html = largeBoard(trees);
  const file = join(demo, "large-board.html");
  writeFileSync(file, inFrame(html, demo));
  const browser = await launch(await findChromium());
  try {
    const page = await browser.newPage({ viewport: { width: 1280, height: 800 } });
    await page.addInitScript(() => {
      const tasks: number[] = [];
      Object.assign(window, { tasks });
      new PerformanceObserver((list) => tasks.push(...list.getEntries().map(({ duration }) => duration))).observe({
        type: "longtask",
        buffered: true,
      });
    });
    await page.goto(pathToFileURL(file).href);
    const opening = await longest(page);
    let sifting = 0;
    let sifted = 0;
    for (const [name, value] of [
      ["family", "family-7"],
      ["symptom", "symptom-700"],
      ["symptom", ""],
      ["family", ""],
    ] as const) {
      const took = await page.evaluate(
        async ([by, wanted]) => {
          const select = document.querySelector<HTMLSelectElement>(`[data-sift-by="${by}"]`);
          if (!select) throw new Error("nothing to sift by");
          const start = performance.now();
          select.value = wanted;
          select.dispatchEvent(new Event("change", { bubbles: true }));
          while (document.querySelector("[data-sifting]")) await new Promise((go) => setTimeout(go, 5));
          return performance.now() - start;
        },
        [name, value] as const,
      );
      sifted = Math.max(sifted, took);
      sifting = Math.max(sifting, await longest(page));
    }
    return { megabytes: html.length / 1e6, opening, sifting, sifted };
  } finally {
    await browser.close();
  }
}

async function longest(page: Page): Promise<number> {
  // What was noticed is told with some delay.
  await page.waitForTimeout(500);
  return page.evaluate(() => {
    const { tasks } = window as unknown as { tasks: number[] };
    return Math.max(0, ...tasks.splice(0));
  });
}
