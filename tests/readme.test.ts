/** The README tells the truth: its first tree passes the check, and its table of the format names what there is. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { check } from "../compiler/index.ts";

const readme = readFileSync(new URL("../README.md", import.meta.url), "utf8");

test("the first tree of the README has no complaint", () => {
  const files = [...readme.matchAll(/^`([a-z/-]+\.yaml)` [^\n]*\n\n```yaml\n([\s\S]*?)```/gm)].map(
    ([, path = "", text = ""]) => ({ path, text }),
  );
  expect(files.map(({ path }) => path)).toEqual(["headwater.yaml", "catalog/all.yaml", "filters/flow-is-weak.yaml"]);
  expect(check({ files, pictures: [] }, { today: "2026-10-02" }).complaints).toEqual([]);
});

test("a misspelt step in it is named, with the word that was meant", () => {
  const files = [...readme.matchAll(/^`([a-z/-]+\.yaml)` [^\n]*\n\n```yaml\n([\s\S]*?)```/gm)].map(
    ([, path = "", text = ""]) => ({
      path,
      text: text.replace("then: not-here", "then: not-heer"),
    }),
  );
  const { complaints } = check({ files, pictures: [] }, { today: "2026-10-02" });
  expect(complaints.map(({ rule, hint }) => [rule, hint])).toEqual([["unknown-reference", "`not-here` may be meant"]]);
});

test("the complaint it shows is what the compiler says", () => {
  const shown = /```\n(error\[need-not-met\][\s\S]*?)```/.exec(readme)?.[1] ?? "";
  const fixture = new URL("fixtures/need-not-met/bad-one-outcome.txt", import.meta.url);
  expect(shown).not.toBe("");
  expect(readFileSync(fixture, "utf8").startsWith(shown)).toBe(true);
});
