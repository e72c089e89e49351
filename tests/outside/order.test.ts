/**
 * The best order against plain enumeration of all strategies, and against what has been published. CV numbers are those of
 * the project's list of check values; the source stands beside each.
 */
import ticTacToe from "decision-tree/data/tic-tac-toe.json" with { type: "json" };
import { describe, expect, test } from "vitest";
import { bestOrder } from "../../compiler/5-analyse/order/order.ts";
import { costOf, type Strategy, strategyInOrder } from "../../compiler/5-analyse/order/strategy.ts";
import type { FaultTable } from "../../compiler/5-analyse/order/table.ts";
import { bits, gain, likelihood, shares, update } from "../../compiler/model/evidence.ts";
import { type Chance, chanceFrom, type Kind, randomTable } from "../random-tables.ts";
import { allPossible, leastBySets, leastOfAll, played, shareByCause } from "./all-strategies.ts";

function solved(table: FaultTable): NonNullable<ReturnType<typeof bestOrder>> {
  const order = bestOrder(table);
  if (!order) throw new Error("the search gave up");
  return order;
}
const checksAlong = (strategy: Strategy): string[] => {
  const asked: string[] = [];
  for (let at: Strategy | undefined = strategy; at?.kind === "ask"; ) {
    asked.push(at.check);
    at = [...at.next.values()].find(({ kind }) => kind === "ask");
  }
  return asked;
};

const small = (chance: Chance, kind: Partial<Kind>): FaultTable =>
  randomTable(chance, {
    causes: 2 + Math.floor(chance() * 4),
    checks: 1 + Math.floor(chance() * 4),
    answers: 3,
    unstated: 0,
    two: 0,
    states: 0,
    ...kind,
  });

describe("against all strategies, enumerated over all worlds that may be", () => {
  test.each([
    ["each cause shows one answer", 2000, {}],
    ["answers not stated, or two", 1500, { unstated: 0.25, two: 0.25 }],
    ["states to be brought about", 1500, { states: 2 }],
    ["both", 1000, { unstated: 0.2, two: 0.2, states: 3 }],
  ] as const)("%s: %i tables", (_, tables, kind) => {
    const chance = chanceFrom(5);
    for (let i = 0; i < tables; i++) {
      const table = small(chance, kind);
      const order = solved(table);
      expect(order.isExact).toBe(true);
      expect(order.mean).toBeCloseTo(leastOfAll(table), 9);
      const { mean, worst } = played(table, order.strategy);
      expect(order.mean).toBeCloseTo(mean, 9);
      expect(order.worst).toBeCloseTo(worst, 9);
      expect(order.fromEntropy).toBeLessThanOrEqual(order.mean + 1e-9);
    }
  });

  test("larger tables, by sets of causes: 200 of 9 causes and 8 checks", () => {
    const chance = chanceFrom(7);
    for (let i = 0; i < 200; i++) {
      const table = small(chance, { causes: 9, checks: 8, answers: 2 + (i % 3) });
      const order = solved(table);
      expect(order.mean).toBeCloseTo(leastBySets(table), 9);
      expect(order.fromEntropy).toBeLessThanOrEqual(order.mean + 1e-9);
    }
  });

  test("the bounded search costs no less than the best, and no more than its gap says", () => {
    const chance = chanceFrom(11);
    for (let i = 0; i < 300; i++) {
      const table = small(chance, { causes: 7, checks: 6, unstated: 0.1, states: i % 3 });
      const best = solved(table);
      const bounded = bestOrder(table, { exact: 0, bounded: 100_000 });
      expect(best.isExact).toBe(true);
      if (best.nodes > 0) expect(bounded?.isExact).toBe(false);
      expect(bounded?.mean).toBeGreaterThanOrEqual(best.mean - 1e-9);
      expect((bounded?.mean ?? 0) - (bounded?.gap ?? 0)).toBeLessThanOrEqual(best.mean + 1e-9);
      expect(bounded?.mean).toBeLessThanOrEqual(best.mean * 1.5);
    }
  });

  test("beyond the limits a gap is stated, and the entropy is not undercut", () => {
    const table = small(chanceFrom(13), { causes: 40, checks: 40, answers: 4 });
    const order = solved(table);
    expect(order.isExact).toBe(false);
    expect(order.gap).toBeGreaterThan(0);
    expect(order.gap).toBeLessThan(order.mean);
    expect(order.fromEntropy).toBeLessThanOrEqual(order.mean);
  });

  test("asked for less than the best takes, nothing is found; for a little more, the best", () => {
    const chance = chanceFrom(43);
    for (let i = 0; i < 300; i++) {
      const table = small(chance, { unstated: 0.2, states: i % 3 });
      const { mean } = solved(table);
      if (mean === 0) continue;
      for (const budget of [
        { exact: 100_000, bounded: 1000 },
        { exact: 0, bounded: 100_000 },
      ])
        expect(bestOrder(table, budget, mean * 0.999)).toBeUndefined();
      expect(bestOrder(table, { exact: 100_000, bounded: 1000 }, mean * 1.001)?.mean).toBeCloseTo(mean, 9);
    }
  });

  test("a table that states next to nothing is given up, not gone on with for ever", () => {
    const table = small(chanceFrom(17), { causes: 20, checks: 30, answers: 4, unstated: 0.7 });
    expect(bestOrder(table, { exact: 1000, bounded: 1000 })).toBeUndefined();
  });
});

