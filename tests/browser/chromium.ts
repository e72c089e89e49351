/**
 * The Chromium for the tests: the one that `HEADWATER_CHROMIUM` names, else the one inside an npm package, which brings
 * its own system libraries and runs on Linux on x64. Where neither can run, an error of one line says what to do.
 */
import { spawn } from "node:child_process";
import { existsSync, mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { createRequire } from "node:module";
import { arch, platform } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { type Browser, type BrowserContext, chromium } from "playwright-core";

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

// Nothing here weakens the web's own rules: only what a container without user rights and network asks for.
const ARGUMENTS = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-background-networking",
  "--disable-component-update",
  "--no-first-run",
];

function environment({ libraries, fonts }: Chromium): Record<string, string> {
  return {
    ...(process.env as Record<string, string>),
    ...(libraries ? { LD_LIBRARY_PATH: libraries } : {}),
    ...(fonts ? { FONTCONFIG_FILE: fonts } : {}),
  };
}

export interface Running {
  readonly context: BrowserContext;
  /** For other programs that drive a browser. */
  readonly port: number;
  /** Ends every process of the browser at once, as a dead battery does. */
  kill(): Promise<void>;
}

/** A browser that keeps what it stores in a folder, over restarts. */
export async function run(found: Chromium, profile: string): Promise<Running> {
  const child = spawn(
    found.program,
    ["--headless", ...ARGUMENTS, "--remote-debugging-port=0", `--user-data-dir=${profile}`, "about:blank"],
    { env: environment(found), detached: true, stdio: ["ignore", "ignore", "pipe"] },
  );
  const ended = new Promise<void>((done) => child.once("close", () => done()));
  const address = await new Promise<string>((ready, fail) => {
    let said = "";
    child.stderr.setEncoding("utf8").on("data", (text: string) => {
      said += text;
      const listening = /listening on (ws:\S+)/.exec(said);
      if (listening?.[1]) ready(listening[1]);
    });
    child.once("close", () => fail(new Error(`${found.program} does not start: ${said.slice(-500)}`)));
  });
  const browser = await chromium.connectOverCDP(address);
  const [context] = browser.contexts();
  if (!context) throw new Error("the browser has no profile");
  return {
    context,
    port: Number(new URL(address).port),
    async kill() {
      // Its own group of processes, and nothing else.
      if (child.pid) process.kill(-child.pid, "SIGKILL");
      await ended;
      await browser.close().catch(() => undefined);
    },
  };
}

export async function launch(found: Chromium): Promise<Browser> {
  const { program } = found;
  try {
    return await chromium.launch({
      executablePath: program,
      headless: true,
      env: environment(found),
      args: ARGUMENTS,
    });
  } catch (error) {
    const reason =
      String(error)
        .split("\n")
        .find((line) => /error while loading|cannot|failed/i.test(line)) ?? String(error).split("\n")[0];
    throw new Error(`${program} does not start (${reason?.trim()}): ${ADVICE}`);
  }
}
