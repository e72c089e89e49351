/** One build in a process of its own; prints the user CPU it took, in milliseconds. `site <json> <out>` or `bare <json> <out>`. */
import { build } from "astro";
import { buildSite } from "../../site/build.ts";

const [kind, data = "", out = ""] = process.argv.slice(2);
if (kind === "site") await buildSite({ basePath: data, outDir: out });
else {
  process.env.BARE_PAGES = data;
  await build({
    root: new URL("./bare-astro/", import.meta.url).pathname,
    outDir: out,
    logLevel: "error",
    build: { format: "file" },
    devToolbar: { enabled: false },
  });
}
process.stdout.write(`\n${JSON.stringify({ userMs: process.resourceUsage().userCPUTime / 1000 })}\n`);