describe("the order of the lists changes nothing", () => {
  const shuffled = <T>(list: readonly T[], chance: Chance): T[] =>
    list
      .map((one) => [chance(), one] as const)
      .sort(([a], [b]) => a - b)
      .map(([, one]) => one);

  test.each([
    ["exact", { exact: 1_000_000, bounded: 1000 }],
    ["bounded", { exact: 0, bounded: 100_000 }],
  ])("%s", (_, budget) => {
    const chance = chanceFrom(19);
    for (let i = 0; i < 150; i++) {
      const table = small(chance, { causes: 6, checks: 6, answers: 4, unstated: 0.1, two: 0.1, states: 2 });
      const mixed: FaultTable = {
        causes: shuffled(table.causes, chance).map((cause) => ({
          ...cause,
          shows: new Map(shuffled([...cause.shows], chance).map(([check, all]) => [check, shuffled(all, chance)])),
        })),
        checks: shuffled(table.checks, chance).map((check) => ({ ...check, answers: shuffled(check.answers, chance) })),
        setUp: new Map(shuffled([...(table.setUp ?? [])], chance)),
      };
      const one = bestOrder(table, budget) ?? expect.fail("gave up");
      const other = bestOrder(mixed, budget) ?? expect.fail("gave up");
      expect(other.strategy).toEqual(one.strategy);
      expect(other).toMatchObject({ nodes: one.nodes, isExact: one.isExact });
      // Sums of the same numbers in another order differ in their last digits.
      for (const figure of ["mean", "worst", "gap", "bits", "fromEntropy"] as const)
        expect(other[figure]).toBeCloseTo(one[figure], 9);
    }
  });

  test("other names and other weights in the same proportion cost the same", () => {
    const chance = chanceFrom(23);
    for (let i = 0; i < 150; i++) {
      const table = small(chance, { causes: 6, checks: 6, states: 2, unstated: 0.1 });
      const renamed: FaultTable = {
        causes: table.causes.map(({ id, weight, shows }, k) => ({
          id: `${(k * 5) % 7}-${id}`,
          weight: weight * 8,
          shows: new Map(
            [...shows].map(([check, all]) => [`${check.length * 3}${check.split("").reverse().join("")}`, all]),
          ),
        })),
        checks: table.checks.map((check) => ({
          ...check,
          id: `${check.id.length * 3}${check.id.split("").reverse().join("")}`,
        })),
        setUp: table.setUp ?? new Map(),
      };
      expect(solved(renamed).mean).toBeCloseTo(solved(table).mean, 9);
    }
  });
});

