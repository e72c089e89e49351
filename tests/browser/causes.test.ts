/**
 * What is still possible while walking, and "I'm not sure". What the walk says is held against the tables as their
 * authors wrote them: read from the YAML and reckoned here, by Bayes' rule as it stands in any textbook. The safety of
 * every way that an unsure reader can take is held against the files too, step by step.
 */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { describe, expect, inject, test } from "vitest";
import { standings, toldApart } from "../../site/src/walk/causes.ts";
import {
  advance,
  type Entry,
  EQUIPMENT,
  isCheck,
  isMisfit,
  type Place,
  replay,
  UNSURE,
  waysBack,
} from "../../site/src/walk/engine.ts";
import type { Plan } from "../../site/src/walk/plan.ts";
import { evenly } from "../evenly.ts";
import { baseOf, demoData, proceduresOf } from "../outside/demo.ts";
import { isFor, layOut, type ProcedureData, type StepData } from "../outside/reader.ts";
import { axeFaults } from "./axe.ts";
import { entriesAt } from "./histories.ts";
import { served } from "./served.ts";
import { give, placeOf, settled, tabTo } from "./walking.ts";

const site = served();
const base = baseOf(demoData);
const folder = join(inject("site"), "trees");
const plans = readdirSync(folder)
  .filter((name) => name.endsWith(".html"))
  .map((name): Plan => {
    const [, json = ""] = /data-plan>(.*?)<\/script>/s.exec(readFileSync(join(folder, name), "utf8")) ?? [];
    return JSON.parse(json) as Plan;
  });
const visits = plans.flatMap((plan) => evenly(plan.families, 2).map((family) => [plan.tree, family, plan] as const));

// ---------------------------------------------------------------- the tables as they are written

interface Row {
  readonly likelihood: number;
  readonly "only-for"?: Parameters<typeof isFor>[0];
  readonly shows?: Readonly<Record<string, string | readonly string[]>>;
}
const listOf = (shown: string | readonly string[] | undefined): readonly string[] =>
  shown === undefined ? [] : typeof shown === "string" ? [shown] : shown;

const written = (tree: string): ProcedureData & { readonly causes?: Readonly<Record<string, Row>> } => {
  const found = proceduresOf(demoData).find((one) => one.tree === tree);
  if (!found) throw new Error(`no tree ${tree}`);
  return found;
};

function rowsFor(tree: string, family: string): (readonly [string, Row])[] {
  return Object.entries(written(tree).causes ?? {}).filter(([, row]) => isFor(row["only-for"], family, base));
}

/** What the check can be answered with on this equipment. */
function answersOf(tree: string, check: string, family: string): string[] {
  const { exits } = layOut(written(tree), base).steps.get(check) ?? { exits: [] };
  return exits.filter(({ onlyFor }) => isFor(onlyFor, family, base)).map(({ by }) => by);
}

/** What a cause shows: what its row says, else what is normally shown, else anything. */
function shownAt(tree: string, row: Row, check: string, family: string): readonly string[] {
  const answers = answersOf(tree, check, family);
  const data = layOut(written(tree), base).steps.get(check)?.data as { normally?: string | string[] } | undefined;
  for (const said of [row.shows?.[check], data?.normally]) {
    const can = answers.filter((answer) => listOf(said).includes(answer));
    if (can.length > 0) return can;
  }
  return answers;
}

/** The cause that a proof is the proof of, and the answers by which it says that the fault is gone. */
function provenBy(tree: string, key: string): { cause: string; fixed: string[] } | undefined {
  const { steps } = layOut(written(tree), base);
  const step = steps.get(key);
  if (!step?.isProof) return undefined;
  const cause = steps.get(step.of ?? "")?.data.found ?? "";
  return { cause, fixed: step.exits.filter(({ to }) => to === "done").map(({ by }) => by) };
}

const ownCheck = (key: string): boolean => !key.includes("__") && key !== EQUIPMENT;

