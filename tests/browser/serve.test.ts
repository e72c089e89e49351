/** `headwater serve`, as the author sees it: complaints in the page, the last good page meanwhile, reload when mended. */
import { spawn } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { expect, test } from "vitest";
import { served } from "./served.ts";

const site = served();

test("a fault shows in the open page, which stays; mended, the page is new", async () => {
  const folder = mkdtempSync(join(tmpdir(), "headwater-serve-test-"));
  const base = join(folder, "base");
  cpSync(fileURLToPath(new URL("../../trees", import.meta.url)), base, { recursive: true });
  const command = fileURLToPath(new URL("../../compiler/cli/headwater.js", import.meta.url));
  const child = spawn(process.execPath, [command, "serve", base, "--port", "0"], { cwd: tmpdir() });
  try {
    let said = "";
    child.stdout.setEncoding("utf8").on("data", (text: string) => {
      said += text;
    });
    await expect.poll(() => /serving (http\S+)/.exec(said)?.[1], { timeout: 60_000 }).toBeTruthy();
    const address = /serving (http\S+)/.exec(said)?.[1] ?? "";
    const page = await site.browser.newPage();
    await page.goto(`${address}trees/ro-runs-to-drain.html`);
    const title = await page.locator("h1").textContent();
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