/** All yes-no tests of which some causes show yes; complements are the same test. */
function allSubsetTests(weights: readonly number[]): FaultTable {
  const sets = Array.from({ length: 2 ** (weights.length - 1) - 1 }, (_, set) => set + 1);
  return {
    causes: weights.map((weight, i) => ({
      id: `c${String(i).padStart(2, "0")}`,
      weight,
      shows: new Map(sets.map((set) => [`t${set}`, [(set >> i) & 1 ? "yes" : "no"]])),
    })),
    checks: sets.map((set) => ({ id: `t${set}`, minutes: 1, answers: ["yes", "no"] })),
  };
}
/** Each cause has a check of its own that it alone answers with yes. */
function ownChecks(given: Readonly<Record<string, readonly [weight: number, minutes: number]>>): FaultTable {
  const all = Object.entries(given);
  return {
    causes: all.map(([id, [weight]]) => ({
      id,
      weight,
      shows: new Map(all.map(([check]) => [check, [check === id ? "yes" : "no"]])),
    })),
    checks: all
      .filter(([, [, minutes]]) => minutes > 0)
      .map(([id, [, minutes]]) => ({ id, minutes, answers: ["yes", "no"] })),
  };
}
function tableOf(
  rows: Readonly<Record<string, readonly [weight: number, answers: string]>>,
  minutes: readonly number[],
): FaultTable {
  return {
    causes: Object.entries(rows).map(([id, [weight, answers]]) => ({
      id,
      weight,
      shows: new Map([...answers].map((answer, i) => [`t${i + 1}`, [answer]])),
    })),
    checks: minutes.map((m, i) => ({ id: `t${i + 1}`, minutes: m, answers: ["0", "1"] })),
  };
}

