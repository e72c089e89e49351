/**
 * Without a network, with a new version in the middle of a walk, with a full store, in two tabs, and with the browser
 * killed. What a walk must show is told by the engine and by the files on disk, not by the page.
 */
import { createHash } from "node:crypto";
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync } from "node:fs";
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { BrowserContext, Frame, Page } from "playwright-core";
import sirv from "sirv";
import { afterAll, afterEach, beforeAll, describe, expect, inject, test } from "vitest";
import type { JobRecord } from "../../site/src/record/format.ts";
import { type Entry, isMisfit, replay } from "../../site/src/walk/engine.ts";
import type { Visit } from "../../site/src/walk/store.ts";
import { type Running, run } from "./chromium.ts";
import { entriesAt } from "./histories.ts";
import { scratch } from "./scratch.ts";
import { served } from "./served.ts";
import { give, placeOf, planOf, settled } from "./walking.ts";

/** A static host whose folder can be exchanged, and which can go away. */
class Host {
  #server: Server | undefined;
  #port = 0;
  #files: ReturnType<typeof sirv>;
  constructor(folder: string) {
    this.#files = sirv(folder, { dev: true });
  }
  get address(): string {
    return `http://127.0.0.1:${this.#port}/below/a/folder/`;
  }
  async open(): Promise<void> {
    this.#server = createServer((request, response) => {
      request.url = (request.url ?? "").replace(/^\/below\/a\/folder/, "") || "/";
      this.#files(request, response, () => {
        response.writeHead(404).end();
      });
    });
    await new Promise<void>((ready) => this.#server?.listen(this.#port, "127.0.0.1", ready));
    this.#port = (this.#server.address() as AddressInfo).port;
  }
  deploy(folder: string): void {
    this.#files = sirv(folder, { dev: true });
  }
  async close(): Promise<void> {
    this.#server?.closeAllConnections();
    await new Promise((ended) => this.#server?.close(ended));
  }
}

const site = served();
const old = scratch("steps-base.yaml");
// A step is new, one asks something else, and one is gone.
const fresh = scratch("steps-base.yaml", (text) =>
  text
    .replace("start: sound", "start: smell")
    .replace("steps:\n", 'steps:\n  smell:\n    look: Is there a smell?\n    answers: {"yes": sound, "no": sound}\n')
    .replace("Does the dial stand at service?", "Where does the dial stand, by the new sheet?")
    .replace(/ {2}plug:\n.*\n.*\n/, "")
    .replace('{"yes": plug, "no": plug}', '{"yes": clock, "no": clock}'),
);
/** What is added behind the walk: the answers so far stay good. */
const longer = scratch("steps-base.yaml", (text) =>
  text
    .replace('{"yes": call, "no": call}', '{"yes": late, "no": late}')
    .replace("  call:\n", '  late:\n    look: Is it late?\n    answers: {"yes": call, "no": call}\n  call:\n'),
);
const TREE = "trees/hard-water.html";
const hosts: Host[] = [];
const contexts: BrowserContext[] = [];

afterEach(async () => {
  for (const context of contexts.splice(0)) await context.close();
  for (const host of hosts.splice(0)) await host.close();
});

async function host(folder: string): Promise<Host> {
  const made = new Host(folder);
  await made.open();
  hosts.push(made);
  return made;
}

async function device(): Promise<BrowserContext> {
  const context = await site.browser.newContext({ viewport: { width: 360, height: 740 }, serviceWorkers: "allow" });
  contexts.push(context);
  return context;
}

async function allStored(page: Page): Promise<void> {
  await page.locator('[data-stored="complete"]').waitFor({ timeout: 120_000 });
}

/** Until a new version waits for its turn. */
async function newerWaits(page: Page): Promise<void> {
  await page.evaluate(async () => (await navigator.serviceWorker.getRegistration())?.update());
  await page.waitForFunction(async () => (await navigator.serviceWorker.getRegistration())?.waiting != null);
}

async function beginWalk(page: Page, address: string): Promise<void> {
  await page.goto(address);
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  await give(page, { step: "=equipment", answer: "dial-softener" });
}

