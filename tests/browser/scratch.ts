/** A small base of its own for the tests of one file, laid over the base of the examples or whole, and its site. */
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, expect } from "vitest";
import { exampleInput } from "../../compiler/examples.ts";
import { Compiler, emit } from "../../compiler/index.ts";
import type { CompiledBase } from "../../compiler/model/compiled.ts";
import { DAY, exampleBase } from "../annotations.ts";

export interface Scratch {
  /** The folder of the site; built before the file's tests. */
  readonly folder: string;
  readonly base: CompiledBase;
}

/**
 * @param file Beside this one.
 * @param change Made to its text: another version of the same base.
 * @param under What it is laid over; nothing for a base that is whole.
 */
export function scratch(file: string, change = (text: string): string => text, under = exampleBase): Scratch {
  const input = exampleInput(change(readFileSync(new URL(file, import.meta.url), "utf8")), under);
  const compiler = new Compiler({ today: DAY });
  const errors = compiler.check(input).complaints.filter(({ severity }) => severity === "error");
  const { world, trees } = compiler.linked(input);
  const base = emit(world, trees, DAY);
  const work = mkdtempSync(join(tmpdir(), "headwater-scratch-"));
  const folder = join(work, "site");
  beforeAll(() => {
    expect(errors.map(({ message }) => message)).toEqual([]);
    const compiled = join(work, "base.json");
    writeFileSync(compiled, JSON.stringify(base));
    execFileSync(process.execPath, [fileURLToPath(new URL("../../site/build.ts", import.meta.url)), compiled, folder]);
  });
  afterAll(() => rmSync(work, { recursive: true, force: true }));
  return { folder, base };
}
