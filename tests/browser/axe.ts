/** What axe finds wrong with a page as it stands. */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Page } from "playwright-core";

const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

export async function axeFaults(page: Page): Promise<string[]> {
  await page.evaluate(axeSource);
  return page.evaluate(async () => {
    const axe = (
      window as unknown as {
        axe: { run(): Promise<{ violations: { id: string; nodes: { target: unknown; html: string }[] }[] }> };
      }
    ).axe;
    const { violations } = await axe.run();
    return violations.flatMap(({ id, nodes }) =>
      nodes.map((node) => `${id}: ${JSON.stringify(node.target)} ${node.html.slice(0, 120)}`),
    );
  });
}