describe("published", () => {
  // D. A. Huffman, "A method for the construction of minimum-redundancy codes", Proc. IRE 40 (9), 1952, table I.
  const huffman = [0.2, 0.18, 0.1, 0.1, 0.1, 0.06, 0.06, 0.04, 0.04, 0.04, 0.04, 0.03, 0.01];

  test("Huffman 1952, second table, two symbols: 2.80 with every yes-no test (CV-260)", () => {
    const order = solved(allSubsetTests([0.22, 0.2, 0.18, 0.15, 0.1, 0.08, 0.05, 0.02]));
    expect(order.mean).toBeCloseTo(2.8, 9);
    expect(order.bits).toBeCloseTo(2.7535, 4);
  });
  test("his table I: 3.42 with all 4095 tests, and never less with some of them (CV-257, CV-258, CV-259)", () => {
    const order = solved(allSubsetTests(huffman));
    expect(order.isExact).toBe(true);
    expect(order.mean).toBeCloseTo(3.42, 9);
    expect(order.bits).toBeCloseTo(3.35456, 5);
    expect(order.fromEntropy).toBeCloseTo(3.35456, 5);
    const chance = chanceFrom(29);
    const { causes, checks } = allSubsetTests(huffman);
    for (let i = 0; i < 50; i++) {
      const some = solved({ causes, checks: checks.filter(() => chance() < 0.005).slice(0, 24) });
      // Where some causes are left together, less is enough.
      if (some.bits > 3.3545) expect(some.mean).toBeGreaterThanOrEqual(3.42 - 1e-9);
    }
  });
  test("13 causes alike often: 49/13 (CV-261, Huffman's method on equal weights)", () => {
    // Tests by the digits of a code with three words of three digits and ten of four.
    const words = [
      ...["000", "001", "010"],
      ...["0110", "0111", "1000", "1001", "1010", "1011", "1100", "1101", "1110", "1111"],
    ];
    const prefixes = [...new Set(words.flatMap((word) => [...word].map((_, k) => word.slice(0, k))))];
    const order = solved({
      causes: words.map((id) => ({
        id,
        weight: 1,
        shows: new Map(prefixes.map((p) => [`t${p}`, [id.startsWith(`${p}1`) ? "yes" : "no"]])),
      })),
      checks: prefixes.map((p) => ({ id: `t${p}`, minutes: 1, answers: ["yes", "no"] })),
    });
    expect(order.mean).toBeCloseTo(49 / 13, 9);
    expect(order.bits).toBeCloseTo(Math.log2(13), 9);
  });

  // Ratio rule: W. E. Smith 1956; L. G. Mitten, "An analytic solution to the least cost testing sequence problem", 1960.
  const abcd = { a: [0.45, 12], b: [0.3, 5], c: [0.15, 6], d: [0.1, 1] } as const;
  test("one fault, every check made until it is found: D B A C, 13.60 (CV-272)", () => {
    // A cause that never happens, and shows nothing anywhere, keeps the last check from being left out.
    const order = solved(ownChecks({ ...abcd, e: [0, 0] }));
    expect(order.mean).toBeCloseTo(13.6, 9);
    expect(checksAlong(order.strategy)).toEqual(["d", "b", "a", "c"]);
    const table = ownChecks({ ...abcd, e: [0, 0] });
    for (const [asked, mean] of [
      [["a", "b", "c", "d"], 16.35],
      [["d", "b", "c", "a"], 14.5],
      [["c", "a", "b", "d"], 18.3],
    ] as const)
      expect(costOf(table, strategyInOrder(table, asked)).mean).toBeCloseTo(mean, 9);
  });
  test("the last cause is inferred: D B C A, 9.10, where the ratio rule costs 12.70 (CV-273, all 24 orders)", () => {
    const table = ownChecks(abcd);
    const order = solved(table);
    expect(order.mean).toBeCloseTo(9.1, 9);
    expect(checksAlong(order.strategy)).toEqual(["d", "b", "c"]);
    expect(costOf(table, strategyInOrder(table, ["d", "b", "a", "c"])).mean).toBeCloseTo(12.7, 9);
  });
  test("independent checks until the first fails: 1 2 4 3, 8.860 (CV-274, Mitten 1960; Butterworth 1972)", () => {
    // The cause shows any of ten answers, one that never happens only some of them: a check rules that out with chance q.
    const c = [4, 9, 2, 6];
    const q = [5, 9, 1, 4];
    const answers = [..."0123456789"];
    const table: FaultTable = {
      causes: [
        { id: "there", weight: 1, shows: new Map() },
        { id: "never", weight: 0, shows: new Map(q.map((tenths, i) => [`t${i + 1}`, answers.slice(tenths)])) },
      ],
      checks: c.map((minutes, i) => ({ id: `t${i + 1}`, minutes, answers })),
    };
    const order = solved(table);
    expect(order.mean).toBeCloseTo(8.86, 9);
    expect(checksAlong(order.strategy)).toEqual(["t1", "t2", "t4", "t3"]);
    const inOrder = (...asked: string[]): number => costOf(table, strategyInOrder(table, asked)).mean;
    expect(inOrder("t1", "t2", "t3", "t4")).toBeCloseTo(8.87, 9);
    expect(inOrder("t3", "t4", "t2", "t1")).toBeCloseTo(12.476, 9);
  });

  test("six states, five tests: 2.18 (CV-280; Pattipati and Alexandridis 1990, Raghavan, Shakeri and Pattipati 1999)", () => {
    const table = tableOf(
      {
        s0: [0.7, "00000"],
        s1: [0.01, "01001"],
        s2: [0.02, "00110"],
        s3: [0.1, "10011"],
        s4: [0.05, "11000"],
        s5: [0.12, "11110"],
      },
      [1, 1, 1, 1, 1],
    );
    const order = solved(table);
    expect(order.mean).toBeCloseTo(2.18, 9);
    expect(order.bits).toBeCloseTo(1.454874, 5);
    expect(order.strategy).toMatchObject({ check: "t2" });
  });
  test("five causes, four tests with costs: 2.70, where bits a minute alone lead to 3.00 (CV-282, CV-283)", () => {
    const table = tableOf(
      { c1: [0.2, "0010"], c2: [0.4, "1000"], c3: [0.05, "0001"], c4: [0.1, "0000"], c5: [0.25, "0111"] },
      [2, 1, 1, 1],
    );
    const order = solved(table);
    expect(order.mean).toBeCloseTo(2.7, 9);
    expect(order.strategy).toMatchObject({ check: "t3" });
    // Tried to their ends, the greediest few find it too.
    expect(bestOrder(table, { exact: 0, bounded: 1000 })).toMatchObject({
      isExact: false,
      mean: expect.closeTo(2.7, 9),
    });
  });
  test("states with equal rows are left together (CV-287)", () => {
    const order = solved(tableOf({ s0: [1, "01"], s1: [2, "01"], s2: [1, "11"] }, [3, 5]));
    expect(order.strategy).toMatchObject({
      check: "t1",
      next: new Map([
        ["0", { kind: "left", causes: ["s0", "s1"] }],
        ["1", { kind: "left", causes: ["s2"] }],
      ]),
    });
    expect(order).toMatchObject({ mean: 3, worst: 3, isExact: true });
  });
});