/** Bayes' rule: prior times likelihood, over the sum of all. `seen` has the last answer to each check. */
function expected(tree: string, family: string, seen: ReadonlyMap<string, string>): Map<string, number> {
  const joint = rowsFor(tree, family).map(([cause, row]) => {
    let product = row.likelihood;
    for (const [check, answer] of seen) {
      const proof = provenBy(tree, check);
      if (proof) {
        if (proof.cause === cause && !proof.fixed.includes(answer)) product = 0;
        continue;
      }
      const shown = shownAt(tree, row, check, family);
      product *= shown.includes(answer) ? 1 / shown.length : 0;
    }
    return [cause, product] as const;
  });
  const sum = joint.reduce((all, [, one]) => all + one, 0);
  return new Map(joint.map(([cause, one]) => [cause, sum > 0 ? one / sum : 0]));
}

// ---------------------------------------------------------------- walking at random

/** Numbers from 0 to 1 that are the same at every run (Park and Miller 1988). */
function dice(seed: number): () => number {
  // The first numbers behind a small seed are small.
  let state = (seed + 1) * 1_000_003;
  return () => {
    state = (state * 48_271) % 2_147_483_647;
    return state / 2_147_483_647;
  };
}

function begun(plan: Plan, family: string): Place {
  const place = replay(plan, [{ step: EQUIPMENT, answer: family }]);
  if (isMisfit(place)) throw new Error(place.because);
  return place;
}
function gone(plan: Plan, place: Place, entry: Entry): Place {
  const next = advance(plan, place, entry);
  if (typeof next === "string") throw new Error(`${plan.tree}: ${next}`);
  return next;
}
const pick = <T>(items: readonly T[], roll: () => number): T | undefined => items[Math.floor(roll() * items.length)];

/** Takes in what an entry showed: an answer, or the outcomes of routines that ended with it. */
function look(seen: Map<string, string>, place: Place, entry: Entry, next: Place, plan: Plan): void {
  if (isCheck(plan.steps[entry.step]) && ownCheck(entry.step) && place.asks === undefined) {
    if (entry.answer === UNSURE) seen.delete(entry.step);
    else seen.set(entry.step, entry.answer ?? "");
  }
  const [call] = place.calls;
  if (call !== undefined && next.calls.length === 0 && !next.ended && next.seen[call] !== undefined)
    seen.set(call, next.seen[call]);
}

