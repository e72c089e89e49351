/** Checks a base and puts a site in a folder, all or nothing. */

import { spawn } from "node:child_process";
import {
  cpSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { basename, dirname, join, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { emit } from "../6-emit/emit.ts";
import type { Compiler, Input } from "../compile.ts";
import type { CompiledBase } from "../model/compiled.ts";
import { UsageError } from "./usage-error.ts";

/** Says that a folder was made by this command and may be replaced by it. */
const MARK = "headwater-site.json";

/**
 * The folder is replaced in one move when the new site is whole; until then, and if anything goes wrong, the old one
 * stays as it was. A further language has a whole site of its own in a folder below, which is built beside and moved in:
 * so each stores its own pages for use without a network, and no other's.
 *
 * @throws UsageError when `out` is a folder that this command did not make.
 */
export async function buildInto(
  out: string,
  base: { readonly compiler: Compiler; readonly input: Input; readonly folder: string; readonly today: string },
  live: boolean,
): Promise<void> {
  const target = resolve(out);
  guard(target, base.folder);
  makeFolder(dirname(target));
  const fresh = mkdtempSync(join(dirname(target), `.${basename(target)}-`));
  const data = mkdtempSync(join(tmpdir(), "headwater-"));
  const { world, trees } = base.compiler.linked(base.input);
  const beside = new Map([...world.translations.keys()].map((language) => [language, `${fresh}-in-${language}`]));
  const build = async (compiled: CompiledBase, pictures: readonly string[], into: string): Promise<void> => {
    const work = join(data, compiled.language);
    mkdirSync(work);
    writeFileSync(join(work, "base.json"), JSON.stringify(compiled));
    for (const name of pictures)
      cpSync(join(base.folder, "pictures", name), join(work, "pictures", name), { dereference: true });
    await runSite(join(work, "base.json"), into, live, join(work, "pictures"));
  };
  try {
    const sites = [...beside].map(([language, into]) => {
      const compiled = emit(world, trees, base.today, { language });
      return build(compiled, picturesOf(compiled), into);
    });
    const ends = await Promise.allSettled([
      build(emit(world, trees, base.today), base.input.pictures, fresh),
      ...sites,
    ]);
    for (const end of ends) if (end.status === "rejected") throw end.reason;
    for (const [language, from] of beside) renameSync(from, join(fresh, language));
    writeFileSync(
      join(fresh, MARK),
      `${JSON.stringify({ format: 1, base: world.manifest?.data.base, builtOn: base.today })}\n`,
    );
    const old = `${fresh}-old`;
    if (existsSync(target)) renameSync(target, old);
    renameSync(fresh, target);
    rmSync(old, { recursive: true, force: true });
  } finally {
    for (const folder of [fresh, data, ...beside.values()]) rmSync(folder, { recursive: true, force: true });
  }
}

function picturesOf({ trees, routines }: CompiledBase): string[] {
  const steps = [...trees, ...Object.values(routines)].flatMap((procedure) => procedure.steps);
  return [...new Set(steps.flatMap(({ picture }) => picture?.file ?? []))];
}

function guard(target: string, folder: string): void {
  if (resolve(folder) === target || resolve(folder).startsWith(`${target}/`))
    throw new UsageError("the site can't be put over the knowledge base itself; give another folder with --out");
  if (!existsSync(target)) return;
  if (!statSync(target).isDirectory()) throw new UsageError(`${target} is a file; give a folder with --out`);
  const held = readdirSync(target);
  if (held.length > 0 && !held.includes(MARK))
    throw new UsageError(
      `${target} holds something else than a site made by headwater; give an empty or new folder with --out`,
    );
}

/** @throws UsageError where no folder can be: below a file, or where nothing may be written. */
function makeFolder(folder: string): void {
  try {
    mkdirSync(folder, { recursive: true });
  } catch (error) {
    throw new UsageError(`the folder ${folder} can't be made (${(error as NodeJS.ErrnoException).code})`);
  }
}

/** A process of its own: the site's build keeps caches that must not outlive it, and may use another core. */
function runSite(compiled: string, out: string, live: boolean, pictures: string): Promise<void> {
  const script = fileURLToPath(new URL("../../site/build.ts", import.meta.url));
  const child = spawn(process.execPath, [script, compiled, out, "--pictures", pictures, ...(live ? ["--live"] : [])], {
    stdio: ["ignore", "pipe", "pipe"],
    env: { ...process.env, ASTRO_TELEMETRY_DISABLED: "1" },
  });
  let said = "";
  for (const stream of [child.stdout, child.stderr])
    stream.setEncoding("utf8").on("data", (text: string) => {
      said = (said + text).slice(-20_000);
    });
  return new Promise((done, fail) => {
    child.on("error", fail);
    child.on("close", (code) => (code === 0 ? done() : fail(new Error(`the site could not be built\n${said}`))));
  });
}