/** J. R. Quinlan, "Induction of decision trees", Machine Learning 1, 1986, table 1: outlook, temperature, humidity, windy, class. */
const weather = `sunny,hot,high,false,N sunny,hot,high,true,N overcast,hot,high,false,P rain,mild,high,false,P
rain,cool,normal,false,P rain,cool,normal,true,N overcast,cool,normal,true,P sunny,mild,high,false,N
sunny,cool,normal,false,P rain,mild,normal,false,P sunny,mild,normal,true,P overcast,mild,high,true,P
overcast,hot,normal,false,P rain,mild,high,true,N`
  .split(/\s+/)
  .map((row) => row.split(","));

describe("information", () => {
  const told = (column: number, rows = weather): number => {
    const values = [...new Set(rows.map((row) => row[column]))];
    return gain(
      values.map((value) =>
        ["P", "N"].map((kind) => rows.filter((row) => row[column] === value && row[4] === kind).length),
      ),
    );
  };
  test("the gains of Quinlan's 14 rows (CV-264, CV-265)", () => {
    expect(bits([9, 5])).toBeCloseTo(0.940286, 6);
    expect([0, 2, 3, 1].map((column) => told(column))).toEqual(
      [0.24675, 0.151836, 0.048127, 0.029223].map((published) => expect.closeTo(published, 6)),
    );
  });
  test("his second level (CV-268, CV-269)", () => {
    const sunny = weather.filter(([outlook]) => outlook === "sunny");
    const rain = weather.filter(([outlook]) => outlook === "rain");
    expect([2, 1, 3].map((column) => told(column, sunny))).toEqual(
      [0.970951, 0.570951, 0.019973].map((published) => expect.closeTo(published, 6)),
    );
    expect([3, 1, 2].map((column) => told(column, rain))).toEqual(
      [0.970951, 0.019973, 0.019973].map((published) => expect.closeTo(published, 6)),
    );
  });
  test("entropy of small sets (CV-262, Shannon 1948)", () => {
    expect([[1, 1], [1, 1, 1, 1], [9, 5], [1, 0], [0.9, 0.1], []].map(bits)).toEqual(
      [1, 2, 0.940286, 0, 0.468996, 0].map((published) => expect.closeTo(published, 6)),
    );
  });
  test("what is told and what is left add up (CV-263, Shannon's grouping property)", () => {
    expect(bits([0.5, 0.3, 0.2])).toBeCloseTo(1.48548, 5);
    expect(
      gain([
        [0.5, 0, 0],
        [0, 0.3, 0.2],
      ]),
    ).toBeCloseTo(1, 9);
    expect(1 + 0.5 * bits([0.3, 0.2])).toBeCloseTo(bits([0.5, 0.3, 0.2]), 9);
  });
  test("the 14 rows as a fault table, all and in part, against sets of causes", () => {
    const rows = weather.map((row, i) => ({
      id: `row-${String(i + 1).padStart(2, "0")}`,
      weight: 1,
      shows: new Map(["outlook", "temperature", "humidity", "windy"].map((id, column) => [id, [row[column] ?? ""]])),
    }));
    const checks = ["outlook", "temperature", "humidity", "windy"].map((id, column) => ({
      id,
      minutes: [3, 4, 2, 1][column] ?? 1,
      answers: [...new Set(weather.map((row) => row[column] ?? ""))],
    }));
    const chance = chanceFrom(31);
    for (let i = 0; i < 200; i++) {
      const causes = i === 0 ? rows : rows.filter(() => chance() < 0.6);
      if (causes.length === 0) continue;
      const table = { causes, checks };
      const order = solved(table);
      expect(order.mean).toBeCloseTo(leastBySets(table), 9);
      const bounded = bestOrder(table, { exact: 0, bounded: 10_000 }) ?? expect.fail("gave up");
      expect(bounded.mean).toBeGreaterThanOrEqual(order.mean - 1e-9);
      expect(bounded.mean - bounded.gap).toBeLessThanOrEqual(order.mean + 1e-9);
    }
  });
});

