/** What every rule must bring along. There is no list to be kept: whoever adds a file to `checks/` is asked for all of it. */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { check, type RuleName, rules, textsOf } from "../compiler/index.ts";
import step from "../schema/step.json" with { type: "json" };
import { allFixtures, annotationsIn, checkFixture, DAY, fixtureFolders, fixturesOf } from "./annotations.ts";

const names = rules.map(({ name }) => name);
const checks = new URL("../compiler/checks/", import.meta.url);
const groups = ["shape", "graph", "readings", "safety", "causes", "cost", "prose"];

test("every file of a rule is in the registry, under its own name, once", () => {
  const files = readdirSync(checks).filter((file) => file.endsWith(".ts") && file !== "registry.ts");
  expect([...names].sort()).toEqual(files.map((file) => file.slice(0, -".ts".length)).sort());
  expect(new Set(names).size).toBe(names.length);
});

test("nothing lies beside the rules that belongs to none", () => {
  const belongs = new Set([
    "registry.ts",
    "example-base.yaml",
    ...names.flatMap((name) => [`${name}.ts`, `${name}.bad.yaml`, `${name}.good.yaml`]),
  ]);
  expect(readdirSync(checks).filter((file) => !belongs.has(file))).toEqual([]);
  expect(fixtureFolders.filter((folder) => !names.includes(folder as RuleName))).toEqual([]);
});

test("every picture of a complaint belongs to a bad fixture", () => {
  const wanted = new Set(allFixtures.filter(({ isBad }) => isBad).map(({ rule, name }) => `${rule}/${name}.txt`));
  const folder = new URL("fixtures/", import.meta.url);
  const found = fixtureFolders.flatMap((rule) =>
    readdirSync(new URL(`${rule}/`, folder))
      .filter((name) => name.endsWith(".txt"))
      .map((name) => `${rule}/${name}`),
  );
  expect(found.filter((name) => !wanted.has(name))).toEqual([]);
});

test("what may be accepted is every warning and advice outside the safety group", () => {
  const acceptable = rules.filter(({ severity, group }) => severity !== "error" && group !== "safety");
  expect([...step.$defs.accept.items.properties.rule.enum].sort()).toEqual(acceptable.map(({ name }) => name).sort());
});

describe.each(rules.map((rule) => ({ name: rule.name, rule })))("$name", ({ name, rule }) => {
  const fixtures = fixturesOf(name);
  const bad = fixtures.filter(({ isBad }) => isBad);
  const own = (complaints: readonly { rule: string }[]): number => complaints.filter((c) => c.rule === name).length;

  test("has a name, a group and a severity that fit", () => {
    expect(name).toMatch(/^[a-z]+(-[a-z]+)*$/);
    expect(groups).toContain(rule.group);
    expect(["error", "warning", "advice"]).toContain(rule.severity);
    // What guards a person can't be made a matter of taste.
    if (rule.group === "safety") expect(rule.severity).toBe("error");
  });
  test("says what it finds, why that matters, and more", () => {
    for (const sentence of [rule.summary, rule.why]) {
      expect(sentence).toMatch(/^[A-Z].{20,}\.$/);
      expect(sentence).not.toMatch(/\n/);
    }
    expect(rule.more.trim().length).toBeGreaterThan(60);
    expect(new Set([rule.summary, rule.why, rule.more]).size).toBe(3);
  });
  test("has a bad and a good example beside it, with a remark to the reader, small enough to be read", () => {
    for (const kind of ["bad", "good"]) {
      const file = new URL(`${name}.${kind}.yaml`, checks);
      expect(existsSync(file), `${name}.${kind}.yaml`).toBe(true);
      const text = readFileSync(file, "utf8");
      expect(text).toMatch(/^[^#\-\n].+\n/);
      expect(text.split("\n").length).toBeLessThan(36);
    }
  });
  test("has two bad fixtures and a good one, the examples included", () => {
    expect(bad.length).toBeGreaterThanOrEqual(2);
    expect(fixtures.some(({ isBad }) => !isBad)).toBe(true);
  });
  test("is what its bad fixtures are about", () => {
    expect(own(checkFixture(bad[0] ?? fixtures[0] ?? never()).complaints)).toBeGreaterThan(0);
    expect(bad.filter((fixture) => own(checkFixture(fixture).complaints) > 0).length).toBeGreaterThanOrEqual(2);
  });
  test("bad fixtures are annotated, good ones are not", () => {
    for (const { input, isBad, name: fixture } of fixtures) {
      const annotations = textsOf(input).flatMap((file) => ("text" in file ? annotationsIn(file.path, file.text) : []));
      expect(annotations.length > 0, fixture).toBe(isBad);
    }
  });

  const hasCheck = Boolean(rule.onGraph ?? rule.onProcedure ?? rule.onFormula ?? rule.onTexts ?? rule.onBase);
  test(hasCheck ? "is emitted by its own check alone" : "is emitted by the phases, whatever checks run", () => {
    const others = names.filter((other) => other !== name);
    let byCheck = 0;
    for (const { input } of bad) {
      const alone = check(input, { today: DAY, only: [name] }).complaints;
      const without = check(input, { today: DAY, only: others }).complaints;
      const phases = check(input, { today: DAY, only: [] }).complaints;
      expect(own(without)).toBe(own(phases));
      // With this check switched on and no other, nothing comes on top of the phases' complaints but its own.
      expect(alone.length - own(alone)).toBe(phases.length - own(phases));
      byCheck += own(alone) - own(phases);
    }
    expect(byCheck > 0).toBe(hasCheck);
  });
});

function never(): never {
  throw new Error("there is no fixture");
}
