/** Random fault tables, the same for the same seed: for the tests and for the bench. */
import type { FaultTable } from "../compiler/5-analyse/order/table.ts";

export type Chance = () => number;
/** 0 to below 1: Mulberry32, a public-domain generator. */
export function chanceFrom(seed: number): Chance {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

export interface Kind {
  readonly causes: number;
  readonly checks: number;
  /** How many answers a check has, at the most; at least two. */
  readonly answers: number;
  /** How often a cause is not stated at a check, and how often it shows two answers. */
  readonly unstated: number;
  readonly two: number;
  /** States with a price; three checks in ten need one. */
  readonly states: number;
}

export function randomTable(chance: Chance, { causes, checks, answers, unstated, two, states }: Kind): FaultTable {
  const upTo = (most: number): number => Math.floor(chance() * most);
  const names = ["clear", "faint", "loud", "steady"];
  const asked = Array.from({ length: checks }, (_, c) => ({
    id: `check-${c}`,
    minutes: 1 + upTo(20),
    answers: names.slice(0, 2 + upTo(answers - 1)),
    needs: states > 0 && chance() < 0.3 ? [`state-${upTo(states)}`] : [],
  }));
  return {
    causes: Array.from({ length: causes }, (_, i) => ({
      id: `cause-${i}`,
      weight: 1 + upTo(30),
      shows: new Map(
        asked.flatMap(({ id, answers: all }) => {
          if (chance() < unstated) return [];
          const one = all[upTo(all.length)] ?? "";
          return [[id, chance() < two ? [...new Set([one, all[upTo(all.length)] ?? ""])] : [one]] as const];
        }),
      ),
    })),
    checks: asked,
    setUp: new Map(Array.from({ length: states }, (_, i) => [`state-${i}`, 1 + upTo(12)])),
  };
}
