/**
 * What axe finds wrong with a page as it stands: its usual rules, and two that it leaves out by default. Contrast is held
 * to 7:1 (WCAG 2.2, 1.4.6, level AAA), for bright sun and dark cellars; targets to the size of 2.5.8.
 */
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import type { Page } from "playwright-core";

const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

export async function axeFaults(page: Page): Promise<string[]> {
  await page.evaluate(axeSource);
  return page.evaluate(async () => {
    // These lie over what can be scrolled from under them, and axe doesn't scroll.
    const over = [...document.querySelectorAll<HTMLElement>(".bar, .true-now")];
    for (const element of over) element.style.position = "static";
    const axe = (
      window as unknown as {
        axe: {
          run(options: object): Promise<{ violations: { id: string; nodes: { target: unknown; html: string }[] }[] }>;
        };
      }
    ).axe;
    const { violations } = await axe.run({
      rules: { "color-contrast-enhanced": { enabled: true }, "target-size": { enabled: true } },
    });
    for (const element of over) element.style.removeProperty("position");
    return violations.flatMap(({ id, nodes }) =>
      nodes.map((node) => `${id}: ${JSON.stringify(node.target)} ${node.html.slice(0, 120)}`),
    );
  });
}
