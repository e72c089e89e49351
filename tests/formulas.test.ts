/** Values from the file to the walk: per equipment, from earlier steps, in routines; and how little the page needs for it. */
import { build } from "esbuild";
import { describe, expect, test } from "vitest";
import { exampleInput } from "../compiler/examples.ts";
import { Compiler, emit } from "../compiler/index.ts";
import { planOf } from "../site/src/render/plan.ts";
import { advance, type Entry, EQUIPMENT, isMisfit, replay } from "../site/src/walk/engine.ts";
import { DAY, exampleBase } from "./annotations.ts";

const input = exampleInput(
  `--- # catalog/equipment.yaml
format: 1
equipment:
  dial-softener: {title: Dial, looks: A dial., area: softeners, facts: {control: dial, flow: 10 L/min}}
  display-softener: {title: Display, looks: A display., area: softeners, facts: {control: display, flow: 2 gpm}}
  twin-softener: {title: Twin, looks: Two vessels., area: softeners, facts: {control: display, flow: 8 L/min}}

--- # catalog/formulas.yaml
format: 1
formulas:
  container-flow:
    title: Flow into a container
    for: A flow without a meter.
    inputs:
      volume: {ask: Water caught, unit: L, between: [0, 200], typical: [1, 20]}
      time: {ask: Time taken, unit: s, between: [1, 3600]}
    gives: {flow: volume ÷ time, unit: L/min}
    limits: None.
    source: A watch
    examples:
      - {given: {volume: 10, time: 60}, gives: 10, within: 0.01, source: A watch}
      - {given: {volume: 5, time: 60}, gives: 5, within: 0.01, source: A watch}

--- # routines/measure.yaml
format: 1
routine: measure
title: Measure twice
reviewed: {on: 2026-10-02, by: senior technician}
start: before
outcomes: {less: Less, as-much: As much}
steps:
  before:
    measure: Flow before
    readings: {flow: {ask: Before, unit: gpm, between: [0.1, 20]}}
    ranges: {any: {then: after}}
  after:
    measure: Flow after
    readings: {flow: {ask: After, unit: L/min, between: [0, 80]}}
    value: {left: flow ÷ before.flow, unit: "%"}
    ranges: {less: {below: 90, then: less}, as-much: {from: 90, then: as-much}}

--- # softeners/wet-floor.yaml
format: 1
tree: wet-floor
title: Water on the floor
symptom: hard-water
serves: [dial-softener, display-softener]
reviewed: {on: 2026-10-02, by: senior technician}
start: drain
steps:
  drain:
    measure: Flow at the drain
    value: {use: container-flow}
    ranges: {low: {below: 0.8 × equipment.flow, then: share}, high: {from: 0.8 × equipment.flow, then: twice}}
  share:
    measure: Share of what is usual
    readings: {flow: {ask: Flow, unit: L/min, between: [0, 60]}}
    value: {share: flow / equipment.flow, unit: "%"}
    ranges: {low: {below: 50, then: call}, high: {from: 50, then: twice}}
  twice: {use: measure, outcomes: {less: call, as-much: fine}}
  fine: {stop: Nothing is wrong, kind: normal}
  call: {stop: Call the office, kind: hand-over}
`,
  exampleBase,
);
const compiler = new Compiler({ today: DAY });
const { world, trees } = compiler.linked(input);
const base = emit(world, trees, DAY);
const tree = base.trees.find(({ id }) => id === "wet-floor");
if (!tree) throw new Error("the tree is missing");
const plan = planOf(base, tree);

/** Answers the steps by readings alone, taking whichever branch they lead to. */
function walk(family: string, ...readings: readonly Readonly<Record<string, number>>[]): string {
  const history: Entry[] = [{ step: EQUIPMENT, answer: family }];
  const waiting = [...readings];
  for (let rounds = 0; rounds < 20; rounds++) {
    const place = replay(plan, history);
    if (isMisfit(place)) throw new Error(place.because);
    const step = plan.steps[place.at];
    if (place.ended) return place.at;
    if (step?.kind !== "measure") {
      history.push({ step: place.at });
      continue;
    }
    const read = waiting.shift() ?? {};
    const taken = step.ranges.filter((range) => {
      return typeof advance(plan, place, { step: place.at, answer: range.id, readings: read }) !== "string";
    });
    expect(taken.length, `${place.at} ${JSON.stringify(read)}`).toBe(1);
    history.push({ step: place.at, answer: taken[0]?.id ?? "", readings: read });
  }
  throw new Error("the walk does not end");
}

describe("a walk", () => {
  test("of a base without a fault", () => {
    expect(compiler.check(input).complaints.filter(({ severity }) => severity === "error")).toEqual([]);
  });
  test("compares with what belongs to the equipment", () => {
    // 7 L/min: below 80 % of 10 L/min, not below 80 % of 2 gpm.
    const seven = { volume: 7, time: 60 };
    expect(walk("dial-softener", seven, { flow: 4.9 })).toBe("call");
    expect(walk("display-softener", seven, { flow: 5 }, { flow: 18.9 })).toBe("fine");
  });
  test("computes with facts", () => {
    const low = { volume: 1, time: 60 };
    expect(walk("dial-softener", low, { flow: 4.9 })).toBe("call");
    expect(walk("display-softener", low, { flow: 4.9 }, { flow: 5 }, { flow: 18.9 })).toBe("fine");
  });
  test("remembers what was read at an earlier step of a routine, in another unit", () => {
    const high = { volume: 60, time: 60 };
    expect(walk("dial-softener", high, { flow: 5 }, { flow: 17.03 })).toBe("call");
    expect(walk("dial-softener", high, { flow: 5 }, { flow: 17.04 })).toBe("fine");
  });
});

test("a formula's inputs are asked for where the step names no readings", () => {
  const step = tree.steps[0];
  if (step?.kind !== "measure") throw new Error("not a measurement");
  expect(step.readings).toEqual([
    { id: "volume", ask: "Water caught", unit: "L", between: [0, 200], typical: [1, 20] },
    { id: "time", ask: "Time taken", unit: "s", between: [1, 3600] },
  ]);
  expect(step.value).toMatchObject({ name: "flow", unit: "L/min", formula: "container-flow" });
  expect(step.value.written).toEqual([{ input: "volume" }, " ÷ ", { input: "time" }]);
});

test("what computes on the page is smaller than a kilobyte", async () => {
  const { outputFiles } = await build({
    stdin: {
      contents: 'export { evaluate, holdsValue } from "./compiler/model/formula.ts"',
      resolveDir: new URL("..", import.meta.url).pathname,
    },
    bundle: true,
    format: "esm",
    minify: true,
    write: false,
  });
  expect(outputFiles[0]?.contents.length).toBeLessThan(1024);
});
