/**
 * The best strategy for tables with more checks than `exact.ts` has bits for, where every cause shows one answer at each
 * check and nothing has to be brought about: then only the set of causes matters, and all sets are gone through.
 */
import type { Strategy } from "./strategy.ts";
import type { Prepared } from "./table.ts";

/** Sets times checks. */
const MOST = 2 ** 26;

export function suitsSets({ causes, checks, setUp }: Prepared): boolean {
  return (
    causes.length <= 16 &&
    2 ** causes.length * checks.length <= MOST &&
    setUp.length === 0 &&
    checks.every(({ shows }) => shows.every((one) => one.length === 1))
  );
}

export function bySets({ causes, checks }: Prepared): { strategy: Strategy; nodes: number } {
  const sets = 2 ** causes.length;
  const parts = checks.map(({ answers, shows }) =>
    answers.map((_, a) => shows.reduce((set, [one], i) => (one === a ? set | (1 << i) : set), 0)),
  );
  const cost = new Float64Array(sets);
  const best = new Int32Array(sets).fill(-1);
  const weight = new Float64Array(sets);
  for (let set = 1; set < sets; set++) {
    const lowest = 31 - Math.clz32(set & -set);
    weight[set] = (weight[set & (set - 1)] as number) + (causes[lowest]?.weight ?? 0);
    if ((set & (set - 1)) === 0) continue;
    let least = Number.POSITIVE_INFINITY;
    for (const [c, { minutes }] of checks.entries()) {
      let sum = minutes * (weight[set] as number);
      let tells = false;
      for (const part of parts[c] as readonly number[]) {
        const going = part & set;
        if (going === set) break;
        if (going) tells = true;
        sum += cost[going] as number;
      }
      if (tells && sum < least * (1 - 1e-12)) {
        least = sum;
        best[set] = c;
      }
    }
    cost[set] = least;
  }
  const from = (set: number): Strategy => {
    const c = best[set] as number;
    const check = checks[c];
    if (!check) return { kind: "left", causes: causes.flatMap(({ ids }, i) => ((set >>> i) & 1 ? ids : [])).sort() };
    const next = check.answers.flatMap((answer, a) => {
      const part = (parts[c]?.[a] ?? 0) & set;
      return part ? [[answer, from(part)] as const] : [];
    });
    return { kind: "ask", check: check.id, next: new Map(next) };
  };
  return { strategy: from(sets - 1), nodes: sets - 1 };
}
