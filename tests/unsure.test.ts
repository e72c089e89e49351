/** How an unsure reader is led on: small trees, each worked out by hand. The demo's trees are in `browser/causes.test.ts`. */
import { expect, test } from "vitest";
import { exampleInput } from "../compiler/examples.ts";
import { Compiler, emit } from "../compiler/index.ts";
import type { CompiledTree, Unsure } from "../compiler/model/compiled.ts";
import { DAY, exampleBase } from "./annotations.ts";

const on = (then: string): object => ({ then });
type Steps = Readonly<Record<string, object>>;

const ends: Steps = {
  "found-salt": {
    found: "salt-used-up",
    remedy: ["Fill it up"],
    prove: { look: "Is it soft?", fixed: "done", "not-fixed": "call" },
  },
  "found-seals": {
    found: "worn-seals",
    remedy: ["Change the seals"],
    prove: { look: "Is it soft?", fixed: "done", "not-fixed": "call" },
  },
  call: { stop: "Call", kind: "hand-over", call: "senior-technician" },
};
const causes = {
  "salt-used-up": { likelihood: 3, shows: { where: "near", "salt-level": "low" } },
  "worn-seals": { likelihood: 1, shows: { where: "far", "salt-level": "high" } },
};
const where = { look: "Where is the water hard?", answers: { near: "salt-level", far: "found-seals" } };
const saltLevel = { look: "Where does the salt stand?", answers: { low: "found-salt", high: "found-seals" } };

function compiled(steps: Steps, table: object = causes): CompiledTree {
  const tree = {
    format: 1,
    tree: "hard-water",
    title: "Hard water",
    symptom: "hard-water",
    serves: ["dial-softener"],
    reviewed: { on: "2026-10-02", by: "senior technician" },
    start: "where",
    causes: table,
    steps: { ...steps, ...ends },
  };
  const input = exampleInput(`--- # softeners/hard-water.yaml\n${JSON.stringify(tree)}\n`, exampleBase);
  const compiler = new Compiler({ today: DAY });
  // What the rules about causes think of so small a tree is not asked here; what safety and shape say is.
  const told = compiler
    .check(input)
    .complaints.filter(({ rule, severity }) => severity === "error" && !/cause/.test(rule));
  expect(told.map(({ rule, message }) => `${rule}: ${message}`)).toEqual([]);
  const { world, trees } = compiler.linked(input);
  const [made] = emit(world, trees, DAY).trees;
  if (!made) throw new Error("no tree");
  return made;
}
function wayFrom(check: string, steps: Steps, table?: object): Unsure | undefined {
  return compiled(steps, table).evidence[0]?.unsure[check];
}

const settled = { ask: "salt-level", answers: { low: { take: "near" }, high: { take: "far" } } };

test("the next check that decides is asked instead", () => {
  expect(wayFrom("where", { where, "salt-level": saltLevel })).toEqual(settled);
});

test("an answer that every cause can show is taken", () => {
  const table = { ...causes, "worn-seals": { likelihood: 1, shows: { where: ["far", "near"], "salt-level": "high" } } };
  expect(wayFrom("where", { where, "salt-level": saltLevel }, table)).toEqual({ take: "near" });
});

test("what is normally shown counts as said, what is not said as anything", () => {
  const seals = (shows: object) => ({ ...causes, "worn-seals": { likelihood: 1, shows } });
  const normal = { ...saltLevel, normally: "high" };
  expect(wayFrom("where", { where, "salt-level": normal }, seals({ where: "far" }))).toEqual(settled);
  // Without it nobody says what else the salt can do with worn seals: the answer is no cause's.
  expect(wayFrom("where", { where, "salt-level": saltLevel }, seals({ where: "far" }))).toBeUndefined();
});