describe.each(visits)("%s, %s", (tree, family, plan) => {
  const rows = rowsFor(tree, family);

  test("the shares are those of Bayes' rule over the table as it is written", () => {
    expect(rows.length).toBeGreaterThan(1);
    let compared = 0;
    for (let seed = 0; seed < 60; seed++) {
      const roll = dice(seed);
      let place = begun(plan, family);
      const seen = new Map<string, string>();
      for (let steps = 0; steps < 80 && !place.ended && !place.handsOver; steps++) {
        const shares = new Map(standings(plan, place).map(({ cause, share }) => [cause, share]));
        const wanted = expected(tree, family, seen);
        expect([...shares.keys()].sort()).toEqual([...wanted.keys()].sort());
        for (const [cause, share] of wanted) expect(shares.get(cause), cause).toBeCloseTo(share, 10);
        for (const { share, against } of standings(plan, place)) {
          if (against.length > 0) expect(share).toBe(0);
        }
        compared++;
        const canDoubt = isCheck(plan.steps[place.at]) && place.asks === undefined && roll() < 0.1;
        const entry = canDoubt ? { step: place.at, answer: UNSURE } : pick(entriesAt(plan, place), roll);
        if (entry === undefined) break;
        const next = gone(plan, place, entry);
        look(seen, place, entry, next, plan);
        place = next;
      }
    }
    expect(compared).toBeGreaterThan(100);
  });

  test.each(rows.map(([cause]) => cause))(
    "with %s there, it is never ruled out and nothing else is concluded",
    (cause) => {
      const row = rows.find(([id]) => id === cause)?.[1] as Row;
      const { steps } = layOut(written(tree), base);
      let named = 0;
      for (let seed = 0; seed < 80; seed++) {
        const roll = dice(seed * 31 + 7);
        let place = begun(plan, family);
        /** The cause that was named last and not disproved. */
        let concluded: string | undefined;
        /** Where the routine began that the reader is in. */
        let outside = place;
        for (let moves = 0; moves < 1000; moves++) {
          if (place.calls.length === 0 && !place.ended) outside = place;
          const own = standings(plan, place).find((one) => one.cause === cause);
          expect(own?.share, `at ${place.at}`).toBeGreaterThan(0);
          if (place.handsOver) break;
          const found = ownCheck(place.at) ? steps.get(place.at)?.data.found : undefined;
          if (found !== undefined) concluded = found;
          if (found === cause) {
            named++;
            break;
          }
          if (place.ended && !ownCheck(place.at)) {
            // A stop inside a routine is another visit: begin the routine once more.
            place = outside;
            continue;
          }
          if (place.ended) break;
          const proof = ownCheck(place.at) ? provenBy(tree, place.at) : undefined;
          const isTold = isCheck(plan.steps[place.at]) && ownCheck(place.at) && place.asks === undefined;
          const shown = shownAt(tree, row, place.at, family);
          // A repair of something else does not mend it; a reader with every licence is the one the table speaks of.
          const can = entriesAt(plan, place).filter(({ answer = "" }) =>
            place.asks !== undefined
              ? answer === "=licensed"
              : proof
                ? !proof.fixed.includes(answer)
                : !isTold || shown.includes(answer),
          );
          const entry: Entry | undefined =
            isTold && !proof && roll() < 0.1 ? { step: place.at, answer: UNSURE } : pick(can, roll);
          if (entry === undefined) break;
          const next = gone(plan, place, entry);
          if (proof) concluded = undefined;
          const [call] = place.calls;
          if (call !== undefined && next.calls.length === 0 && ownCheck(call)) {
            const outcome = next.seen[call];
            // The house shows what the table says of it: a visit on which a routine ends otherwise is not this one.
            if (outcome === undefined || !shownAt(tree, row, call, family).includes(outcome)) {
              place = outside;
              continue;
            }
          }
          place = next;
        }
        expect([undefined, cause]).toContain(concluded);
      }
      expect(named).toBeGreaterThan(0);
    },
  );
});

// ---------------------------------------------------------------- not sure, anywhere

interface Stand {
  readonly place: Place;
  readonly on: readonly string[];
  readonly told: readonly string[];
  readonly found: string | undefined;
  /** Where the reader has not been sure; once on a visit, and again at checks that are asked instead. */
  readonly doubted: string | undefined;
}

const dataOf = (tree: string, key: string): StepData => {
  const [routine, id] = key.includes("__") ? (key.split("__") as [string, string]) : [undefined, key];
  const procedure = routine === undefined ? written(tree) : (base.routines[routine] as ProcedureData);
  return layOut(procedure, base).steps.get(id)?.data ?? ({} as StepData);
};
const hazardsOf = (notes: StepData["safety"]): string[] =>
  (notes ?? []).map((note) => (typeof note === "string" ? note : note.hazard));
const raisedBy = ({ hazards = [], sets = [], tools = [], parts = [] }: StepData): string[] => [
  ...hazards,
  ...sets.flatMap((id) => base.states[id]?.raises ?? []),
  ...tools.flatMap((id) => base.tools[id]?.raises ?? []),
  ...parts.flatMap((id) => base.parts[id]?.raises ?? []),
];
const mustClear = (id: string): boolean => base.states[id]?.["must-clear"] !== false;

