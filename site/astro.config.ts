/**
 * The pages are plain files with relative links, so that a copy of the folder works from any static host, below any
 * path, and straight from a disk. Astro's own script and style handling would write absolute module addresses; scripts,
 * style sheet and fonts are therefore endpoints of their own (see `src/pages/*.ts`).
 */
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { defineConfig } from "astro/config";
import { catalogueLanguage, decimalMark } from "./src/base.ts";
import { offline } from "./src/offline/integration.ts";

const here = fileURLToPath(new URL(".", import.meta.url));

export default defineConfig({
  root: here,
  outDir: process.env.HEADWATER_OUT ?? join(here, "dist"),
  // Not below node_modules: the folder that holds the program may be read-only.
  cacheDir: join(tmpdir(), "headwater-astro"),
  output: "static",
  build: { format: "file", inlineStylesheets: "never" },
  devToolbar: { enabled: false },
  integrations: [offline()],
  vite: {
    cacheDir: join(tmpdir(), "headwater-vite"),
    // After bundling, a page no longer knows which folder its source came from.
    define: { __SITE_FOLDER__: JSON.stringify(here), __DECIMAL_MARK__: JSON.stringify(decimalMark()) },
    // What package.json says of `#words/*`, with the language of this base for a condition.
    resolve: { alias: [{ find: /^#words\/(.+)$/, replacement: `${here}src/words/${catalogueLanguage()}/$1.ts` }] },
    build: { reportCompressedSize: false },
    // The code that makes the pages is written below the output folder, from where no package would be found.
    environments: { prerender: { resolve: { noExternal: true } } },
  },
});