/**
 * Ends of games of noughts and crosses (D. W. Aha, "Tic-Tac-Toe Endgame", UCI Machine Learning Repository, 1991), those
 * 937 of 958 that the package ships: what stands on the nine squares, and whether cross has won. A board is a cause; a
 * look at a square is a check, and so is the question whether cross has won.
 */
describe("a classical data set as a fault table", () => {
  type Game = (typeof ticTacToe.data)[number];
  const columns = [...ticTacToe.features, "classification"] as (keyof Game)[];
  /** Boards that are alike in all columns are one cause, as often as there are such. */
  const tableFrom = (games: readonly Game[], seen: readonly (keyof Game)[]): FaultTable => {
    const alike = new Map<string, { readonly game: Game; weight: number }>();
    for (const game of games) {
      const key = seen.map((column) => game[column]).join(" ");
      const known = alike.get(key);
      if (known) known.weight++;
      else alike.set(key, { game, weight: 1 });
    }
    return {
      causes: [...alike].map(([id, { game, weight }]) => ({
        id,
        weight,
        shows: new Map(seen.map((column) => [column, [game[column]]])),
      })),
      checks: seen.map((id) => ({
        id,
        // Squares beside each other cost different minutes, so that what tells most a minute differs from what tells most.
        minutes: [2, 5, 3, 7, 1, 4, 6, 2, 3, 9][columns.indexOf(id)] ?? 1,
        answers: id === "classification" ? ["positive", "negative"] : ["x", "o", "b"],
      })),
    };
  };
  const some = <T>(all: readonly T[], count: number, chance: Chance): T[] => {
    const left = [...all];
    return Array.from({ length: count }, () => left.splice(Math.floor(chance() * left.length), 1)[0] as T);
  };

  test("it is what its author describes: ends of games, and whether cross has won", () => {
    expect(ticTacToe.features.length).toBe(9);
    expect(ticTacToe.data.length).toBe(937);
    const wins = ["012", "345", "678", "036", "147", "258", "048", "246"];
    for (const game of ticTacToe.data) {
      const board = ticTacToe.features.map((square) => game[square as keyof Game]);
      const hasWon = wins.some((line) => [...line].every((place) => board[Number(place)] === "x"));
      expect(game.classification).toBe(hasWon ? "positive" : "negative");
    }
  });

  test("small parts: the best order is that of all strategies, each tried to its end", () => {
    const chance = chanceFrom(1991);
    for (let i = 0; i < 300; i++) {
      const table = tableFrom(some(ticTacToe.data, 3 + (i % 6), chance), some(columns, 3 + (i % 2), chance));
      const order = solved(table);
      expect(order.isExact).toBe(true);
      expect(order.mean).toBeCloseTo(leastOfAll(table), 9);
      expect(order.mean).toBeCloseTo(played(table, order.strategy).mean, 9);
    }
  });

  test("parts of 16 boards with all that can be asked of them, by sets; the bounded search stays within its gap", () => {
    const chance = chanceFrom(958);
    for (let i = 0; i < 40; i++) {
      const table = tableFrom(some(ticTacToe.data, 16, chance), columns);
      const least = leastBySets(table);
      const order = solved(table);
      expect(order.isExact).toBe(true);
      expect(order.mean).toBeCloseTo(least, 9);
      const bounded = bestOrder(table, { exact: 0, bounded: 100_000 }) ?? expect.fail("gave up");
      expect(bounded.mean).toBeGreaterThanOrEqual(least - 1e-9);
      expect(bounded.mean - bounded.gap).toBeLessThanOrEqual(least + 1e-9);
      expect(bounded.fromEntropy).toBeLessThanOrEqual(least + 1e-9);
    }
  });

  test("all 937 boards: no order undercuts the bound, and the bounded search is as near as it says", () => {
    const table = tableFrom(ticTacToe.data, columns);
    const least = leastBySets(table);
    const bounded = bestOrder(table, { exact: 0, bounded: 1_000_000 }) ?? expect.fail("gave up");
    expect(bounded.isExact).toBe(false);
    expect(bounded.mean).toBeGreaterThanOrEqual(least - 1e-9);
    expect(bounded.mean - bounded.gap).toBeLessThanOrEqual(least + 1e-9);
    expect(bounded.mean).toBeLessThan(least * 1.1);
  });
});