/** The stand with a step's own changes made. */
function changed(stand: Stand, { sets = [], clears = [] }: StepData): Stand {
  const over = clears.flatMap((id) => base.states[id]?.raises ?? []);
  return {
    ...stand,
    on: [...new Set([...stand.on.filter((id) => !clears.includes(id)), ...sets])],
    told: stand.told.filter((hazard) => !over.includes(hazard)),
  };
}

function moved(plan: Plan, from: Stand, entry: Entry): Stand {
  const { tree } = plan;
  const next = gone(plan, from.place, entry);
  const data = dataOf(tree, from.place.at);
  let stand = from;
  const isAnswer = from.place.asks === undefined && entry.answer !== UNSURE;
  if (isAnswer && data.use === undefined) stand = changed(stand, data);
  // A doubt that is settled leaves the check in doubt behind too.
  const doubted = from.place.doubt?.of ?? (entry.answer === UNSURE ? entry.step : undefined);
  if (doubted !== undefined && next.doubt === undefined && !next.handsOver)
    stand = changed(stand, dataOf(tree, doubted));
  const routine = isAnswer && data.use !== undefined ? base.routines[data.use] : undefined;
  for (const call of [...from.place.calls].reverse())
    if (!next.calls.includes(call)) stand = changed(stand, dataOf(tree, call));
  const told = [
    ...stand.told,
    ...hazardsOf(routine?.safety),
    ...next.withheld.flatMap((key) => hazardsOf(dataOf(tree, key).safety)),
    ...hazardsOf(dataOf(tree, next.at).safety),
  ];
  return {
    ...stand,
    place: next,
    told: [...new Set(told)].sort(),
    found: dataOf(tree, next.at).found === undefined ? stand.found : next.at,
    doubted: stand.doubted ?? (entry.answer === UNSURE ? entry.step : undefined),
  };
}

/** What is wrong with standing here; empty where all is as it must be. */
function faultsAt(plan: Plan, { place, on, told, found }: Stand): string[] {
  const { tree } = plan;
  const data = dataOf(tree, place.at);
  const about = `${place.at} (${place.calls.join(" ")})`;
  const faults: string[] = [];
  if ([...on].sort().join() !== [...place.states].sort().join()) faults.push(`${about}: other states than on record`);
  const owed = on.filter(mustClear);
  if (place.handsOver) {
    const back = waysBack(plan, place).flatMap(({ states }) => states);
    for (const state of owed) if (!back.includes(state)) faults.push(`${about}: ${state} is not put back`);
    return faults;
  }
  const needs = [...(data.needs ?? []), ...(base.routines[data.use ?? ""]?.needs ?? [])];
  for (const state of needs) if (!on.includes(state)) faults.push(`${about}: without ${state}`);
  for (const hazard of raisedBy(data)) if (!told.includes(hazard)) faults.push(`${about}: nobody told of ${hazard}`);
  if (place.ended) {
    const reasons = (place.at === "=done" ? dataOf(tree, found ?? "") : data) as { leaves?: object };
    for (const state of owed)
      if (!Object.hasOwn(reasons.leaves ?? {}, state)) faults.push(`${about}: ${state} is left behind`);
  }
  return faults;
}

