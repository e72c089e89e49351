/**
 * Builds the site of one compiled base, in this process or as a program of its own:
 *
 *     node site/build.ts <base.json> <folder> [--live] [--pictures <folder>]
 */
import { mkdirSync, realpathSync } from "node:fs";
import { resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { parseArgs } from "node:util";

export interface SiteBuild {
  /** The JSON file that the compiler wrote. */
  readonly basePath: string;
  /**
   * Where the pages go. The folder is **emptied** first: build beside a good site, then put the new one in its place.
   * What is put into it afterwards is not stored for use without a network.
   */
  readonly outDir: string;
  /** Copied into `pictures`, when it is there. */
  readonly pictures?: string;
  /** Pages load `live.js`, which the caller's server provides. */
  readonly live?: boolean;
  readonly log?: "silent" | "info";
}

const HERE = fileURLToPath(new URL(".", import.meta.url));

// Settings travel through the environment of the process, so builds in one process go one after the other.
let last: Promise<void> = Promise.resolve();
let runs = 0;

/**
 * @throws when the compiled base can't be read or a page can't be made; then `outDir` is of no use.
 */
export function buildSite(options: SiteBuild): Promise<void> {
  const mine = last.then(() => buildNow(options));
  last = mine.catch(() => undefined);
  return mine;
}

async function buildNow(options: SiteBuild): Promise<void> {
  runs += 1;
  mkdirSync(options.outDir, { recursive: true });
  // Compared with the working directory below, which never holds a link.
  const outDir = realpathSync(options.outDir);
  const env: Record<string, string> = {
    ASTRO_TELEMETRY_DISABLED: "1",
    HEADWATER_BASE: resolve(options.basePath),
    HEADWATER_LIVE: options.live === true ? "1" : "0",
    HEADWATER_OUT: outDir,
    HEADWATER_PICTURES: options.pictures === undefined ? "" : resolve(options.pictures),
    HEADWATER_RUN: `${process.pid}-${runs}`,
  };
  const before = Object.fromEntries(Object.keys(env).map((name) => [name, process.env[name]]));
  Object.assign(process.env, env);
  // Astro writes the code that makes the pages into the output folder when that lies below the working directory, else
  // into the working directory itself. Here it stays in the output folder: builds side by side don't meet, and nothing
  // is left in the folder from which somebody happened to call.
  const caller = process.cwd();
  process.chdir(outDir);
  try {
    // Only here: its first import takes a third of a second, which a caller that never builds should not pay.
    const { build } = await import("astro");
    // Types for editors (`sync`) are no part of a build, and the program's folder may be read-only.
    const settings = { sync: false } as Parameters<typeof build>[1];
    await build({ root: HERE, outDir, logLevel: options.log === "info" ? "info" : "error" }, settings);
  } finally {
    process.chdir(caller);
    for (const [name, value] of Object.entries(before)) {
      if (value === undefined) delete process.env[name];
      else process.env[name] = value;
    }
  }
}

if (process.argv[1] !== undefined && resolve(process.argv[1]) === fileURLToPath(import.meta.url)) {
  const { values, positionals } = parseArgs({
    allowPositionals: true,
    options: { live: { type: "boolean", default: false }, pictures: { type: "string" } },
  });
  const [basePath, outDir] = positionals;
  if (basePath === undefined || outDir === undefined || positionals.length > 2) {
    console.error("usage: node site/build.ts <base.json> <folder> [--live] [--pictures <folder>]");
    process.exitCode = 2;
  } else {
    try {
      await buildSite({ basePath, outDir, ...values });
    } catch (error) {
      console.error(error instanceof Error ? error.message : String(error));
      process.exitCode = 1;
    }
  }
}
