/** `headwater serve`, as the author sees it: complaints in the page, the last good page meanwhile, reload when mended. */
import { type ChildProcess, spawn } from "node:child_process";
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import sirv from "sirv";
import { expect, inject, test } from "vitest";
import { splitExample } from "../../compiler/examples.ts";
import { exampleBase } from "../annotations.ts";
import { served } from "./served.ts";

const site = served();

const command = fileURLToPath(new URL("../../compiler/cli/headwater.js", import.meta.url));

async function addressOf(child: ChildProcess): Promise<string> {
  let said = "";
  child.stdout?.setEncoding("utf8").on("data", (text: string) => {
    said += text;
  });
  await expect.poll(() => /serving (http\S+)/.exec(said)?.[1], { timeout: 150_000 }).toBeTruthy();
  return /serving (http\S+)/.exec(said)?.[1] ?? "";
}

test("a fault shows in the open page, which stays; mended, the page is new", async () => {
  const folder = mkdtempSync(join(tmpdir(), "headwater-serve-test-"));
  const base = join(folder, "base");
  cpSync(fileURLToPath(new URL("../../trees", import.meta.url)), base, { recursive: true });
  const child = spawn(process.execPath, [command, "serve", base, "--port", "0"], { cwd: tmpdir() });
  try {
    const address = await addressOf(child);
    const page = await site.browser.newPage();
    await page.goto(`${address}trees/ro-runs-to-drain.html`);
    const title = await page.locator("h1").textContent();
    // The site of a further language is served too, and listens like the main one.
    expect(await (await fetch(`${address}es/trees/uv-alarm.html`)).text()).toContain('src="../live.js"');
    for (const script of ["live.js", "sw.js"]) {
      const texts = await Promise.all(
        ["", "es/"].map(async (prefix) => (await fetch(address + prefix + script)).text()),
      );
      expect(texts[1]).toBe(texts[0]);
    }
    const file = join(base, "drinking-water/ro-runs-to-drain.yaml");
    const good = readFileSync(file, "utf8");
    writeFileSync(file, good.replace(/^start: .*$/m, "start: nowhere-at-all"));
    await expect
      .poll(
        () =>
          page
            .locator(".headwater-live")
            .textContent()
            .catch(() => ""),
        { timeout: 30_000 },
      )
      .toContain("nowhere-at-all");
    expect(await page.locator("h1").first().textContent()).toBe(title);
    writeFileSync(file, good.replace(/^title: .*$/m, "title: A title that was mended"));
    await expect
      .poll(
        () =>
          page
            .locator("h1")
            .first()
            .textContent()
            .catch(() => ""),
        { timeout: 60_000 },
      )
      .toBe("A title that was mended");
    expect(await page.locator(".headwater-live").count()).toBe(0);
    await page.close();
  } finally {
    child.kill("SIGTERM");
    await new Promise((ended) => child.once("close", ended));
    rmSync(folder, { recursive: true, force: true });
  }
});

test("a built site that was stored from the same address does not hide the base that is being written", async () => {
  const files = sirv(inject("site"), { dev: true });
  const built = createServer((request, response) => files(request, response));
  await new Promise<void>((ready) => built.listen(0, "127.0.0.1", ready));
  const { port } = built.address() as AddressInfo;
  const context = await site.browser.newContext();
  const page = await context.newPage();
  await page.goto(`http://127.0.0.1:${port}/`);
  await page.locator('[data-stored="complete"]').waitFor({ timeout: 120_000 });
  built.closeAllConnections();
  await new Promise((ended) => built.close(ended));
  const folder = mkdtempSync(join(tmpdir(), "headwater-serve-test-"));
  for (const { path, text } of splitExample(exampleBase)) {
    mkdirSync(dirname(join(folder, path)), { recursive: true });
    writeFileSync(join(folder, path), text);
  }
  const child = spawn(process.execPath, [command, "serve", folder, "--port", String(port)], { cwd: tmpdir() });
  try {
    await addressOf(child);
    await page.goto(`http://127.0.0.1:${port}/index.html`);
    await page.locator('script[src="live.js"]').waitFor({ state: "attached", timeout: 60_000 });
    await expect
      .poll(() => page.evaluate(async () => (await navigator.serviceWorker.getRegistrations()).length))
      .toBe(0);
    expect(await page.evaluate(() => caches.keys())).toEqual([]);
    expect(await page.locator("[data-stored]").isVisible()).toBe(false);
  } finally {
    child.kill("SIGTERM");
    await new Promise((ended) => child.once("close", ended));
    await context.close();
    rmSync(folder, { recursive: true, force: true });
  }
});
