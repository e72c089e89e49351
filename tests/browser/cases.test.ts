/**
 * The training cases, walked on the built site as a good apprentice would: each check is answered with what the case says
 * it shows, readings are typed as they are given. The causes that are hidden must be named in their order, and the visit
 * must end where the case says. What a case says is read from its file, without the compiler.
 */
import { unit } from "mathjs";
import type { Page } from "playwright-core";
import { describe, expect, test } from "vitest";
import {
  advance,
  type Entry,
  EQUIPMENT,
  isMisfit,
  LICENSED,
  type Place,
  replay,
  UNLICENSED,
} from "../../site/src/walk/engine.ts";
import type { Plan } from "../../site/src/walk/plan.ts";
import { baseOf, demoData, proceduresOf, section } from "../outside/demo.ts";
import { layOut, type StepData } from "../outside/reader.ts";
import { entriesAt } from "./histories.ts";
import { served } from "./served.ts";
import { give, placeOf, planOf, settled } from "./walking.ts";

type Shown = Readonly<Record<string, string | readonly string[]>>;
interface Case {
  readonly case: string;
  readonly title: string;
  readonly tricky?: boolean;
  readonly tree: string;
  readonly family: string;
  readonly hidden: readonly string[];
  readonly ends?: string;
  readonly shows: Shown;
  readonly after?: Readonly<Record<string, Shown>>;
  readonly readings?: Readonly<Record<string, Readonly<Record<string, string | number>>>>;
}

const site = served();
const base = baseOf(demoData);
const causes = section<{ title: string }>(demoData, "causes");
const cases = [...demoData].filter(([path]) => path.startsWith("cases/")).map(([, data]) => data as Case);

/** A visit has far fewer steps; who gives more answers than this goes round in a circle. */
const MOST_ANSWERS = 150;

type Laid = NonNullable<ReturnType<ReturnType<typeof stepsOf>["get"]>>;

/** The file's own steps of the tree, by id. */
function stepsOf({ tree }: Case) {
  const written = proceduresOf(demoData).find((one) => one.tree === tree);
  if (!written) throw new Error(`no tree ${tree}`);
  return layOut(written, base).steps;
}

/** What is seen at a check on this visit to it: what the last repair left, else what the case shows from the start. */
function shownAt({ shows, after, hidden }: Case, step: string, named: number, visit: number): string | undefined {
  const layers = [...hidden.slice(0, named).toReversed(), undefined].map((mended) =>
    mended === undefined ? shows : after?.[mended],
  );
  const said = layers.find((layer) => layer?.[step] !== undefined)?.[step];
  return typeof said === "object" ? said[Math.min(visit, said.length - 1)] : said;
}

/** How a proof comes out: good behind the last repair, not before. The good one leads to the end. */
function proofOf({ exits }: Laid, isLast: boolean): string | undefined {
  return exits.find(({ to }) => (to === "done") === isLast)?.by;
}

/** What every fault shows at a check where nothing else is said. */
function normally(step: Laid | undefined): string | undefined {
  const { normally: said } = (step?.data ?? {}) as { readonly normally?: string | readonly string[] };
  return typeof said === "object" ? said[0] : said;
}

/**
 * The shortest way through a routine to the outcome that the case says it has; any, where it says nothing. A case speaks
 * only of the tree's own checks.
 */
function through(plan: Plan, from: Place, outcome: string | undefined): Entry[] {
  const queue: { place: Place; way: Entry[] }[] = [{ place: from, way: [] }];
  const seen = new Set<string>();
  for (const { place, way } of queue)
    for (const entry of entriesAt(plan, place)) {
      if (entry.answer === UNLICENSED) continue;
      const next = advance(plan, place, entry);
      if (typeof next === "string") throw new Error(next);
      const longer = [...way, entry];
      // A question for a licence is asked at the step itself, before its routine begins.
      const isOut = next.calls.length === from.calls.length && (next.ended || next.at !== from.at);
      if (isOut && (outcome === undefined || next.seen[from.at] === outcome)) return longer;
      const key = JSON.stringify([next.at, next.calls, next.counts, next.asks]);
      if (isOut || next.ended || seen.has(key)) continue;
      seen.add(key);
      queue.push({ place: next, way: longer });
    }
  throw new Error(`${from.at} has no way to ${outcome ?? "its end"}`);
}

