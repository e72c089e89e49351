/** What the exact best order takes: 50 random tables of 16 causes and 24 checks with 2 to 4 answers, of each kind. */
import { bestOrder } from "../../compiler/5-analyse/order/order.ts";
import { chanceFrom, randomTable } from "../random-tables.ts";

const TABLES = 50;
const KINDS = {
  "all stated, nothing to set up": { unstated: 0, two: 0, states: 0 },
  "one in ten not stated, four states": { unstated: 0.1, two: 0.05, states: 4 },
  "three in ten not stated, three states": { unstated: 0.3, two: 0.05, states: 3 },
};

interface Measured {
  readonly kind: string;
  readonly medianMs: number;
  readonly worstMs: number;
  /** Tables of `TABLES` for which the search was exact. */
  readonly exact: number;
  readonly tables: number;
}

export function measureOrder(): readonly Measured[] {
  const chance = chanceFrom(16);
  return Object.entries(KINDS).map(([kind, rest]) => {
    const times: number[] = [];
    let exact = 0;
    for (let i = 0; i < TABLES; i++) {
      const table = randomTable(chance, { causes: 16, checks: 24, answers: 4, ...rest });
      const start = performance.now();
      const order = bestOrder(table);
      times.push(performance.now() - start);
      if (order?.isExact) exact++;
    }
    times.sort((a, b) => a - b);
    return { kind, medianMs: times[TABLES / 2] ?? 0, worstMs: times.at(-1) ?? 0, exact, tables: TABLES };
  });
}
