/**
 * The Chromium for the tests: the one that `HEADWATER_CHROMIUM` names, else the one inside an npm package, which brings
 * its own system libraries and runs on Linux on x64. Where neither can run, an error of one line says what to do.
 */
import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { arch, platform } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { type Browser, chromium } from "playwright-core";

export interface Chromium {
  readonly program: string;
  readonly libraries: string | undefined;
  readonly fonts: string | undefined;
}

const ADVICE = "install a Chromium and set HEADWATER_CHROMIUM to its program, then run the tests again";

/** Unpacks once; later calls, also from other processes, find it ready. */
export async function findChromium(): Promise<Chromium> {
  const named = process.env.HEADWATER_CHROMIUM;
  if (named) {
    if (!existsSync(named)) throw new Error(`HEADWATER_CHROMIUM names ${named}, which is not there: ${ADVICE}`);
    return { program: named, libraries: undefined, fonts: undefined };
  }
  if (platform() !== "linux" || arch() !== "x64")
    throw new Error(`the packaged Chromium runs on Linux on x64 only: ${ADVICE}`);
  const cache = fileURLToPath(new URL("../../node_modules/.cache/", import.meta.url));
  const ready = join(cache, "headwater-chromium");
  if (!existsSync(ready)) {
    mkdirSync(cache, { recursive: true });
    // Unpacked beside and moved when whole, so that an interrupted run leaves nothing half done.
    const fresh = mkdtempSync(join(cache, "unpacking-"));
    const before = process.env.TMPDIR;
    process.env.TMPDIR = fresh;
    try {
      const { default: packaged, inflate } = await import("@sparticuz/chromium");
      await packaged.executablePath();
      const folder = join(dirname(createRequire(import.meta.url).resolve("@sparticuz/chromium")), "../bin");
      await inflate(join(folder, "al2023.tar.br"));
      // The package's own file names folders of another machine; without any font, the first glyph missing ends the page.
      writeFileSync(
        join(fresh, "fonts.conf"),
        `<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd"><fontconfig><dir>${join(ready, "fonts")}</dir><cachedir>${join(ready, "fonts-cache")}</cachedir></fontconfig>\n`,
      );
      renameSync(fresh, ready);
    } catch (error) {
      if (!existsSync(ready)) throw new Error(`the packaged Chromium can't be unpacked (${String(error)}): ${ADVICE}`);
    } finally {
      if (before === undefined) delete process.env.TMPDIR;
      else process.env.TMPDIR = before;
      rmSync(fresh, { recursive: true, force: true });
    }
  }
  return {
    program: join(ready, "chromium"),
    libraries: join(ready, "al2023", "lib"),
    fonts: join(ready, "fonts.conf"),
  };
}

export async function launch({ program, libraries, fonts }: Chromium): Promise<Browser> {
  try {
    return await chromium.launch({
      executablePath: program,
      headless: true,
      env: {
        ...(process.env as Record<string, string>),
        ...(libraries ? { LD_LIBRARY_PATH: libraries } : {}),
        ...(fonts ? { FONTCONFIG_FILE: fonts } : {}),
      },
      // Nothing here weakens the web's own rules: only what a container without user rights and network asks for.
      args: [
        "--no-sandbox",
        "--disable-gpu",
        "--disable-background-networking",
        "--disable-component-update",
        "--no-first-run",
      ],
    });
  } catch (error) {
    const reason =
      String(error)
        .split("\n")
        .find((line) => /error while loading|cannot|failed/i.test(line)) ?? String(error).split("\n")[0];
    throw new Error(`${program} does not start (${reason?.trim()}): ${ADVICE}`);
  }
}
