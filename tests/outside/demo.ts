/** The demo base as text and as plain data, read without the compiler. */
import { readdirSync, readFileSync } from "node:fs";
import { parse } from "yaml";
import type { BaseData, ProcedureData } from "./reader.ts";

const folder = new URL("../../trees/", import.meta.url);

/** By path below `trees/`, in the order of the paths. */
export const demoTexts: ReadonlyMap<string, string> = new Map(
  readdirSync(folder, { recursive: true, encoding: "utf8" })
    .map((path) => path.replaceAll("\\", "/"))
    .filter((path) => path.endsWith(".yaml"))
    .sort()
    .map((path) => [path, readFileSync(new URL(path, folder), "utf8")]),
);
export const demoData: ReadonlyMap<string, unknown> = new Map(
  [...demoTexts].map(([path, text]) => [path, parse(text) as unknown]),
);

const isCatalog = (path: string): boolean => path.startsWith("catalog/");
export const isProcedure = (path: string): boolean =>
  path.includes("/") && !isCatalog(path) && !/^(pictures|cases|translations)\//.test(path);

/** One section of all catalogs together. */
export function section<T>(data: ReadonlyMap<string, unknown>, name: string): Readonly<Record<string, T>> {
  const catalogs = [...data].filter(([path]) => isCatalog(path)).map(([, one]) => one as Record<string, object>);
  return Object.assign({}, ...catalogs.map((catalog) => catalog[name] ?? {})) as Record<string, T>;
}
export function proceduresOf(data: ReadonlyMap<string, unknown>): ProcedureData[] {
  return [...data].filter(([path]) => isProcedure(path)).map(([, one]) => one as ProcedureData);
}
export function baseOf(data: ReadonlyMap<string, unknown>): BaseData {
  const routines = proceduresOf(data).flatMap((one) =>
    one.routine === undefined ? [] : [[one.routine, one] as const],
  );
  return {
    equipment: section(data, "equipment"),
    states: section(data, "states"),
    tools: section(data, "tools"),
    parts: section(data, "parts"),
    contacts: section(data, "contacts"),
    hazards: section(data, "hazards"),
    routines: Object.fromEntries(routines),
  };
}
