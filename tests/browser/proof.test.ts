/** The proof page: complete, in titles rather than ids, without script, on a screen and on paper. */
import { readdirSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, inject, test } from "vitest";
import { notProven } from "../../compiler/model/compiled.ts";
import { served } from "./served.ts";

const site = served();
const trees = readdirSync(join(inject("site"), "trees")).map((name) => name.slice(0, -".html".length));

describe.each(trees)("%s", (tree) => {
  test("the procedure leads to its proof, which says what is proven and what is not", async () => {
    const { context, page, faults } = await site.open({ javaScriptEnabled: false });
    await page.goto(`${site.address}trees/${tree}.html`);
    const title = await page.locator("h1").textContent();
    const routines = await page.locator(".routine").count();
    const isNeeding = (await page.locator(".needs").count()) > 0;
    await page.locator(`a[href="../proofs/${tree}.html"]`).click();
    expect(await page.locator("h1").textContent()).toContain(title);
    // The procedure, each of its routines, what is not proven, and the lines to sign.
    expect(await page.locator(".proof > section").count()).toBe(routines + 3);
    const captions = await page.locator("caption").allTextContents();
    for (const [caption, isThere] of [
      ["Each need", isNeeding],
      ["Each hazard", true],
      ["Each end", true],
    ] as const)
      expect(captions.some((text) => text.startsWith(caption))).toBe(isThere);
    for (const line of notProven) expect(await page.locator(".proof").textContent()).toContain(line);
    const ids = await page
      .locator(".proof :is(th, td)")
      .evaluateAll((cells) => cells.map((cell) => cell.textContent ?? "").filter((text) => /[a-z]--\d|__/.test(text)));
    expect(ids, "titles, not ids").toEqual([]);
    expect(faults).toEqual([]);
    await context.close();
  });

  test("it prints on A4 and on Letter without anything cut off", async () => {
    for (const [format, width] of [
      ["A4", 680],
      ["Letter", 703],
    ] as const) {
      // The width of the sheet between its margins, at 96 dots an inch.
      const { context, page } = await site.open({ viewport: { width, height: 900 } });
      await page.goto(`${site.address}proofs/${tree}.html`);
      await page.emulateMedia({ media: "print" });
      const overflow = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect(overflow, format).toBeLessThanOrEqual(0);
      expect(await page.locator(".sign-off td").count()).toBe(6);
      const pdf = (await page.pdf({ format })).toString("latin1");
      const sheets = pdf.match(/\/Type\s*\/Page[^s]/g)?.length ?? 0;
      expect(sheets).toBeGreaterThan(0);
      expect(sheets, "sheets of paper").toBeLessThanOrEqual(20);
      await context.close();
    }
  });
});