describe("Bayes", () => {
  test.each([
    ["Eddy 1982, as told by Gigerenzer: mammography (CV-288)", 0.01, 0.8, 0.096, 0.0776],
    ["a teaching note (CV-289)", 0.005, 0.95, 0.01, 0.3231],
    ["Gigerenzer et al. 2007 (CV-290)", 0.01, 0.9, 0.09, 0.0917],
    ["Casscells et al. 1978 (CV-291)", 0.001, 1, 0.05, 0.0196],
    ["the cab problem, Tversky and Kahneman (CV-291)", 0.15, 0.8, 0.2, 0.4138],
  ])("%s", (_, prior, shown, falsely, posterior) => {
    expect(update([prior, 1 - prior], [shown, falsely])?.[0]).toBeCloseTo(posterior, 4);
  });
  test("odds: likelihood ratio 4, twice (CV-292)", () => {
    const once = update([0.2, 0.8], [0.8, 0.2]) ?? [];
    expect(once[0]).toBeCloseTo(0.5, 12);
    expect(update(once, [0.8, 0.2])?.[0]).toBeCloseTo(0.8, 12);
  });
  test("three causes, one test (CV-293)", () => {
    const near = (...all: number[]) => all.map((one) => expect.closeTo(one, 4));
    expect(update([0.5, 0.3, 0.2], [0.9, 0.2, 0.1])).toEqual(near(0.8491, 0.1132, 0.0377));
    expect(update([0.5, 0.3, 0.2], [0.1, 0.8, 0.9])).toEqual(near(0.1064, 0.5106, 0.383));
  });
  test("what can't be is not divided by (CV-294)", () => {
    expect(update([0.5, 0.5], [0, 0])).toBeUndefined();
  });
  test("a cause that is spoken against stays, with nothing; one that may show anything is spread", () => {
    const suspects = [
      { id: "seal", weight: 2, shows: new Map([["drain", ["runs"]]]) },
      { id: "piston", weight: 1, shows: new Map() },
      { id: "bypass", weight: 5, shows: new Map([["drain", ["dry"]]]) },
    ];
    const drain = { check: "drain", answers: ["runs", "drips", "dry", "unseen"], answer: "runs" };
    expect(shares(suspects, [drain])).toEqual([8 / 9, 1 / 9, 0].map((one) => expect.closeTo(one, 12)));
    expect(shares(suspects, [])).toEqual([0.25, 0.125, 0.625]);
    expect(shares(suspects.slice(2), [drain])).toBeUndefined();
    expect(likelihood([], ["yes", "no"], "yes")).toBe(0.5);
  });
  test("shares agree with counting worlds that may be", () => {
    const chance = chanceFrom(37);
    for (let i = 0; i < 500; i++) {
      const table = small(chance, { unstated: 0.3, two: 0.3 });
      const worlds = allPossible(table);
      const there = worlds[Math.floor(chance() * worlds.length)] ?? expect.fail("nothing is possible");
      const asked = table.checks.filter(() => chance() < 0.6);
      const given = asked.map(({ id, answers }) => ({ check: id, answers, answer: there.answers.get(id) ?? "" }));
      const counted = shareByCause(
        worlds.filter(({ answers }) => given.every(({ check, answer }) => answers.get(check) === answer)),
      );
      expect(shares(table.causes, given)).toEqual(
        table.causes.map(({ id }) => expect.closeTo(counted.get(id) ?? 0, 9)),
      );
    }
  });
});
