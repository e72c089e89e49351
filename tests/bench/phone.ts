/**
 * A first visit on a slow phone, in Chromium: its processor slowed down to a quarter, 1.6 Mbit/s and 150 ms to the host,
 * which sends compressed files as static hosts do. Each figure is the median of several visits, each by a new browser
 * profile; the worst stands beside it.
 */
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { extname, join } from "node:path";
import { gzipSync } from "node:zlib";
import lighthouse from "lighthouse";
import type { Browser, CDPSession, Page } from "playwright-core";
import { findChromium, launch, run } from "../browser/chromium.ts";
import { endings } from "../browser/histories.ts";
import { planOf, typeReadings } from "../browser/walking.ts";

export interface Figure {
  readonly median: number;
  readonly worst: number;
}

export interface PhoneFigures {
  /** From the request to the first text on the screen, in ms. */
  readonly readable: Figure;
  /** Until the walk can be begun, in ms. */
  readonly usable: Figure;
  /** From the end of a touch until the next step is drawn, its answer on disk before, in ms. */
  readonly tap: Figure;
  /** The same on a page that has nothing but a button, and shows a word when a record is on disk. */
  readonly bareTap: Figure;
}

const TYPES: Readonly<Record<string, string>> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".svg": "image/svg+xml",
  ".woff2": "font/woff2",
  ".webmanifest": "application/manifest+json",
};

/** What a browser takes for a touch, a write and a frame, whatever the page. */
const BARE = `<!doctype html><html lang="en"><title>Bare</title><meta name="viewport" content="width=device-width">
<guided-walk data-controls data-at="0"><p></p><button data-act="go-on">Go on</button></guided-walk><script>
const opening = indexedDB.open("bare", 1);
opening.onupgradeneeded = () => opening.result.createObjectStore("records", { keyPath: "id" });
document.querySelector("button").onclick = () => {
  const walk = document.querySelector("guided-walk");
  const transaction = opening.result.transaction("records", "readwrite", { durability: "strict" });
  transaction.objectStore("records").put({ id: 1, at: walk.dataset.at });
  transaction.commit();
  transaction.oncomplete = () => {
    walk.dataset.at = String(Number(walk.dataset.at) + 1);
    walk.firstChild.textContent = walk.dataset.at;
  };
};
</script></html>`;
const BARE_TAPS = 40;

/** A finger stays for a moment, in which a page can make ready what comes. */
const FINGER_MS = 80;

/** A static host that compresses what is text. */
async function compressing(folder: string): Promise<{ readonly address: string; close(): void }> {
  const server: Server = createServer((request, response) => {
    const path = decodeURI(new URL(request.url ?? "/", "http://host").pathname);
    try {
      const file = path === "/bare.html" ? BARE : readFileSync(join(folder, path === "/" ? "index.html" : path));
      const type = TYPES[extname(path === "/" ? "index.html" : path)] ?? "application/octet-stream";
      const isText = /text|svg|json/.test(type);
      response.writeHead(200, { "content-type": type, ...(isText && { "content-encoding": "gzip" }) });
      response.end(isText ? gzipSync(file, { level: 9 }) : file);
    } catch {
      response.writeHead(404).end();
    }
  });
  await new Promise<void>((ready) => server.listen(0, "127.0.0.1", ready));
  return {
    address: `http://127.0.0.1:${(server.address() as AddressInfo).port}/`,
    close() {
      server.closeAllConnections();
      server.close();
    },
  };
}

/** @param tree Id of the tree whose page is visited. */
export async function measurePhone(folder: string, tree: string, visits = 5): Promise<PhoneFigures> {
  const host = await compressing(folder);
  const browser = await launch(await findChromium());
  try {
    const readable: number[] = [];
    const usable: number[] = [];
    const taps: number[] = [];
    const bareTaps: number[] = [];
    for (let visit = 0; visit < visits; visit++) {
      const { page, devtools, close } = await slowPhone(browser);
      await page.goto(`${host.address}trees/${tree}.html`, { waitUntil: "commit" });
      await page.locator('guided-walk[data-mode="start"] [data-act="begin"]').first().waitFor();
      const { painted, ready } = await page.evaluate(async () => ({
        painted: performance.getEntriesByName("first-contentful-paint")[0]?.startTime ?? Number.NaN,
        ready: (window as unknown as { ready: number }).ready,
      }));
      readable.push(painted);
      usable.push(ready);
      taps.push(...(await tapsOf(page, devtools)));
      await page.goto(`${host.address}bare.html`);
      for (let tap = 0; tap < BARE_TAPS; tap++) bareTaps.push(await touch(page, devtools, "button"));
      await close();
    }
    return { readable: figure(readable), usable: figure(usable), tap: figure(taps), bareTap: figure(bareTaps) };
  } finally {
    await browser.close();
    host.close();
  }
}

async function slowPhone(browser: Browser): Promise<{ page: Page; devtools: CDPSession; close(): Promise<void> }> {
  const context = await browser.newContext({ viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true });
  const page = await context.newPage();
  const devtools = await context.newCDPSession(page);
  await devtools.send("Emulation.setCPUThrottlingRate", { rate: 4 });
  await devtools.send("Network.enable");
  const throughput = 1_600_000 / 8;
  await devtools.send("Network.emulateNetworkConditions", {
    offline: false,
    latency: 150,
    downloadThroughput: throughput,
    uploadThroughput: throughput,
  });
  await page.addInitScript(() => {
    const seen = new MutationObserver(() => {
      if (document.querySelector('guided-walk[data-mode="start"] [data-act="begin"]') === null) return;
      seen.disconnect();
      requestAnimationFrame(() => Object.assign(window, { ready: performance.now() }));
    });
    seen.observe(document, { attributes: true, childList: true, subtree: true });
  });
  return { page, devtools, close: () => context.close() };
}