describe.each(visits)("not sure: %s, %s", (_tree, family, plan) => {
  test("at every check it leads on safely, and to an end", () => {
    const first: Stand = {
      place: begun(plan, family),
      on: [],
      told: [],
      found: undefined,
      doubted: undefined,
    };
    const told = [...hazardsOf(written(plan.tree).safety), ...hazardsOf(dataOf(plan.tree, first.place.at).safety)];
    const queue: Stand[] = [{ ...first, told: [...new Set(told)].sort() }];
    const seen = new Set<string>();
    const checks = new Set<string>();
    const doubted = new Set<string>();
    const faults = new Set<string>();
    for (const stand of queue) {
      expect(queue.length, "too many places").toBeLessThan(300_000);
      const { place } = stand;
      for (const fault of faultsAt(plan, stand)) faults.add(`${fault}, not sure at ${stand.doubted}`);
      if (place.ended || place.handsOver) continue;
      const canDoubt = isCheck(plan.steps[place.at]) && place.asks === undefined;
      if (canDoubt) checks.add(place.at);
      const entries = entriesAt(plan, place);
      expect(entries.length, `${place.at} leads nowhere`).toBeGreaterThan(0);
      if (canDoubt && (stand.doubted === undefined || place.doubt !== undefined)) {
        entries.push({ step: place.at, answer: UNSURE });
        doubted.add(place.at);
      }
      for (const entry of entries) {
        const next = moved(plan, stand, entry);
        const { place: at } = next;
        const key = JSON.stringify([
          [at.at, at.calls, at.counts, at.licences, at.doubt, at.handsOver],
          [[...next.on].sort(), next.told, next.found, next.doubted !== undefined],
        ]);
        if (seen.has(key)) continue;
        seen.add(key);
        queue.push(next);
      }
    }
    expect([...faults]).toEqual([]);
    expect([...doubted].sort()).toEqual([...checks].sort());
    expect(doubted.size).toBeGreaterThan(0);
  });
});

test("somewhere a doubt is settled by another check, and somewhere it is handed over", () => {
  const ways = plans.flatMap(({ evidence = [] }) => evidence.flatMap(({ unsure }) => Object.values(unsure)));
  expect(ways.some((way) => "ask" in way)).toBe(true);
  expect(ways.some((way) => "take" in way)).toBe(true);
  const checks = plans.flatMap(({ steps, evidence = [] }) =>
    Object.entries(steps).filter(([key, step]) => isCheck(step) && evidence.every(({ unsure }) => !unsure[key])),
  );
  expect(checks.length).toBeGreaterThan(0);
});

// ---------------------------------------------------------------- on the page

const TREE = "water-runs-to-drain";
const FAMILY = "timer-piston-softener";
const drain = plans.find(({ tree }) => tree === TREE) as Plan;
/** To a check of which the reader can't be sure, and on to the one that is asked instead. */
const toDoubt: readonly Entry[] = [
  { step: EQUIPMENT, answer: FAMILY },
  { step: "what-runs", answer: "unit-drain" },
  { step: "window-reads", answer: UNSURE },
];

async function openAt(page: Page, history: readonly Entry[]): Promise<void> {
  await page.goto(`${site.address}trees/${TREE}.html`);
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  for (const entry of history) await give(page, entry);
}

/** What the list says, in its order: cause and share. */
async function listed(page: Page): Promise<(readonly [string, number])[]> {
  return page
    .locator("[data-possible] [data-cause]")
    .evaluateAll((all) =>
      all.map((one) => [one.getAttribute("data-cause") ?? "", Number(one.getAttribute("data-share"))] as const),
    );
}

