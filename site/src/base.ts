/** The one place that reads the compiled base and the settings of this build. All of them come from the environment. */
import { readFileSync } from "node:fs";
import type { CompiledBase } from "../../compiler/model/compiled.ts";

let read: { readonly run: string; readonly base: CompiledBase } | undefined;

/**
 * The compiled base named by `HEADWATER_BASE`, read once in a build. A process may build several times, and the modules
 * of an earlier build may still be in memory: `HEADWATER_RUN` tells the builds apart.
 *
 * @throws a sentence fit for the person who started the build, when the file is missing or is no compiled base.
 */
export function loadBase(): CompiledBase {
  const path = process.env.HEADWATER_BASE;
  if (path === undefined || path === "") {
    throw new Error("The site needs the compiled base: set HEADWATER_BASE to its JSON file.");
  }
  const run = `${process.env.HEADWATER_RUN ?? ""} ${path}`;
  if (read?.run === run) return read.base;
  let text: string;
  try {
    text = readFileSync(path, "utf8");
  } catch {
    throw new Error(`The compiled base can't be read: ${path} (named by HEADWATER_BASE).`);
  }
  let base: CompiledBase;
  try {
    base = JSON.parse(text) as CompiledBase;
  } catch {
    throw new Error(`The compiled base is no JSON: ${path} (named by HEADWATER_BASE).`);
  }
  if (base.format !== 1 || !Array.isArray(base.trees)) {
    throw new Error(`This is no compiled base of format 1: ${path} (named by HEADWATER_BASE).`);
  }
  read = { run, base };
  return base;
}

/** The pictures of the base, which go into the site's folder `pictures`; nothing where it has none. */
export function picturesFolder(): string | undefined {
  return process.env.HEADWATER_PICTURES || undefined;
}

/** Whether pages listen to the server that made them (`headwater serve`), to reload when the base has changed. */
export function isLive(): boolean {
  return process.env.HEADWATER_LIVE === "1";
}
