/** The one place that reads the compiled base and the settings of this build. All of them come from the environment. */
import { readFileSync } from "node:fs";
import type { CompiledBase } from "../../compiler/model/compiled.ts";
import { INTERFACE_LANGUAGES } from "../../compiler/model/languages.ts";

/** In one place for the process: the configuration and the bundled pages have each a copy of this module. */
const shared = globalThis as { headwaterBase?: { readonly run: string; readonly base: CompiledBase } };

/**
 * The compiled base named by `HEADWATER_BASE`, read once in a build. A process may build several times, and what an
 * earlier build has read may still be in memory: `HEADWATER_RUN` tells the builds apart.
 *
 * @throws a sentence fit for the person who started the build, when the file is missing or is no compiled base.
 */
export function loadBase(): CompiledBase {
  const path = process.env.HEADWATER_BASE;
  if (path === undefined || path === "") {
    throw new Error("The site needs the compiled base: set HEADWATER_BASE to its JSON file.");
  }
  const run = `${process.env.HEADWATER_RUN ?? ""} ${path}`;
  if (shared.headwaterBase?.run === run) return shared.headwaterBase.base;
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
  shared.headwaterBase = { run, base };
  return base;
}

/**
 * The catalogue of `words/` that the interface speaks: that of the base's language, English where there is none. It is
 * the condition by which `#words/*` is resolved, for pages and scripts alike.
 */
export function catalogueLanguage(): string {
  const [language = ""] = baseLanguage().split("-");
  return INTERFACE_LANGUAGES.find((one) => one === language) ?? "en";
}

/** As people who read the base's language write numbers; in Latin digits, as all its numbers are. */
export function decimalMark(): string {
  const parts = new Intl.NumberFormat(baseLanguage(), { numberingSystem: "latn" }).formatToParts(0.5);
  return parts.find(({ type }) => type === "decimal")?.value ?? ".";
}

/** Where the site's configuration is read without a base, as checking its types does, there is no language to follow. */
function baseLanguage(): string {
  return process.env.HEADWATER_BASE ? loadBase().language : "en";
}

/** Languages written from right to left. */
const RIGHT_TO_LEFT = new Set(["ar", "fa", "he", "ps", "ur", "yi"]);

/** Nothing where it is from left to right, as it is without a word about it. */
export function directionOf(language: string): "rtl" | undefined {
  return RIGHT_TO_LEFT.has(language.split("-")[0] ?? "") ? "rtl" : undefined;
}

/** The pictures of the base, which go into the site's folder `pictures`; nothing where it has none. */
export function picturesFolder(): string | undefined {
  return process.env.HEADWATER_PICTURES || undefined;
}

/** Whether pages listen to the server that made them (`headwater serve`), to reload when the base has changed. */
export function isLive(): boolean {
  return process.env.HEADWATER_LIVE === "1";
}