const asked = (page: Page): Promise<string | null> =>
  page.locator("section.step[data-step]:visible h3").first().textContent();

async function stored(page: Page): Promise<Visit[]> {
  return page.evaluate(
    () =>
      new Promise<Visit[]>((resolve, reject) => {
        const opening = indexedDB.open("headwater");
        opening.onerror = () => reject(opening.error);
        opening.onsuccess = () => {
          const reading = opening.result.transaction("visits").objectStore("visits").getAll();
          reading.onsuccess = () => {
            opening.result.close();
            resolve(reading.result as Visit[]);
          };
        };
      }),
  );
}

const STEPS = ["sound", "dial", "salt", "handles", "plug", "clock", "drain", "float", "line", "meter", "leaks", "raw"];

/** Answers from the step at which the walk stands to the end of the old version, with each question checked. */
async function walkOn(page: Page, from: number, to = STEPS.length): Promise<void> {
  for (const step of STEPS.slice(from, to)) {
    expect(await placeOf(page)).toBe(step);
    await give(page, { step, answer: "yes" });
  }
}

describe("without a network", () => {
  const folder = inject("site");
  const names = readdirSync(folder, { recursive: true, encoding: "utf8" })
    .map((name) => name.replaceAll("\\", "/"))
    // A further language stores itself: see translations.test.ts.
    .filter((name) => !name.startsWith("es/"))
    .filter((name) => statSync(join(folder, name)).isFile() && !["sw.js", "headwater-site.json"].includes(name));
  const pages = names.filter((name) => name.endsWith(".html"));

  test("after one visit to one page, every file is there as it is on disk, every page opens, every tree is walked", async () => {
    const at = await host(folder);
    const context = await device();
    const page = await context.newPage();
    const faults: string[] = [];
    page.on("pageerror", (error) => faults.push(error.message));
    await page.goto(`${at.address}index.html`);
    await allStored(page);
    await at.close();
    await expect(fetch(at.address)).rejects.toThrow();
    await page.reload();
    const sums = await page.evaluate(async (all) => {
      const made: Record<string, string> = {};
      for (const name of all) {
        const digest = await crypto.subtle.digest("SHA-256", await (await fetch(name)).arrayBuffer());
        made[name] = [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
      }
      return made;
    }, names);
    for (const name of names)
      expect(sums[name], name).toBe(
        createHash("sha256")
          .update(readFileSync(join(folder, name)))
          .digest("hex"),
      );
    for (const name of pages) {
      const response = await page.goto(at.address + name);
      expect(response?.fromServiceWorker(), name).toBe(true);
      if (!name.startsWith("trees/")) continue;
      await page.locator('guided-walk[data-mode="start"]').waitFor();
      const plan = await planOf(page);
      const history: Entry[] = [];
      while (history.length < 4) {
        const place = replay(plan, history);
        const [entry] = isMisfit(place) ? [] : entriesAt(plan, place);
        if (entry === undefined) break;
        await give(page, entry);
        history.push(entry);
      }
      expect(history.length, name).toBeGreaterThan(1);
    }
    expect(pages.filter((name) => name.startsWith("trees/")).length).toBeGreaterThan(20);
    await page.goto(at.address);
    await page.locator("[data-find]").fill("never stops drainng");
    await expect.poll(() => page.locator("[data-results] a").first().getAttribute("href")).toMatch(/^trees\//);
    // The worker counts all files first.
    await expect
      .poll(() => page.locator("[data-stored]").textContent(), { timeout: 30_000 })
      .toMatch(new RegExp(`all ${names.length} files of \\d{4}-\\d\\d-\\d\\d are stored on this device, [\\d.]+ MB`));
    expect(faults).toEqual([]);
  }, 900_000);

  test("from a disk there is no worker, nothing is said of it, and no error", async () => {
    const page = await (await device()).newPage();
    const faults: string[] = [];
    page.on("pageerror", (error) => faults.push(error.message));
    page.on("console", (message) => message.type() === "error" && faults.push(message.text()));
    for (const name of ["index.html", TREE]) {
      await page.goto(pathToFileURL(join(old.folder, name)).href);
      await page.waitForTimeout(300);
      expect(await page.locator("[data-stored]").isVisible()).toBe(false);
    }
    await page.locator('[data-family="dial-softener"] [data-act="begin"]').click();
    await walkOn(page, 0, 2);
    expect(faults).toEqual([]);
  });

  test("the site can be installed: what the browser itself complains of is nothing", async () => {
    const at = await host(old.folder);
    const page = await (await device()).newPage();
    await page.goto(`${at.address}${TREE}`);
    await allStored(page);
    const devtools = await page.context().newCDPSession(page);
    const { errors, url } = await devtools.send("Page.getAppManifest");
    expect(url).toBe(`${at.address}app.webmanifest`);
    expect(errors).toEqual([]);
    const { installabilityErrors } = await devtools.send("Page.getInstallabilityErrors");
    // A private window, as the tests' contexts are, can't install anything.
    expect(installabilityErrors.map(({ errorId }) => errorId).filter((id) => id !== "in-incognito")).toEqual([]);
  });
});

describe("a new version in the middle of a walk", () => {
  test("the steps stay, over reloads, until the end; then the new one is used", async () => {
    const at = await host(old.folder);
    const page = await (await device()).newPage();
    await beginWalk(page, at.address + TREE);
    await allStored(page);
    await walkOn(page, 0, 1);
    at.deploy(fresh.folder);
    await newerWaits(page);
    expect(await asked(page)).toBe("Does the dial stand at service?");
    await page.reload();
    await settled(page);
    await page.locator('guided-walk[data-at="dial"]').waitFor();
    expect(await asked(page)).toBe("Does the dial stand at service?");
    await walkOn(page, 1);
    expect(await placeOf(page)).toBe("call");
    await page.locator('[data-act="another"]').click();
    await page.locator("#smell").waitFor({ state: "attached" });
    await page.locator('guided-walk[data-mode="start"]').waitFor();
    await give(page, { step: "=equipment", answer: "dial-softener" });
    expect(await placeOf(page)).toBe("smell");
    const [first] = (await stored(page)).filter(({ state }) => state === "ended");
    expect(first?.history.map(({ step }) => step)).toEqual(["=equipment", ...STEPS]);
  });

  test("they stay when the new one has been put to use meanwhile: the browser was killed and started again", async () => {
    const profile = mkdtempSync(join(tmpdir(), "headwater-profile-"));
    const at = await host(old.folder);
    let running: Running = await run(inject("chromium"), profile);
    try {
      let page = await running.context.newPage();
      await beginWalk(page, at.address + TREE);
      await allStored(page);
      await walkOn(page, 0, 1);
      at.deploy(fresh.folder);
      await newerWaits(page);
      // What a browser has registered it writes down a moment later.
      await page.waitForTimeout(1000);
      await running.kill();
      // Without a network too: all that the walk needs is on the device.
      await at.close();
      running = await run(inject("chromium"), profile);
      page = await running.context.newPage();
      await page.goto(`${at.address}index.html`);
      await page.waitForFunction(async () => (await navigator.serviceWorker.getRegistration())?.waiting == null);
      await page.goto(at.address + TREE);
      await page.locator("#smell").waitFor({ state: "attached" });
      await page.locator('[data-visits] [data-act="resume"]').click();
      await page.waitForURL(/[?]version=/);
      await page.locator('guided-walk[data-at="dial"]').waitFor();
      expect(await asked(page)).toBe("Does the dial stand at service?");
      await page.reload();
      await walkOn(page, 1);
      expect(await placeOf(page)).toBe("call");
      await page.locator('[data-act="another"]').click();
      await page.locator("#smell").waitFor({ state: "attached" });
      expect(new URL(page.url()).search).toBe("");
      // Nothing of the old version is left when no visit needs it.
      await page.reload();
      await expect
        .poll(() => page.evaluate(async () => (await caches.keys()).filter((name) => name.includes("kept")).length))
        .toBe(0);
    } finally {
      await running.kill();
      rmSync(profile, { recursive: true, force: true });
    }
  });

  test("on request the walk goes on with the new steps, where its answers fit them", async () => {
    const at = await host(old.folder);
    const page = await (await device()).newPage();
    await beginWalk(page, at.address + TREE);
    await allStored(page);
    await walkOn(page, 0, 3);
    at.deploy(longer.folder);
    await newerWaits(page);
    await page.locator('[data-act="use-newer"]').click();
    await page.locator("#late").waitFor({ state: "attached" });
    await page.locator('guided-walk[data-at="handles"]').waitFor();
    await walkOn(page, 3);
    expect(await placeOf(page)).toBe("late");
  });

  test("another tab does not bring it about while one walks", async () => {
    const at = await host(old.folder);
    const context = await device();
    const walking = await context.newPage();
    await beginWalk(walking, at.address + TREE);
    await allStored(walking);
    const home = await context.newPage();
    await home.goto(`${at.address}index.html`);
    at.deploy(fresh.folder);
    await newerWaits(home);
    await home.locator('[data-act="use-newer"]').click();
    await expect.poll(() => home.locator("[data-newer]").textContent()).toContain("in another tab");
    expect(await home.evaluate(async () => (await navigator.serviceWorker.getRegistration())?.waiting != null)).toBe(
      true,
    );
    await walkOn(walking, 0);
    await walking.close();
    await home.reload();
    await home.waitForFunction(async () => (await navigator.serviceWorker.getRegistration())?.waiting == null);
    await home.goto(at.address + TREE);
    await home.locator("#smell").waitFor({ state: "attached" });
  });

  test("a network without a worker's help that has another version is owned up to", async () => {
    const at = await host(old.folder);
    const context = await device();
    const page = await context.newPage();
    await beginWalk(page, at.address + TREE);
    await walkOn(page, 0, 2);
    await allStored(page);
    // The browser has thrown away all that is stored, but for the visit.
    await page.evaluate(async () => {
      for (const name of await caches.keys()) await caches.delete(name);
      await (await navigator.serviceWorker.getRegistration())?.unregister();
    });
    at.deploy(longer.folder);
    await page.reload();
    await page.locator('guided-walk[data-at="salt"]').waitFor();
    expect(await page.locator("[data-status]").textContent()).toContain("has a new version");
  });
});

describe("the store", () => {
  test("full: it is said, the walk works, and the visit can be saved as a file", async () => {
    const at = await host(old.folder);
    const page = await (await device()).newPage();
    const devtools = await page.context().newCDPSession(page);
    const { origin } = new URL(at.address);
    await devtools.send("Storage.overrideQuotaForOrigin", { origin, quotaSize: 1 });
    await beginWalk(page, at.address + TREE);
    await walkOn(page, 0, 3);
    expect(await page.locator("[data-status]").textContent()).toContain("storage of this device is full");
    const [download] = await Promise.all([page.waitForEvent("download"), page.locator('[data-act="save"]').click()]);
    const saved = JSON.parse(readFileSync(await download.path(), "utf8")) as JobRecord;
    expect(saved.entries.map(({ step }) => step)).toEqual(STEPS.slice(0, 3));
    expect(await stored(page)).toEqual([]);
    // Space was freed: the next answer puts everything on disk, and nothing more is said.
    await devtools.send("Storage.overrideQuotaForOrigin", { origin });
    await walkOn(page, 3, 4);
    expect((await stored(page))[0]?.history.map(({ step }) => step)).toEqual(["=equipment", ...STEPS.slice(0, 4)]);
    expect(await page.locator("[data-status]").textContent()).toBe("");
    expect(await page.locator('[data-act="save"]').count()).toBe(0);
  });

  test("too small for the site: it is said, and the walk works", async () => {
    const at = await host(old.folder);
    const page = await (await device()).newPage();
    const devtools = await page.context().newCDPSession(page);
    await devtools.send("Storage.overrideQuotaForOrigin", { origin: new URL(at.address).origin, quotaSize: 1 });
    await page.goto(at.address + TREE);
    await page.locator('[data-stored="full"]').waitFor();
    expect(await page.locator("[data-stored]").textContent()).toContain("storage of this device is full");
    await page.locator('[data-family="dial-softener"] [data-act="begin"]').click();
    await walkOn(page, 0);
    expect(await placeOf(page)).toBe("call");
  });

  test("asked to be kept once, at the first answer", async () => {
    const at = await host(old.folder);
    const context = await device();
    let count = 0;
    await context.exposeFunction("askedToPersist", () => {
      count += 1;
    });
    await context.addInitScript(() => {
      StorageManager.prototype.persist = async () => {
        await (window as unknown as { askedToPersist: () => Promise<void> }).askedToPersist();
        return true;
      };
    });
    const page = await context.newPage();
    await page.goto(at.address + TREE);
    await page.locator('guided-walk[data-mode="start"]').waitFor();
    expect(count).toBe(0);
    await give(page, { step: "=equipment", answer: "dial-softener" });
    await expect.poll(() => count).toBe(1);
    await beginWalk(await context.newPage(), at.address + TREE);
    expect(count).toBe(1);
  });
});

describe("two tabs", () => {
  test("two visits at once don't touch each other", async () => {
    const at = await host(old.folder);
    const context = await device();
    const [one, other] = [await context.newPage(), await context.newPage()];
    await beginWalk(one, at.address + TREE);
    await beginWalk(other, at.address + TREE);
    for (const step of STEPS.slice(0, 4)) {
      await Promise.all([give(one, { step, answer: "yes" }), give(other, { step, answer: "no" })]);
    }
    const visits = await stored(one);
    expect(visits).toHaveLength(2);
    for (const { history } of visits) {
      expect(history.map(({ step }) => step)).toEqual(["=equipment", ...STEPS.slice(0, 4)]);
      expect(new Set(history.slice(1).map(({ answer }) => answer)).size).toBe(1);
    }
  });

  test("the same visit: the second says so, and takes it over on request; the first then changes nothing", async () => {
    const at = await host(old.folder);
    const context = await device();
    const one = await context.newPage();
    await beginWalk(one, at.address + TREE);
    await walkOn(one, 0, 2);
    const other = await context.newPage();
    await other.goto(at.address + TREE);
    await other.locator('[data-visits] [data-act="resume"]').click();
    await other.locator("[data-elsewhere]").waitFor();
    expect(await other.locator("[data-elsewhere]").textContent()).toContain("open in another tab");
    await walkOn(one, 2, 3);
    await other.locator('[data-act="take"]').click();
    // With what the first has answered meanwhile.
    await other.locator('guided-walk[data-at="handles"]').waitFor();
    await one.locator('guided-walk[data-mode="start"]').waitFor();
    expect(await one.locator("[data-status]").textContent()).toContain("another tab");
    await walkOn(other, 3, 5);
    const [visit] = await stored(other);
    expect(visit?.history.map(({ step }) => step)).toEqual(["=equipment", ...STEPS.slice(0, 5)]);
  });

  test("deleted in one, it does not come back from the other", async () => {
    const at = await host(old.folder);
    const context = await device();
    const one = await context.newPage();
    await beginWalk(one, at.address + TREE);
    await walkOn(one, 0, 2);
    const other = await context.newPage();
    await other.goto(at.address + TREE);
    await other.locator('[data-visits] [data-act="remove"]').click();
    await other.locator("[data-visits]").waitFor({ state: "detached" });
    await one.locator('[data-controls] [data-answer="yes"]').click();
    await one.locator('guided-walk[data-mode="start"]').waitFor();
    expect(await stored(one)).toEqual([]);
  });
});

test("a clock that is put back years, or ahead, loses nothing", async () => {
  const at = await host(old.folder);
  const page = await (await device()).newPage();
  await page.clock.setFixedTime("2026-10-10T10:00:00Z");
  await beginWalk(page, at.address + TREE);
  await walkOn(page, 0, 2);
  for (const [now, step] of [
    ["2019-01-01T00:00:00Z", 2],
    ["2041-01-01T00:00:00Z", 3],
  ] as const) {
    await page.clock.setFixedTime(now);
    await page.reload();
    await page.locator(`guided-walk[data-at="${STEPS[step]}"]`).waitFor();
    await walkOn(page, step, step + 1);
  }
  const [visit, ...others] = await stored(page);
  expect(others).toEqual([]);
  expect(visit?.history.map((entry) => entry.step)).toEqual(["=equipment", ...STEPS.slice(0, 4)]);
});

describe("a browser that is killed", () => {
  const WALKS = 10;
  const KILLS = 10;
  const profile = mkdtempSync(join(tmpdir(), "headwater-killed-"));
  const at = new Host(old.folder);
  beforeAll(() => at.open());
  afterAll(async () => {
    await at.close();
    rmSync(profile, { recursive: true, force: true });
  });

  test(`at any moment in ${WALKS * KILLS} walks, ${WALKS} at once, loses at most the tap under the finger`, async () => {
    /** By visit: what the reader was shown to have answered. */
    const shown = new Map<string, string[]>();
    const check = async (page: Page, from: string): Promise<void> => {
      const visits = new Map((await stored(page)).map((visit) => [visit.id, visit]));
      for (const [id, said] of shown) {
        const answers = visits.get(id)?.history.map(({ step, answer }) => `${step} ${answer}`) ?? [];
        expect(answers.slice(0, said.length), `${from}: ${id}`).toEqual(said);
        expect(answers.length - said.length, `${from}: ${id}`).toBeLessThanOrEqual(1);
      }
    };
    for (let kill = 0; kill < KILLS; kill++) {
      const running = await run(inject("chromium"), profile);
      try {
        const first = await running.context.newPage();
        await first.goto(at.address + TREE);
        if (kill > 0) await check(first, `kill ${kill}`);
        shown.clear();
        await running.context.exposeBinding("isShown", (_, id: string, answered: string[]) => {
          shown.set(id, answered);
        });
        // Frames of one page are walked like tabs, and take the machine a tenth of the time to open.
        const begun = Array.from({ length: WALKS }, async (_, walk) => {
          const frame = await opened(first, `walk-${walk}`, at.address + TREE);
          await frame.locator('guided-walk[data-mode="start"]').waitFor();
          await frame.evaluate(tapAlong);
        });
        await Promise.all(begun);
        await new Promise((later) => setTimeout(later, Math.random() * 700));
      } finally {
        await running.kill();
      }
      expect(shown.size, "walks under way").toBe(WALKS);
    }
    const running = await run(inject("chromium"), profile);
    const page = await running.context.newPage();
    await page.goto(at.address + TREE);
    await check(page, "the last kill");
    expect(await stored(page)).toHaveLength(WALKS * KILLS);
    await running.kill();
  });
});

async function opened(page: Page, name: string, address: string): Promise<Frame> {
  await page.evaluate(
    ([id, src]) => {
      const frame = document.createElement("iframe");
      Object.assign(frame, { name: id, src });
      document.body.append(frame);
    },
    [name, address] as const,
  );
  await expect.poll(() => page.frame({ name })?.url(), { timeout: 60_000 }).toBe(address);
  return page.frame({ name }) as Frame;
}

/**
 * In the page: begins, then answers step after step, and reports what the page shows
 * to be answered. Returns when the first answer is shown.
 */
async function tapAlong(): Promise<void> {
  const walk = document.querySelector<HTMLElement>("guided-walk");
  const report = (window as unknown as { isShown: (id: string, answered: string[]) => Promise<void> }).isShown;
  const answered: string[] = [];
  const next = async (selector: string, taken: (at: string) => void): Promise<void> => {
    const at = walk?.dataset.at;
    walk?.querySelector<HTMLElement>(selector)?.click();
    while (walk?.dataset.at === at || walk?.hasAttribute("data-busy"))
      await new Promise((later) => setTimeout(later, 2));
    taken(at ?? "");
    await report((history.state as { visit: string }).visit, [...answered]);
  };
  await next('[data-family="dial-softener"] [data-act="begin"]', () => answered.push("=equipment dial-softener"));
  void (async () => {
    while (walk?.hasAttribute("data-ended") === false) {
      const answer = Math.random() < 0.5 ? "yes" : "no";
      await next(`[data-controls] [data-answer="${answer}"]`, (at) => answered.push(`${at} ${answer}`));
      await new Promise((later) => setTimeout(later, Math.random() * 120));
    }
  })();
}
