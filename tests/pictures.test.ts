/** The demo's drawings are one set: each is shown somewhere, in one frame and one palette, small and legible. */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";
import { loadBase } from "../compiler/cli/load.ts";
import { Compiler, emit } from "../compiler/index.ts";
import { DAY } from "./annotations.ts";

const folder = fileURLToPath(new URL("../trees", import.meta.url));
const input = loadBase(folder);
const { world, trees } = new Compiler({ today: DAY }).linked(input);
const uses = usesIn(emit(world, trees, DAY));

/** Colours by their role: ink, paper, water, arrows, brine, what is wrong. */
const light = { i: "#14201f", p: "#fff", w: "#cfe6ee", a: "#0b4f55", s: "#ecd9a8", r: "#8c0b1a" };
const dark = { i: "#e9efeb", p: "#101716", w: "#1f4a55", a: "#8fd6d1", s: "#665223", r: "#ffb3ad" };

test("there are forty or more, and every one is shown at some step", () => {
  expect(input.pictures.length).toBeGreaterThanOrEqual(40);
  expect([...input.pictures].sort()).toEqual([...new Set(uses.map(({ file }) => file))].sort());
});

test("what a picture shows is told in words, wherever it stands", () => {
  for (const { file, alt } of uses) {
    expect(alt, file).toMatch(/^[A-Z].{20,}\.$/);
    // A screen reader says already that it is a picture.
    expect(alt, file).not.toMatch(/^(picture|image|drawing|an? (picture|image|drawing))\b/i);
  }
});

test("together they take little of what a phone keeps offline", () => {
  const bytes = input.pictures.reduce((sum, name) => sum + readFileSync(`${folder}/pictures/${name}`).length, 0);
  expect(bytes).toBeLessThan(250_000);
});

describe.each(input.pictures.map((name) => ({ name })))("$name", ({ name }) => {
  const text = readFileSync(`${folder}/pictures/${name}`, "utf8");

  test("is a small drawing with a title, in the one frame", () => {
    expect(text).toMatch(
      /^<svg xmlns="http:\/\/www.w3.org\/2000\/svg" viewBox="0 0 320 200" width="320" height="200">\n<title>[^<]+<\/title>/,
    );
    expect(Buffer.byteLength(text)).toBeLessThan(8000);
  });
  test("has nothing but shapes, and points nowhere", () => {
    const elements = new Set([...text.matchAll(/<([a-z]+)/gi)].map(([, element]) => element));
    expect([...elements].filter((element) => !allowed.has(element ?? ""))).toEqual([]);
    expect(text).not.toMatch(/href|@import|url\((?!#[a-z]\))|\son\w+=/);
  });
  test("takes its colours from the palette, light and dark", () => {
    const [day, night, ...more] = [...text.matchAll(/:root\{([^}]*)\}/g)].map(([, list]) => list?.split(";") ?? []);
    expect(more).toEqual([]);
    expect(text).toContain("@media screen and (prefers-color-scheme:dark)");
    const used = new Set([...text.matchAll(/var\(--(\w)\)/g)].map(([, role]) => role as keyof typeof light));
    for (const role of used) {
      expect(day).toContain(`--${role}:${light[role]}`);
      expect(night).toContain(`--${role}:${dark[role]}`);
    }
    const rest = text.replaceAll(/:root\{[^}]*\}/g, "");
    expect(rest).not.toMatch(/#[0-9a-f]{3,8}\b(?!\))|rgb|hsl/i);
    for (const [, paint] of rest.matchAll(/(?:fill|stroke)[:=]"?([^;}"]+)/g))
      expect(paint).toMatch(/^(none|var\(--\w\)|url\(#\w\))$/);
  });
  test("has one set of strokes, and letters of 13 px", () => {
    const widths = new Set([...text.matchAll(/stroke-width:([\d.]+)/g)].map(([, width]) => width));
    expect([...widths].filter((width) => !["1.25", "2", "2.5"].includes(width ?? ""))).toEqual([]);
    for (const [, size] of text.matchAll(/font(?:-size)?:([\d.]+)/g)) expect(Number(size)).toBeGreaterThanOrEqual(12);
  });
});

test.each([
  ["light", light],
  ["dark", dark],
])("the %s palette is legible by WCAG 2.2: letters 4.5 to 1 (1.4.3), lines 3 to 1 (1.4.11)", (_name, palette) => {
  for (const ground of [palette.p, palette.w, palette.s])
    expect(contrast(palette.i, ground), ground).toBeGreaterThanOrEqual(4.5);
  for (const ground of [palette.p, palette.w]) expect(contrast(palette.a, ground), ground).toBeGreaterThanOrEqual(3);
  expect(contrast(palette.r, palette.p)).toBeGreaterThanOrEqual(4.5);
});

const allowed = new Set(["svg", "title", "style", "defs", "pattern", "g", "rect", "path", "circle", "ellipse", "text"]);

/** All pictures named anywhere in the compiled base. */
function usesIn(data: unknown): { file: string; alt: string }[] {
  if (typeof data !== "object" || data === null) return [];
  return Object.entries(data).flatMap(([key, value]) =>
    key === "picture" ? [value as { file: string; alt: string }] : usesIn(value),
  );
}

/** WCAG 2.2, "contrast ratio" and "relative luminance". */
function contrast(a: string, b: string): number {
  const [high = 1, low = 1] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (high + 0.05) / (low + 0.05);
}
function luminance(hex: string): number {
  const digits = hex.length === 4 ? [...hex.slice(1)].map((d) => d + d).join("") : hex.slice(1);
  const [r = 0, g = 0, b = 0] = [0, 2, 4].map((at) => {
    const part = Number.parseInt(digits.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