test("every check of a visit takes “I’m not sure”, and says what is still possible in words and per cent", async () => {
  const { context, page, faults } = await site.open();
  const seen = new Map<string, string>();
  const history: Entry[] = [
    { step: EQUIPMENT, answer: FAMILY },
    { step: "what-runs", answer: "unit-drain" },
    { step: "window-reads", answer: "turning" },
    { step: "finish-cycle", answer: "runs" },
  ];
  await page.goto(`${site.address}trees/${TREE}.html`);
  await page.locator('guided-walk[data-mode="start"]').waitFor();
  for (const entry of history) {
    await give(page, entry);
    if (entry.step !== EQUIPMENT) seen.set(entry.step, entry.answer ?? "");
    const wanted = expected(TREE, FAMILY, seen);
    const list = await listed(page);
    // None is hidden, however unlikely it is.
    expect(list.map(([cause]) => cause).sort()).toEqual([...wanted.keys()].sort());
    for (const [cause, share] of list) expect(share, cause).toBeCloseTo(wanted.get(cause) ?? -1, 10);
    expect(list.map(([, share]) => share)).toEqual([...list.map(([, share]) => share)].sort((a, b) => b - a));
    for (const row of await page.locator("[data-possible] > ul > [data-cause]").all()) {
      const share = Number(await row.getAttribute("data-share"));
      const text = (await row.locator(".share").textContent()) ?? "";
      const percent = Number(/(\d+)\u00a0%$/.exec(text)?.[1]);
      expect(text).toMatch(/^(nearly certain|likely|quite possible|less likely|unlikely), /);
      expect(Math.abs(percent - share * 100)).toBeLessThanOrEqual(text.includes("under") ? 1 : 0.5);
      const [bar, whole] = await row
        .locator(".share-bar")
        .evaluate((one) => [getComputedStyle(one).getPropertyValue("--share"), one.getAttribute("aria-hidden")]);
      expect(Number.parseFloat(bar ?? "")).toBeCloseTo(share * 100, 5);
      expect(whole).toBe("true");
    }
  }
  const folded = page.locator("[data-against]");
  await folded.locator("summary").click();
  const against = folded.locator("[data-cause]").first();
  // The answer that speaks against it, in the words of the page.
  expect(await against.textContent()).toMatch(/\?.*\S/);
  expect(faults).toEqual([]);
  await context.close();
});

test("why this check: it tells apart what the table says it does", async () => {
  const { context, page } = await site.open();
  await openAt(page, toDoubt.slice(0, 2));
  const groups = await page
    .locator("[data-tells] li")
    .evaluateAll((all) => all.map((one) => (one.textContent ?? "").split("; ")));
  expect(groups.length).toBeGreaterThan(1);
  const place = replay(drain, toDoubt.slice(0, 2)) as Place;
  expect(groups.map(({ length }) => length)).toEqual(toldApart(drain, place).map(({ length }) => length));
  const rows = new Map(rowsFor(TREE, FAMILY));
  for (const [i, group] of toldApart(drain, place).entries())
    for (const [k, other] of toldApart(drain, place).entries())
      for (const [one, two] of group.flatMap((one) => other.map((two) => [one, two] as const))) {
        const shown = (cause: string) => [...shownAt(TREE, rows.get(cause) as Row, place.at, FAMILY)].sort().join();
        expect(shown(one) === shown(two), `${one}, ${two}`).toBe(i === k);
      }
  await context.close();
});

test("not sure: another check is asked, it is on record, a reload keeps it, and back undoes it", async () => {
  const { context, page, faults } = await site.open();
  await openAt(page, toDoubt);
  const at = (replay(drain, toDoubt) as Place).at;
  expect(at).not.toBe("window-reads");
  expect(await placeOf(page)).toBe(at);
  await page.locator('[data-instead-of="window-reads"]').waitFor();
  const record = page.locator("[data-so-far] .entries");
  await page.locator("[data-so-far] summary").click();
  expect(await record.textContent()).toContain("I’m not sure");
  const before = await listed(page);
  await page.reload();
  await page.locator('guided-walk[data-mode="walk"]').waitFor();
  expect(await placeOf(page)).toBe(at);
  expect(await page.locator('[data-instead-of="window-reads"]').isVisible()).toBe(true);
  expect(await listed(page)).toEqual(before);
  await page.locator('[data-act="back"]').click();
  await page.locator('guided-walk[data-at="window-reads"]').waitFor();
  expect(await page.locator("[data-instead-of]").count()).toBe(0);
  expect(await listed(page)).toEqual(before);
  expect(faults).toEqual([]);
  await context.close();
});

