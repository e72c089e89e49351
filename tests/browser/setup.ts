/** Before all tests: Chromium is there and starts, and the demo site is built once for all of them. */
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { TestProject } from "vitest/node";
import { type Chromium, findChromium, launch } from "./chromium.ts";

declare module "vitest" {
  interface ProvidedContext {
    chromium: Chromium;
    /** The folder that holds the built demo site. */
    site: string;
  }
}

export default async function setup(project: TestProject): Promise<() => void> {
  const found = await findChromium();
  await (await launch(found)).close();
  const work = mkdtempSync(join(tmpdir(), "headwater-site-"));
  const site = join(work, "site");
  const command = fileURLToPath(new URL("../../compiler/cli/headwater.js", import.meta.url));
  const demo = fileURLToPath(new URL("../../trees", import.meta.url));
  execFileSync(process.execPath, [command, "build", demo, "--out", site], { stdio: ["ignore", "pipe", "pipe"] });
  project.provide("chromium", found);
  project.provide("site", site);
  return () => rmSync(work, { recursive: true, force: true });
}
