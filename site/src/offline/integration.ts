/**
 * Writes the service worker when all pages are there. It knows each file with a revision of its content, so a new
 * version fetches only what has changed.
 */
import { cpSync, existsSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { AstroIntegration } from "astro";
import { build } from "esbuild";
// The list alone: the library's front door brings a bundler and a compiler along, a third of a second in every build.
import { getManifest } from "workbox-build/build/get-manifest.js";
import { isLive, loadBase, picturesFolder } from "../base.ts";

/** Of one file. The library leaves out larger ones, by default from 2 MB, which the home page of a large base reaches. */
const LARGEST_BYTES = 50_000_000;

export function offline(): AstroIntegration {
  return {
    name: "headwater-offline",
    hooks: {
      "astro:build:done": async ({ dir }) => {
        const folder = fileURLToPath(dir);
        const pictures = picturesFolder();
        if (pictures !== undefined && existsSync(pictures))
          cpSync(pictures, join(folder, "pictures"), { recursive: true, dereference: true });
        // While a base is being written, its pages come from the server that watches it.
        if (!isLive()) await writeWorker(folder);
      },
    },
  };
}

async function writeWorker(folder: string): Promise<void> {
  const { manifestEntries, warnings } = await getManifest({
    globDirectory: folder,
    globPatterns: ["**/*"],
    maximumFileSizeToCacheInBytes: LARGEST_BYTES,
  });
  if (warnings.length > 0) throw new Error(`not everything can be stored for use without a network: ${warnings[0]}`);
  const files = manifestEntries
    .map(({ url, revision }) => ({ url: encodeURI(url), revision }))
    .sort((one, other) => (one.url < other.url ? -1 : 1));
  const { outputFiles } = await build({
    entryPoints: [fileURLToPath(new URL("worker.ts", import.meta.url))],
    bundle: true,
    define: {
      __FILES__: JSON.stringify(files),
      __COMPILED_ON__: JSON.stringify(loadBase().compiledOn),
      "process.env.NODE_ENV": '"production"',
    },
    format: "iife",
    legalComments: "none",
    logLevel: "silent",
    minify: true,
    target: "es2022",
    write: false,
  });
  writeFileSync(join(folder, "sw.js"), outputFiles[0]?.text ?? "");
}