test("nothing decides: whom to call, what to say; look again, or put back and leave; by keyboard", async () => {
  const { context, page, faults } = await site.open();
  await openAt(page, toDoubt.slice(0, 2));
  await give(page, { step: "window-reads", answer: "turning" });
  await tabTo(page, '[data-controls] [data-answer="=unsure"]');
  await page.keyboard.press("Enter");
  await page.locator('guided-walk[data-at="=hand-over"]').waitFor();
  await settled(page);
  const card = page.locator("[data-hand-over]");
  expect(await page.evaluate(() => document.activeElement?.closest("[data-hand-over]") !== null)).toBe(true);
  expect(await card.locator("[data-call]").textContent()).toContain("Senior technician");
  const said = (await card.textContent()) ?? "";
  expect(said).toContain("Is the drain silent ten minutes later?");
  expect(said).toContain("The drain line of this unit");
  expect(await page.locator("section.step:visible").count()).toBe(0);
  expect((await listed(page)).length).toBeGreaterThan(0);
  await page.reload();
  await page.locator('guided-walk[data-at="=hand-over"]').waitFor();
  await card.locator('[data-act="put-back"]').click();
  await page.locator('guided-walk[data-mode="leave"]').waitFor();
  expect(await page.locator("[data-undecided]").textContent()).toContain("Is the drain silent ten minutes later?");
  await page.locator('[data-act="stay"]').click();
  await page.locator('guided-walk[data-at="=hand-over"]').waitFor();
  await tabTo(page, '[data-act="look-again"]');
  await page.keyboard.press("Enter");
  await page.locator('guided-walk[data-at="finish-cycle"]').waitFor();
  await give(page, { step: "finish-cycle", answer: "runs" });
  expect(await placeOf(page)).not.toBe("=hand-over");
  expect(faults).toEqual([]);
  await context.close();
});

describe.each([
  ["360 px, light", { width: 360, height: 740 }, "light"],
  ["1280 px, dark", { width: 1280, height: 800 }, "dark"],
] as const)("at %s", (_name, viewport, colorScheme) => {
  test("axe finds nothing, nothing scrolls sideways, and all that is pressed is 48 px high", async () => {
    const { context, page } = await site.open({ viewport, colorScheme, hasTouch: true, reducedMotion: "reduce" });
    const looked = async (): Promise<void> => {
      expect(await axeFaults(page)).toEqual([]);
      const overflow = await page.evaluate(
        () => document.documentElement.scrollWidth - document.documentElement.clientWidth,
      );
      expect(overflow).toBeLessThanOrEqual(0);
      const pressed = page.locator("[data-controls] button, [data-hand-over] button, [data-possible] summary");
      for (const one of await pressed.all())
        expect((await one.boundingBox())?.height, (await one.textContent()) ?? "").toBeGreaterThanOrEqual(48);
    };
    await openAt(page, toDoubt);
    await page.locator("[data-against] summary").click();
    await looked();
    await page.locator('[data-act="back"]').click();
    await give(page, { step: "window-reads", answer: "turning" });
    await give(page, { step: "finish-cycle", answer: UNSURE });
    await page.locator("[data-hand-over]").waitFor();
    await looked();
    await context.close();
  });
});

test("without script the causes stand folded at the end, and are printed whole", async () => {
  const { context, page } = await site.open({ javaScriptEnabled: false });
  await page.goto(`${site.address}trees/${TREE}.html`);
  const causes = page.locator("[data-causes]");
  const ids = Object.keys(written(TREE).causes ?? {});
  const first = causes.locator("[data-cause]").first();
  expect(await causes.locator("[data-cause]").count()).toBe(ids.length);
  expect(await first.isVisible()).toBe(false);
  await page.emulateMedia({ media: "print" });
  for (const id of ids) {
    const one = causes.locator(`[data-cause="${id}"]`);
    expect((await one.boundingBox())?.height ?? 0, id).toBeGreaterThan(0);
    expect(await one.textContent()).toContain(`Likelihood ${written(TREE).causes?.[id]?.likelihood} of`);
  }
  await page.emulateMedia({ media: "screen" });
  await causes.locator("summary").click();
  expect(await first.isVisible()).toBe(true);
  expect(await page.locator("[data-in-doubt] [data-call]").textContent()).toContain("Senior technician");
  await context.close();
});