test("of several checks the one that tells most is asked; the next when that is in doubt as well", () => {
  const taste = { look: "Does it taste of salt?", answers: { salty: "salt-level", plain: "salt-level" } };
  const table = {
    "salt-used-up": { likelihood: 3, shows: { where: "near", taste: ["salty", "plain"], "salt-level": "low" } },
    "worn-seals": { likelihood: 1, shows: { where: "far", taste: "plain", "salt-level": "high" } },
  };
  const steps = { where: { ...where, answers: { near: "taste", far: "found-seals" } }, taste, "salt-level": saltLevel };
  expect(wayFrom("where", steps, table)).toEqual({
    ...settled,
    unsure: { ask: "taste", answers: { salty: { take: "near" } } },
  });
});

test("an answer that no cause shows can't be ruled out by others", () => {
  const wet = { ...where, answers: { ...where.answers, wet: "call" } };
  expect(wayFrom("where", { where: wet, "salt-level": saltLevel })).toBeUndefined();
  // At the check that is asked instead, it ends as its author says.
  const open = { ...saltLevel, answers: { ...saltLevel.answers, wet: "call" } };
  expect(wayFrom("where", { where, "salt-level": open })).toEqual({
    ask: "salt-level",
    answers: { ...settled.answers, wet: { own: true } },
  });
});

test("work in between is not passed over, nor is a state", () => {
  const near = (then: string) => ({ ...where, answers: { near: then, far: "found-seals" } });
  const shake = { do: "Stir the salt", ...on("salt-level") };
  expect(wayFrom("where", { where: near("shake"), shake, "salt-level": saltLevel })).toBeUndefined();
  const turned = { look: "Is the lid off?", answers: { yes: "salt-level", no: "salt-level" } };
  const quiet = { where: near("turned"), turned, "salt-level": saltLevel };
  expect(wayFrom("where", quiet)).toEqual(settled);
  const tagged = { ...turned, clears: ["bypassed"] };
  expect(wayFrom("where", { ...quiet, turned: tagged })).toBeUndefined();
  expect(wayFrom("where", { ...quiet, where: { ...near("turned"), clears: ["bypassed"] } })).toBeUndefined();
});

test("a caution that stands in between is not passed over", () => {
  const near = { ...where, answers: { near: "lid", far: "found-seals" } };
  const lid = { look: "Is the lid off?", answers: { yes: "salt-level", no: "salt-level" } };
  const told = { ...lid, safety: ["stored-pressure"] };
  const risky = { ...saltLevel, hazards: ["stored-pressure"] };
  expect(wayFrom("where", { where: near, lid: told, "salt-level": risky })).toBeUndefined();
  expect(wayFrom("where", { where: near, lid, "salt-level": { ...risky, safety: ["stored-pressure"] } })).toEqual(
    settled,
  );
  expect(wayFrom("where", { where: { ...near, safety: ["stored-pressure"] }, lid, "salt-level": risky })).toEqual(
    settled,
  );
});

test("a check whose reading is needed later is not passed over", () => {
  const level = { ask: "Level", unit: "mm", between: [1, 500] };
  const ranges = (first: string, second: string) => ({
    near: { below: 100, ...on(first) },
    far: { from: 100, ...on(second) },
  });
  const measured = { measure: "Level", readings: { level }, ranges: ranges("salt-level", "found-seals") };
  const again = (value: string) => ({
    measure: "Level after a cycle",
    readings: { level, full: { ...level, ask: "Level when full" } },
    value: { share: value, unit: "%" },
    ranges: { low: { below: 50, ...on("found-salt") }, high: { from: 50, ...on("found-seals") } },
  });
  expect(wayFrom("where", { where: measured, "salt-level": again("level / full") })).toEqual(settled);
  expect(wayFrom("where", { where: measured, "salt-level": again("(level + full) / where.level") })).toBeUndefined();
});

test("who is not sure calls somebody who is called for no licence", () => {
  expect(compiled({ where, "salt-level": saltLevel }).inDoubt).toBe("senior-technician");
});

test("a tree without a table of causes hands over everywhere", () => {
  const tree = compiled({ where, "salt-level": saltLevel }, {});
  expect(tree.evidence).toEqual([]);
});
