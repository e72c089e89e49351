/** The best order of the checks of a fault table. `table.ts` says what the table means. */
import { bitsToTell, leastMinutes, minutesFor } from "./bound.ts";
import { boundedly } from "./bounded.ts";
import { bySets, suitsSets } from "./by-sets.ts";
import { exactly, MOST } from "./exact.ts";
import { type Cost, costOf, type Strategy } from "./strategy.ts";
import { type FaultTable, type Prepared, prepare } from "./table.ts";

export interface Order extends Cost {
  readonly strategy: Strategy;
  /** True when no strategy is better; else `gap` says how far it can be from the best at the most, in mean minutes. */
  readonly isExact: boolean;
  readonly gap: number;
  /** Bits that the checks tell about the causes: Shannon's entropy of the causes that they tell apart, or a bound of it. */
  readonly bits: number;
  /** No order takes less in the mean, since so many bits have to be told. */
  readonly fromEntropy: number;
  /** Sets of causes that were looked into. */
  readonly nodes: number;
}

/** Sets looked into before the exact search gives up, and the bounded one. */
export interface Budget {
  readonly exact: number;
  readonly bounded: number;
}
const GENEROUS: Budget = { exact: 1_000_000, bounded: 200_000 };

/**
 * Never depends on the order in which causes, checks or answers are listed: they are taken by their ids, which also decide
 * between strategies of the same cost.
 *
 * @returns Exact up to 16 causes that something tells apart, 24 checks that tell something, 12 states with set-up minutes,
 *   as far as the budget goes (and for more checks where each cause shows one answer everywhere and no state is needed);
 *   above that a bounded search. Undefined when no order takes less than `below` minutes on average; and when not even
 *   that search comes to an end: there are too many ways, since too much of the table is not stated.
 */
export function bestOrder(
  table: FaultTable,
  budget: Budget = GENEROUS,
  below = Number.POSITIVE_INFINITY,
): Order | undefined {
  const prepared = prepare(table);
  const { bits, fromEntropy, least } = boundsOf(prepared);
  if (least >= below) return undefined;
  const fits =
    prepared.causes.length <= MOST.causes &&
    prepared.checks.length <= MOST.checks &&
    prepared.setUp.length <= MOST.states;
  const exact = fits
    ? exactly(prepared, budget.exact, below)
    : budget.exact > 0 && suitsSets(prepared)
      ? bySets(prepared)
      : undefined;
  const spent = exact || !fits ? 0 : budget.exact;
  const found = exact ?? boundedly(prepared, budget.bounded);
  if (!found?.strategy) return undefined;
  const cost = costOf(table, found.strategy);
  if (cost.mean >= below) return undefined;
  return {
    ...cost,
    strategy: found.strategy,
    isExact: exact !== undefined,
    gap: exact ? 0 : Math.max(0, cost.mean - least),
    bits,
    fromEntropy,
    nodes: found.nodes + spent,
  };
}

/** What can be said of any order without a search; no order takes less than `least`, for any reason. */
function boundsOf(prepared: Prepared): { bits: number; fromEntropy: number; least: number } {
  const left = [...prepared.causes.keys()];
  const weight = prepared.causes.map((cause) => cause.weight);
  const isOpen = prepared.checks.map(() => 1);
  const bits = bitsToTell(prepared, left, left.length, weight, isOpen);
  return {
    bits,
    fromEntropy: minutesFor(prepared, bits, left.length, isOpen),
    least: leastMinutes(prepared, left, left.length, weight, isOpen),
  };
}