/** Types what was read, and says what that is in the author's units. A unit that the page does not offer is converted. */
async function type(
  page: Page,
  step: StepData,
  said: Readonly<Record<string, string | number>>,
): Promise<Record<string, number>> {
  const inOwn: Record<string, number> = {};
  for (const [id, { unit: own }] of Object.entries(step.readings ?? {})) {
    const [, figure = "", symbol = ""] = /^(\S+)\s*(.*)$/.exec(String(said[id])) ?? [];
    const amount = symbol === "" || symbol === own ? Number(figure) : unit(Number(figure), symbol).toNumber(own);
    const choice = page.locator(`[data-controls] select[data-unit-of="${id}"]`);
    const offered = await choice.locator("option").allTextContents();
    const isOffered = offered.includes(symbol);
    if (offered.length > 0) await choice.selectOption(isOffered ? symbol : own);
    const typed = isOffered ? figure : String(Number(amount.toPrecision(6)));
    await page.locator(`[data-controls] input[data-input="${id}"]`).fill(typed);
    inOwn[id] = amount;
  }
  return inOwn;
}

test("there are ten, five of them tricky", () => {
  expect(cases).toHaveLength(10);
  expect(cases.filter(({ tricky }) => tricky)).toHaveLength(5);
  expect(cases.filter(({ hidden }) => hidden.length > 1)).toHaveLength(1);
});

describe.each(cases.map((one) => [one.title, one] as const))("%s", (_title, told) => {
  test("the causes are named in their order, and the visit ends where it should", async () => {
    const { context, page, faults } = await site.open();
    await page.goto(`${site.address}trees/${told.tree}.html`);
    const plan = await planOf(page);
    const steps = stepsOf(told);
    await page.locator('guided-walk[data-mode="start"]').waitFor();
    const history: Entry[] = [];
    const named: string[] = [];
    const titles: string[] = [];
    const visits = new Map<string, number>();
    const answer = async (...entries: Entry[]): Promise<void> => {
      for (const entry of entries) await give(page, entry);
      history.push(...entries);
    };
    await answer({ step: EQUIPMENT, answer: told.family });
    while (history.length < MOST_ANSWERS) {
      const at = await placeOf(page);
      const written = steps.get(at);
      if (written?.data.found !== undefined) {
        const { found, say } = written.data as { readonly found: string; readonly say?: string };
        named.push(found);
        titles.push(say ?? causes[found]?.title ?? found);
        expect(named, `named up to ${at}`).toEqual(told.hidden.slice(0, named.length));
      }
      if ((await page.locator("guided-walk[data-ended]").count()) > 0) break;
      const place = replay(plan, history);
      if (isMisfit(place)) throw new Error(place.because);
      expect(place.at).toBe(at);
      const step = plan.steps[at];
      if (place.asks !== undefined) {
        await answer({ step: at, answer: LICENSED });
        continue;
      }
      const visit = visits.get(at) ?? 0;
      visits.set(at, visit + 1);
      const shown = written?.isProof
        ? proofOf(written, named.length === told.hidden.length)
        : (shownAt(told, at, named.length, visit) ?? normally(written));
      if (step?.kind === "use") await answer(...through(plan, place, shown));
      else if (step?.kind === "do" || step?.kind === "found") await answer({ step: at });
      else if (step?.kind === "look") {
        expect(
          step.answers.map(({ id }) => id),
          `what the case shows at ${at}`,
        ).toContain(shown);
        await answer({ step: at, answer: shown ?? "" });
      } else {
        const given = told.readings?.[at] ?? entriesAt(plan, place).find((one) => one.answer === shown)?.readings;
        expect(given, `a reading at ${at} that is ${shown}`).toBeDefined();
        await settled(page);
        const readings = await type(page, written?.data ?? {}, given ?? {});
        await expect.poll(() => page.locator("[data-result]").getAttribute("data-range")).toBe(shown);
        await give(page, { step: at });
        history.push({ step: at, answer: shown ?? "", readings });
      }
    }
    expect(named).toEqual(told.hidden);
    const end = told.ends ?? "=done";
    expect(await placeOf(page)).toBe(end);
    const summary = page.locator("[data-summary]");
    await summary.locator("[data-found] li").first().waitFor();
    expect(await summary.locator("[data-found] li > b").allTextContents()).toEqual(titles);
    expect(await summary.locator("[data-end] [data-at]").getAttribute("data-at")).toBe(end);
    // The last repair is proven, and none before it was; what is handed over was not mended.
    const proofs = await summary.locator("[data-found] li").allTextContents();
    const last = told.ends === undefined ? / proven: the fault is gone$/ : / not proven$/;
    for (const [index, said] of proofs.entries())
      if (index === proofs.length - 1) expect(said).toMatch(last);
      else expect(said).not.toMatch(/ proven: the fault is gone$/);
    expect(faults).toEqual([]);
    await context.close();
  });
});