export interface AuditFigures {
  readonly page: string;
  /** 0 to 100. */
  readonly performance: number;
  readonly accessibility: number;
  readonly practices: number;
  /** The audit's own index of how fast this machine is, not slowed down: 1,000 and more for a desktop. */
  readonly speed: number;
}

/** Kinds of page by their heaviest: the home page, a walk, a chart, the board. */
const AUDITED = ["index.html", "trees/hard-water.html", "charts/hard-water.html", "coverage.html"];

/** What a general audit of web pages says of them, as it imitates a phone by default. */
export async function measureAudit(folder: string): Promise<readonly AuditFigures[]> {
  const host = await compressing(folder);
  const profile = mkdtempSync(join(tmpdir(), "headwater-audit-"));
  const browser = await run(await findChromium(), profile);
  try {
    const figures: AuditFigures[] = [];
    for (const page of AUDITED) {
      const audit = await lighthouse(host.address + page, {
        port: browser.port,
        onlyCategories: ["performance", "accessibility", "best-practices"],
        logLevel: "error",
      });
      const score = (category: string) => Math.round((audit?.lhr.categories[category]?.score ?? 0) * 100);
      const [performance, accessibility] = [score("performance"), score("accessibility")];
      const speed = audit?.lhr.environment.benchmarkIndex ?? Number.NaN;
      figures.push({ page, performance, accessibility, practices: score("best-practices"), speed });
    }
    return figures;
  } finally {
    await browser.kill();
    host.close();
    rmSync(profile, { recursive: true, force: true });
  }
}

/**
 * Walks the longest of the short ways to an end by touches, and takes the time of each inside the page. Nothing else
 * looks at the page meanwhile: a test library that asks it all the time whether something came would be measured too.
 */
async function tapsOf(page: Page, devtools: CDPSession): Promise<number[]> {
  const { history } = endings(await planOf(page)).reduce((a, b) => (b.history.length > a.history.length ? b : a));
  const [equipment, ...answers] = history;
  await touch(page, devtools, `[data-family="${equipment?.answer}"] [data-act="begin"]`);
  // What a first visit stores in the background is not part of a tap.
  await page.evaluate(() => navigator.serviceWorker.ready);
  const taps: number[] = [];
  for (const entry of answers) {
    await typeReadings(page, entry);
    const isSpoken = entry.answer !== undefined && !entry.readings;
    let wanted = `[data-controls] ${isSpoken ? `[data-answer="${entry.answer}"]` : '[data-act="go-on"]'}`;
    for (let isThere = false; !isThere; wanted = '[data-act="sure"]') {
      const took = await touch(page, devtools, wanted);
      isThere = took > 0;
      if (isThere) taps.push(took);
    }
  }
  return taps;
}

/**
 * Not by the test library, whose own listeners would run at every touch from then on.
 *
 * @returns As `aimAt` says of `tapped`.
 */
async function touch(page: Page, devtools: CDPSession, wanted: string): Promise<number> {
  const { x, y } = await page.evaluate(aimAt, wanted);
  await devtools.send("Input.dispatchTouchEvent", { type: "touchStart", touchPoints: [{ x, y }] });
  await page.waitForTimeout(FINGER_MS);
  await devtools.send("Input.dispatchTouchEvent", { type: "touchEnd", touchPoints: [] });
  return page.evaluate(() => (window as unknown as { tapped: Promise<number> }).tapped);
}

/** In the page: where to touch; `tapped` will be the time from the touch to the drawn step, in ms, or 0 where it is asked again. */
function aimAt(wanted: string): { x: number; y: number } {
  const walk = document.querySelector<HTMLElement>("guided-walk");
  const target = document.querySelector<HTMLElement>(wanted);
  if (walk === null || target === null) throw new Error(`nothing to touch: ${wanted}`);
  const tapped = new Promise<number>((resolve) => {
    target.addEventListener(
      "click",
      (event) => {
        const seen = new MutationObserver(() => {
          seen.disconnect();
          // Behind the frame that draws it.
          requestAnimationFrame(() => setTimeout(() => resolve(performance.now() - event.timeStamp)));
        });
        seen.observe(walk, { attributes: true, attributeFilter: ["data-at", "data-asks"] });
        if (!target.closest("form")) return;
        setTimeout(() => {
          if (document.querySelector('form [data-act="sure"]') === null) return;
          seen.disconnect();
          resolve(0);
        });
      },
      { capture: true },
    );
  });
  Object.assign(window, { tapped });
  target.scrollIntoView({ block: "center" });
  const { left, top, width, height } = target.getBoundingClientRect();
  return { x: left + width / 2, y: top + height / 2 };
}

function figure(values: readonly number[]): Figure {
  const sorted = [...values].sort((a, b) => a - b);
  return { median: sorted[Math.floor(sorted.length / 2)] ?? Number.NaN, worst: sorted.at(-1) ?? Number.NaN };
}
