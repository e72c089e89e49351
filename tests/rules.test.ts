/** Every fixture says itself what is to be complained of; both ways, to the column. */
import { describe, expect, test } from "vitest";
import { exampleInput } from "../compiler/examples.ts";
import { type Complaint, check, type Input, renderTerminal, Sources, textsOf } from "../compiler/index.ts";
import treeSchema from "../schema/tree.json" with { type: "json" };
import { allFixtures, checkFixture, compare, DAY, exampleBase } from "./annotations.ts";

const sourcesOf = (input: Input): Sources => new Sources(textsOf(input));

describe.each(allFixtures.map((fixture) => ({ ...fixture, title: `${fixture.rule}: ${fixture.name}` })))(
  "$title",
  (fixture) => {
    const { input, isBad, name, rule } = fixture;
    const result = checkFixture(fixture);

    test("says what its annotations say, and nothing else", () => {
      expect(compare(input, result)).toEqual({ missing: [], extra: [] });
    });
    if (isBad)
      test("reads well", async () => {
        expect(result.complaints).not.toEqual([]);
        const text = renderTerminal(result, sourcesOf(input), { color: false, prefix: "" });
        await expect(text).toMatchFileSnapshot(`fixtures/${rule}/${name}.txt`);
      });
    else
      test("is not complained of", () => {
        expect(result.complaints).toEqual([]);
      });
  },
);

test("the example base has nothing to complain of, by any rule", () => {
  expect(check(exampleInput("", exampleBase), { today: DAY }).complaints).toEqual([]);
});

/** What an annotation can't carry: files that are no text, or too short to be marked. */
describe("bytes", () => {
  const routine = "routines/fill-salt.yaml";
  const sound = `format: 1
routine: fill-salt
title: Fill the brine tank
reviewed: {on: 2026-10-02, by: senior technician}
steps:
  - do: Fill the tank
    tools: [spaner]
`;
  const told = (text: string, path = routine): string[] => {
    const base = exampleInput("", exampleBase);
    const input = { ...base, files: [...base.files.filter((file) => file.path !== path), { path, text }] };
    const sources = sourcesOf(input);
    return check(input, { today: DAY, only: [] }).complaints.map(({ at, rule, message }) => {
      const { line, column } = sources.lines(at.file).position(at.start);
      return `${at.file}:${line}:${column}+${at.end - at.start} ${rule}: ${message}`;
    });
  };
  const spaner = "unknown-reference: there is no tool `spaner`";

  test("a file is read the same with any line ends", () => {
    expect(told(sound)).toEqual([`${routine}:7:13+6 ${spaner}`]);
    expect(told(sound.replaceAll("\n", "\r\n"))).toEqual([`${routine}:7:13+6 ${spaner}`]);
  });
  test("a byte order mark takes a place on the first line alone", () => {
    expect(told(`\ufeff${sound}`)).toEqual([`${routine}:7:13+6 ${spaner}`]);
    expect(told(`\ufeff${sound.replace("format: 1", "fromat: 1").replace("spaner", "spanner")}`)).toEqual([
      `${routine}:1:2+6 invalid-shape: \`fromat\` is not a word that this file knows`,
    ]);
  });
  test.each([
    ["nothing", "", 0],
    ["blanks", " \n\n", 1],
    ["a remark", "# later\n", 1],
    ["null", "null\n", 1],
    ["an empty document", "---\n", 1],
  ])("a file with %s in it is empty", (_, text, width) => {
    expect(told(text)).toEqual([`${routine}:1:1+${width} invalid-yaml: the file is empty`]);
  });
  test("what an empty file is told to begin with brings up all the rest at once", () => {
    const base = exampleInput("", exampleBase);
    const complaints = (text: string): readonly Complaint[] =>
      check({ ...base, files: [...base.files, { path: "softeners/begun.yaml", text }] }, { today: DAY }).complaints;
    const begin = /`([^`]+)`/.exec(complaints("")[0]?.hint ?? "")?.[1] ?? "";
    expect(complaints(begin).map(({ message }) => message)).toEqual([
      `this file lacks ${treeSchema.required
        .filter((key) => key !== "format")
        .map((key) => `\`${key}\``)
        .join(", ")}`,
    ]);
  });
  test("a tab at the very beginning of a line", () => {
    expect(told(sound.replace("    tools", "\ttools"))).toEqual([
      `${routine}:7:1+1 invalid-yaml: a tab stands where the line is indented`,
    ]);
  });
  test("bytes that are no UTF-8 are told where they begin", () => {
    const base = exampleInput("", exampleBase);
    const input: Input = {
      ...base,
      files: [...base.files, { path: routine, unreadable: { why: "not-utf-8", before: "format: 1\nrou" } }],
    };
    const [complaint, ...more] = check(input, { today: DAY }).complaints;
    expect(more).toEqual([]);
    expect(complaint).toMatchObject({ rule: "invalid-yaml", at: { file: routine, start: 13, end: 13 } });
  });
  test("a file of more than 2 MB is refused, given as text or as its size", () => {
    const message = "unsafe-input: the file is 2.5 MB large; at most 2 MB are read";
    expect(told(`# ${"x".repeat(2_499_998)}`)).toEqual([`${routine}:1:1+0 ${message}`]);
    const base = exampleInput("", exampleBase);
    const files = [...base.files, { path: routine, unreadable: { why: "too-large", bytes: 2_500_000 } } as const];
    expect(check({ ...base, files }, { today: DAY }).complaints.map((c) => `${c.rule}: ${c.message}`)).toEqual([
      message,
    ]);
  });
  test("a folder without a manifest is no base", () => {
    const { complaints } = check({ files: [], pictures: [] }, { today: DAY });
    expect(complaints).toMatchObject([{ rule: "invalid-shape", at: { file: "headwater.yaml", start: 0, end: 0 } }]);
  });
  test("odd keys are keys like others", () => {
    for (const key of ["__proto__", "constructor", "toString", "hasOwnProperty"]) {
      expect(told(`${sound.replace("spaner", "spanner")}${key}: 1\n`)).toEqual([
        `${routine}:8:1+${key.length} invalid-shape: \`${key}\` is not a word that this file knows`,
      ]);
    }
    expect(told(sound.replace("spaner", "constructor"))).toEqual([
      `${routine}:7:13+11 unknown-reference: there is no tool \`constructor\``,
    ]);
  });
});
