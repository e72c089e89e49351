/**
 * The advice about the order of checks, against trees written out from random fault tables: what the tree takes by playing
 * every cause through it, what the best order takes by enumeration of all strategies.
 */
import { describe, expect, test } from "vitest";
import { bestOrder } from "../../compiler/5-analyse/order/order.ts";
import { type Strategy, strategyInOrder } from "../../compiler/5-analyse/order/strategy.ts";
import type { FaultTable } from "../../compiler/5-analyse/order/table.ts";
import { check } from "../../compiler/index.ts";
import { chanceFrom, randomTable } from "../random-tables.ts";
import { leastOfAll, played } from "./all-strategies.ts";

/** The checks that a strategy asks. */
function asked(strategy: Strategy): Set<string> {
  if (strategy.kind === "left") return new Set();
  return new Set([strategy.check, ...[...strategy.next.values()].flatMap((next) => [...asked(next)])]);
}

/** A base with one tree that asks as the strategy says; a state is brought about by a step before its first check. */
function written(table: FaultTable, strategy: Strategy, head = ""): { path: string; text: string }[] {
  const steps: string[] = [];
  const stepsOf = new Map<string, string[]>();
  const write = (at: Strategy, up: readonly string[]): string => {
    const id = `s${steps.length}`;
    if (at.kind === "left") {
      steps.push(
        `  ${id}: {found: ${at.causes[0]}, remedy: [Mend it], prove: {look: Is it well?, fixed: done, not-fixed: call}}`,
      );
      return id;
    }
    const {
      answers,
      minutes,
      needs = [],
    } = table.checks.find((one) => one.id === at.check) ?? expect.fail("no such check");
    const missing = needs.find((state) => !up.includes(state));
    if (missing) {
      steps.push("");
      const then = write(at, [...up, missing]);
      steps[Number(id.slice(1))] =
        `  ${id}: {do: Bring it about, minutes: ${table.setUp?.get(missing)}, sets: [${missing}], then: ${then}}`;
      return id;
    }
    steps.push("");
    stepsOf.set(at.check, [...(stepsOf.get(at.check) ?? []), id]);
    const leads = answers.map((answer) => {
      const next = at.next.get(answer);
      return `${answer}: ${next ? write(next, up) : "call"}`;
    });
    const need = needs.length > 0 ? `needs: [${needs.join(", ")}], ` : "";
    steps[Number(id.slice(1))] =
      `  ${id}: {look: What does ${at.check} show?, minutes: ${minutes}, ${need}answers: {${leads.join(", ")}}}`;
    return id;
  };
  write(strategy, []);
  const rows = table.causes.map(({ id, weight, shows }) => {
    const shown = [...shows].flatMap(([one, [answer]]) => (stepsOf.get(one) ?? []).map((step) => `${step}: ${answer}`));
    return `  ${id}: {likelihood: ${weight}, shows: {${shown.join(", ")}}}`;
  });
  const states = [...(table.setUp ?? [])].map(
    ([id]) => `  ${id}: {title: ${id}, means: It is so., without: It is not so yet, must-clear: false}`,
  );
  return [
    {
      path: "headwater.yaml",
      text: "format: 1\nbase: b\ntitle: B\nowner: O\nlanguage: en\nnotice: N\nareas: {a: A}\n",
    },
    {
      path: "catalog/all.yaml",
      text: `format: 1
symptoms: {s: {title: S, says: [It drips], area: a}}
equipment: {e: {title: E, looks: L, area: a, facts: {}}}
contacts: {c: {title: C}}
causes:
${table.causes.map(({ id }) => `  ${id}: {title: T, what: W, symptoms: [s]}`).join("\n")}
${states.length > 0 ? `states:\n${states.join("\n")}` : ""}
`,
    },
    {
      path: "a/t.yaml",
      text: `format: 1
tree: t
title: T
symptom: s
serves: [e]
reviewed: {on: 2026-10-02, by: B}
start: s0
${head}causes:
${rows.join("\n")}
steps:
${steps.join("\n")}
  call: {stop: Ask, kind: hand-over, call: c}
`,
    },
  ];
}

function advice(files: { path: string; text: string }[]): { best: number; now: number } | undefined {
  const { complaints } = check({ files, pictures: [] }, { today: "2026-10-10", only: ["better-order"] });
  expect(complaints.filter(({ rule }) => rule !== "better-order").map(({ message }) => message)).toEqual([]);
  const figures = complaints[0]?.message.match(/takes ([\d.]+) instead of ([\d.]+) minutes/);
  return figures ? { best: Number(figures[1]), now: Number(figures[2]) } : undefined;
}

describe.each([
  ["nothing to bring about", 0],
  ["states to bring about", 2],
])("trees from random tables, %s", (_, states) => {
  test("advice is given where it is due, with the figures of the enumeration, and once it is followed no more", () => {
    const chance = chanceFrom(41 + states);
    let given = 0;
    let withheld = 0;
    for (let i = 0; i < 120; i++) {
      const causes = 3 + Math.floor(chance() * 2);
      const all = randomTable(chance, { causes, checks: 4, answers: 3, unstated: 0, two: 0, states });
      const order = all.checks.map(({ id }) => [chance(), id] as const).sort(([a], [b]) => a - b);
      const strategy = strategyInOrder(
        all,
        order.map(([, id]) => id),
      );
      const isAlike = (at: Strategy): boolean =>
        at.kind === "left" ? at.causes.length > 1 : [...at.next.values()].some(isAlike);
      if (isAlike(strategy)) continue;
      const used = asked(strategy);
      const table: FaultTable = { ...all, checks: all.checks.filter(({ id }) => used.has(id)) };
      const now = played(table, strategy).mean;
      const least = leastOfAll(table);
      const said = advice(written(table, strategy));
      if (least < now * 0.849) {
        given++;
        expect(Math.abs((said?.now ?? 0) - now)).toBeLessThan(0.051);
        expect(Math.abs((said?.best ?? 0) - least)).toBeLessThan(0.051);
        const best = bestOrder(table) ?? expect.fail("gave up");
        expect(advice(written(table, best.strategy))).toBeUndefined();
        expect(advice(written(table, strategy, "keep-order: The customer asks for it first.\n"))).toBeUndefined();
      } else if (least > now * 0.851) {
        withheld++;
        expect(said).toBeUndefined();
      }
    }
    expect(given).toBeGreaterThan(20);
    expect(withheld).toBeGreaterThan(20);
  });
});
