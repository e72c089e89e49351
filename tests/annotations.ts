/**
 * Fixtures carry the complaints they expect as comments.
 *
 *     tools: [hardness-kti]
 *     #       ^^^^^^^^^^^^ unknown-reference there is no tool
 *
 * Carets stand under the text, then the rule and some words of the message. Where the text begins in the first column,
 * which a caret can't reach, the comment sign and bars stand under it: `#|||| invalid-shape words`. Annotations are read
 * from raw text, so that files which don't parse can carry them, and speak of the last line above that is not one.
 */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { EXAMPLE_DAY } from "../compiler/cli/explain.ts";
import { exampleInput } from "../compiler/examples.ts";
import {
  check,
  type Input,
  type LineIndex,
  type Result,
  type RuleName,
  rules,
  Sources,
  textsOf,
} from "../compiler/index.ts";

/** The day on which fixtures and examples are read. */
export const DAY = EXAMPLE_DAY;

const checksFolder = new URL("../compiler/checks/", import.meta.url);
const fixturesFolder = new URL("fixtures/", import.meta.url);

export const exampleBase = readFileSync(new URL("example-base.yaml", checksFolder), "utf8");

export interface Fixture {
  readonly rule: RuleName;
  /** `example` for the one beside the rule. */
  readonly name: string;
  readonly isBad: boolean;
  readonly text: string;
  readonly input: Input;
}

/** Those in the folder of the rule's name, and the two beside the rule. */
export function fixturesOf(rule: RuleName): Fixture[] {
  const fixture = (name: string, isBad: boolean, file: URL): Fixture => {
    const text = readFileSync(file, "utf8");
    return { rule, name, isBad, text, input: exampleInput(text, exampleBase) };
  };
  const folder = new URL(`${rule}/`, fixturesFolder);
  return [
    ...["bad", "good"].map((kind) =>
      fixture(`${kind}-example`, kind === "bad", new URL(`${rule}.${kind}.yaml`, checksFolder)),
    ),
    ...(existsSync(folder) ? readdirSync(folder) : [])
      .filter((name) => !name.endsWith(".txt"))
      .sort()
      .map((name) => {
        if (!/^(bad|good)-[a-z0-9-]+\.yaml$/.test(name))
          throw new Error(`${rule}/${name} is not named bad-... or good-...`);
        return fixture(name.slice(0, -".yaml".length), name.startsWith("bad-"), new URL(name, folder));
      }),
  ];
}

export const allFixtures: readonly Fixture[] = rules.flatMap(({ name }) => fixturesOf(name));
export const fixtureFolders: readonly string[] = readdirSync(fixturesFolder);

/** Runs the rule it is for, and no other. */
export function checkFixture({ input, rule }: Fixture): Result {
  return check(input, { today: DAY, only: [rule] });
}

export interface Expected {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly width: number;
  readonly rule: string;
  readonly words: string;
}

const carets = /^(?<before>\s*#\s*)(?<mark>\^+)\s+(?<rule>\S+)\s+(?<words>.*\S)\s*$/;
const bars = /^(?<before>\s*)(?<mark>#\|+)\s+(?<rule>\S+)\s+(?<words>.*\S)\s*$/;
const known = new Set<string>(rules.map(({ name }) => name));

/** @throws Error on an annotation that names no rule: it would never be met. */
export function annotationsIn(file: string, text: string): Expected[] {
  const expected: Expected[] = [];
  let line = 0;
  text.split("\n").forEach((content, index) => {
    const groups = (carets.exec(content) ?? bars.exec(content))?.groups;
    if (!groups) {
      line = index + 1;
      return;
    }
    const { before = "", mark = "", rule = "", words = "" } = groups;
    if (!known.has(rule)) throw new Error(`${file}:${index + 1} speaks of ${rule}, which is no rule`);
    expected.push({ file, line, column: before.length + 1, width: mark.length, rule, words });
  });
  return expected;
}

export interface Comparison {
  readonly missing: readonly string[];
  readonly extra: readonly string[];
}

/** Expected and actual complaints, both ways; both lists are empty when they agree. */
export function compare(input: Input, result: Result): Comparison {
  const sources = new Sources(textsOf(input));
  const actual = result.complaints.map(({ at, rule, message }) => {
    const index: LineIndex = sources.lines(at.file);
    const { line, column } = index.position(at.start);
    // A place over several lines is marked in its first.
    const width = Math.max(1, Math.min(at.end - at.start, index.line(line).length - column + 1));
    return { file: at.file, line, column, width, rule, words: message };
  });
  const missing: Expected[] = [];
  for (const wanted of textsOf(input).flatMap((file) => ("text" in file ? annotationsIn(file.path, file.text) : []))) {
    const found = actual.findIndex(
      ({ file, line, column, width, rule, words }) =>
        file === wanted.file &&
        line === wanted.line &&
        column === wanted.column &&
        width === wanted.width &&
        rule === wanted.rule &&
        words.includes(wanted.words),
    );
    if (found < 0) missing.push(wanted);
    else actual.splice(found, 1);
  }
  return { missing: missing.map(shown), extra: actual.map(shown) };
}

function shown({ file, line, column, width, rule, words }: Expected): string {
  return `${file}:${line}:${column} (${width} wide) ${rule}: ${words}`;
}
