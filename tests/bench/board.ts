/**
 * The coverage board of a large base in Chromium: 1,000 trees, each for a symptom of its own, and 12 families, so 12,000
 * pairs of symptom and equipment. It is the demo's page with the board of the large base in it, opened from the disk.
 *
 * The page is opened beside the library that drives the browser: that one has the browser keep what the network brings,
 * and so decode the whole page once more in one task at the end, which is longer than any task of the page itself.
 */
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { pathToFileURL } from "node:url";
import type { CDPSession } from "playwright-core";
import { Compiler, emit } from "../../compiler/index.ts";
import { coverageHtml, viewOf } from "../../site/src/render/coverage.ts";
import { findChromium, launch } from "../browser/chromium.ts";
import { largeBase } from "./large-base.ts";

export interface BoardFigures {
  readonly megabytes: number;
  readonly opening: Longest;
  readonly sifting: Longest;
  /** From the choice until all is done, in ms: the longest. */
  readonly sifted: number;
}
/** The longest of all tasks of the page's thread, in ms. */
export interface Longest {
  /** That its thread was not free, whatever else the machine had to do. */
  readonly wall: number;
  /** That the thread worked in it. */
  readonly cpu: number;
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

/**
 * The best of several rounds, so that a busy machine disturbs less.
 *
 * @param demo Folder of the demo's site; a page is put into it.
 */
export async function measureBoard(demo: string, trees = 1000, rounds = 5): Promise<BoardFigures> {
  const html = largeBoard(trees);
  const file = join(demo, "large-board.html");
  writeFileSync(file, inFrame(html, demo));
  const browser = await launch(await findChromium());
  try {
    const cdp = await browser.newBrowserCDPSession();
    const all: Awaited<ReturnType<typeof oneRound>>[] = [];
    for (let round = 0; round < rounds; round++) all.push(await oneRound(cdp, pathToFileURL(file).href));
    const least = (of: (round: (typeof all)[number]) => number): number => Math.min(...all.map(of));
    return {
      megabytes: html.length / 1e6,
      opening: { wall: least(({ opening }) => opening.wall), cpu: least(({ opening }) => opening.cpu) },
      sifting: { wall: least(({ sifting }) => sifting.wall), cpu: least(({ sifting }) => sifting.cpu) },
      sifted: least(({ sifted }) => sifted),
    };
  } finally {
    await browser.close();
  }
}

async function oneRound(cdp: CDPSession, url: string): Promise<Omit<BoardFigures, "megabytes">> {
  // The library lets be what is in a context that it did not make.
  const { browserContextId } = await cdp.send("Target.createBrowserContext");
  const { targetId } = await cdp.send("Target.createTarget", {
    url: "about:blank",
    browserContextId,
    width: 1280,
    height: 800,
  });
  const page = await attached(cdp, targetId);
  const traced = await tasksTraced(cdp);
  await page("Page.navigate", { url });
  const value = async (expression: string): Promise<unknown> => {
    const said = (await page("Runtime.evaluate", { expression, awaitPromise: true, returnByValue: true })) as {
      readonly result: { readonly value?: unknown };
      readonly exceptionDetails?: unknown;
    };
    if (said.exceptionDetails) throw new Error(`${expression}: ${JSON.stringify(said.exceptionDetails)}`);
    return said.result.value;
  };
  const isWhole = `document.readyState === "complete" && document.querySelector(".by-tree, noscript") !== null && document.querySelector("noscript[data-later]") === null`;
  do await wait(500);
  while (!(await value(isWhole)));
  await wait(500);
  const opening = await traced();
  const again = await tasksTraced(cdp);
  let sifted = 0;
  for (const [by, wanted] of [
    ["family", "family-7"],
    ["symptom", "symptom-700"],
    ["symptom", ""],
    ["family", ""],
  ] as const) {
    const took = await value(`(async () => {
      const select = document.querySelector('[data-sift-by="${by}"]');
      const start = performance.now();
      select.value = "${wanted}";
      select.dispatchEvent(new Event("change", { bubbles: true }));
      while (document.querySelector("[data-sifting]")) await new Promise((go) => setTimeout(go, 5));
      return performance.now() - start;
    })()`);
    sifted = Math.max(sifted, Number(took));
    await wait(500);
  }
  const sifting = await again();
  await cdp.send("Target.disposeBrowserContext", { browserContextId });
  return { opening, sifting, sifted };
}

/** Speaks to one page through the browser's own session. */
async function attached(
  cdp: CDPSession,
  targetId: string,
): Promise<(method: string, params: object) => Promise<unknown>> {
  const { sessionId } = await cdp.send("Target.attachToTarget", { targetId });
  const waiting = new Map<number, (said: unknown) => void>();
  cdp.on("Target.receivedMessageFromTarget", ({ sessionId: from, message }) => {
    const said = JSON.parse(message) as { readonly id: number; readonly result: unknown };
    if (from === sessionId) waiting.get(said.id)?.(said.result);
  });
  return async (method, params) => {
    const id = waiting.size + 1;
    const answer = new Promise<unknown>((answered) => waiting.set(id, answered));
    await cdp.send("Target.sendMessageToTarget", { sessionId, message: JSON.stringify({ id, method, params }) });
    return answer;
  };
}

/** Begins to note tasks; the function ends that, and tells the longest. */
async function tasksTraced(cdp: CDPSession): Promise<() => Promise<Longest>> {
  /** Durations are in microseconds; `tdur` is that of the thread. */
  const events: { name: string; pid: number; tid: number; dur?: number; tdur?: number; args: { name?: string } }[] = [];
  const take = ({ value }: { value: object[] }): void => void events.push(...(value as typeof events));
  cdp.on("Tracing.dataCollected", take);
  await cdp.send("Tracing.start", {
    transferMode: "ReportEvents",
    traceConfig: {
      includedCategories: ["devtools.timeline", "disabled-by-default-devtools.timeline"],
      excludedCategories: ["*"],
      traceBufferSizeInKb: 200_000,
    },
  });
  return async () => {
    const complete = new Promise<{ readonly dataLossOccurred: boolean }>((done) =>
      cdp.once("Tracing.tracingComplete", done),
    );
    await cdp.send("Tracing.end");
    const { dataLossOccurred } = await complete;
    cdp.off("Tracing.dataCollected", take);
    const thread = ({ pid, tid }: (typeof events)[number]): string => `${pid} ${tid}`;
    const ofPages = new Set(
      events.filter(({ name, args }) => name === "thread_name" && args.name === "CrRendererMain").map(thread),
    );
    const tasks = events.filter((event) => event.name === "RunTask" && ofPages.has(thread(event)));
    if (dataLossOccurred || tasks.length === 0) throw new Error("the browser did not tell all its tasks");
    return {
      wall: Math.max(...tasks.map(({ dur = 0 }) => dur)) / 1000,
      cpu: Math.max(...tasks.map(({ tdur = 0 }) => tdur)) / 1000,
    };
  };
}
