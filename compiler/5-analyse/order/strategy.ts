/** A strategy, and what it costs. */
import type { FaultTable } from "./table.ts";

export type Strategy =
  | {
      readonly kind: "ask";
      readonly check: string;
      /** What comes next, by answer; answers that no cause left can show are missing. */
      readonly next: ReadonlyMap<string, Strategy>;
    }
  | {
      readonly kind: "left";
      /** One, or several that nothing tells apart any more; by id. */
      readonly causes: readonly string[];
    };

export interface Cost {
  readonly mean: number;
  /** On the longest way that some cause can take. */
  readonly worst: number;
  /** Mean minutes by cause. */
  readonly byCause: ReadonlyMap<string, number>;
}

/**
 * What any strategy costs, the best or not, with set-up. It may ask what tells nothing, and stop early. A cause that shows
 * an answer for which the strategy has nothing further ends there.
 */
export function costOf(table: FaultTable, strategy: Strategy): Cost {
  const checks = new Map(table.checks.map((check) => [check.id, check]));
  const spent = new Map(table.causes.map(({ id }) => [id, 0]));
  let worst = 0;

  /** @param chances How often each cause comes here. */
  const walk = (
    at: Strategy | undefined,
    chances: ReadonlyMap<string, number>,
    up: ReadonlySet<string>,
    so: number,
  ) => {
    if (at?.kind !== "ask") {
      worst = Math.max(worst, so);
      return;
    }
    const check = checks.get(at.check);
    if (!check) throw new Error(`a strategy asks \`${at.check}\`, which its table does not have`);
    let minutes = check.minutes;
    for (const state of check.needs ?? []) if (!up.has(state)) minutes += table.setUp?.get(state) ?? 0;
    const upNow = check.needs ? new Set([...up, ...check.needs]) : up;
    for (const [cause, chance] of chances) spent.set(cause, (spent.get(cause) ?? 0) + chance * minutes);
    for (const answer of new Set(check.answers)) {
      const going = new Map<string, number>();
      for (const { id, shows } of table.causes) {
        const chance = chances.get(id);
        if (chance === undefined) continue;
        const named = (shows.get(check.id) ?? []).filter((one) => check.answers.includes(one));
        const can = new Set(named.length > 0 ? named : check.answers);
        if (can.has(answer)) going.set(id, chance / can.size);
      }
      if (going.size > 0) walk(at.next.get(answer), going, upNow, so + minutes);
    }
  };
  walk(strategy, new Map(table.causes.map(({ id }) => [id, 1])), new Set(), 0);

  const total = table.causes.reduce((sum, { weight }) => sum + weight, 0);
  const share = (weight: number): number => (total > 0 ? weight / total : 1 / table.causes.length);
  const mean = table.causes.reduce((sum, { id, weight }) => sum + share(weight) * (spent.get(id) ?? 0), 0);
  return { mean, worst, byCause: spent };
}

/**
 * Asks in a fixed order, leaving out what tells nothing about the causes left.
 *
 * @param order Ids of checks; those of the table that are not named are never asked.
 */
export function strategyInOrder(table: FaultTable, order: readonly string[]): Strategy {
  const checks = new Map(table.checks.map((check) => [check.id, check]));
  const from = (left: FaultTable["causes"], rest: readonly string[]): Strategy => {
    for (const [i, id] of rest.entries()) {
      const check = checks.get(id);
      if (!check) throw new Error(`an order asks \`${id}\`, which its table does not have`);
      const shown = left.map(({ shows }) => {
        const named = check.answers.filter((answer) => shows.get(id)?.includes(answer));
        return new Set(named.length > 0 ? named : check.answers);
      });
      const parts = [...new Set(check.answers)]
        .map((answer) => [answer, left.filter((_, cause) => shown[cause]?.has(answer))] as const)
        .filter(([, part]) => part.length > 0);
      if (parts.every(([, part]) => part.length === left.length)) continue;
      const next = new Map(parts.map(([answer, part]) => [answer, from(part, rest.slice(i + 1))]));
      return { kind: "ask", check: id, next };
    }
    return { kind: "left", causes: left.map(({ id }) => id).sort() };
  };
  return from(table.causes, order);
}
