/**
 * Strategies by plain enumeration: every world that may be is listed, a cause with its answer to each check, and every
 * order of asking is tried to its end. Knows nothing of the compiler's search, and is meant to be obviously right.
 */
import type { Strategy } from "../../compiler/5-analyse/order/strategy.ts";
import type { FaultTable } from "../../compiler/5-analyse/order/table.ts";

/** A world that may be: a cause, and what would be answered to each check. */
interface Possible {
  readonly cause: string;
  readonly answers: ReadonlyMap<string, string>;
  readonly chance: number;
}

export function allPossible({ causes, checks }: FaultTable): Possible[] {
  const total = causes.reduce((sum, { weight }) => sum + weight, 0);
  return causes.flatMap(({ id, weight, shows }) => {
    let worlds: Possible[] = [{ cause: id, answers: new Map(), chance: weight / total }];
    for (const check of checks) {
      const can = shows.get(check.id) ?? check.answers;
      worlds = worlds.flatMap((world) =>
        can.map((answer) => ({
          cause: id,
          answers: new Map([...world.answers, [check.id, answer]]),
          chance: world.chance / can.length,
        })),
      );
    }
    return worlds;
  });
}

function split(worlds: readonly Possible[], check: string): Possible[][] {
  const parts = new Map<string, Possible[]>();
  for (const world of worlds) {
    const answer = world.answers.get(check) ?? "";
    parts.set(answer, [...(parts.get(answer) ?? []), world]);
  }
  return [...parts.values()];
}
const mass = (worlds: readonly Possible[]): number => worlds.reduce((sum, { chance }) => sum + chance, 0);
export function shareByCause(worlds: readonly Possible[]): Map<string, number> {
  const shared = new Map<string, number>();
  for (const { cause, chance } of worlds) shared.set(cause, (shared.get(cause) ?? 0) + chance / mass(worlds));
  return shared;
}

/** Whether some answer would change what is thought of the causes. */
function tellsSomething(worlds: readonly Possible[], check: string): boolean {
  const before = shareByCause(worlds);
  return split(worlds, check).some((part) => {
    const after = shareByCause(part);
    return [...before].some(([cause, share]) => Math.abs((after.get(cause) ?? 0) - share) > 1e-9);
  });
}

/** The least of the costs of all strategies, each tried to its end. */
export function leastOfAll(table: FaultTable): number {
  const from = (worlds: readonly Possible[], asked: readonly string[], up: readonly string[]): number => {
    const open = table.checks.filter(({ id }) => !asked.includes(id) && tellsSomething(worlds, id));
    if (open.length === 0) return 0;
    return Math.min(
      ...open.map(({ id, minutes, needs = [] }) => {
        const missing = needs.filter((state) => !up.includes(state));
        const setUp = missing.reduce((sum, state) => sum + (table.setUp?.get(state) ?? 0), 0);
        return split(worlds, id).reduce(
          (sum, part) => sum + from(part, [...asked, id], [...up, ...missing]),
          mass(worlds) * (minutes + setUp),
        );
      }),
    );
  };
  return from(allPossible(table), [], []);
}

/** What a strategy costs, by playing every world that may be. */
export function played(table: FaultTable, strategy: Strategy): { mean: number; worst: number } {
  let mean = 0;
  let worst = 0;
  for (const world of allPossible(table)) {
    let at: Strategy | undefined = strategy;
    let minutes = 0;
    const up = new Set<string>();
    while (at?.kind === "ask") {
      const { check }: { check: string } = at;
      const { minutes: own = 0, needs = [] } = table.checks.find(({ id }) => id === check) ?? {};
      minutes += own;
      for (const state of needs) {
        if (!up.has(state)) minutes += table.setUp?.get(state) ?? 0;
        up.add(state);
      }
      at = at.next.get(world.answers.get(check) ?? "");
    }
    mean += world.chance * minutes;
    worst = Math.max(worst, minutes);
  }
  return { mean, worst };
}

/** The same by sets of causes, for larger tables where each cause shows one answer everywhere and nothing needs a state. */
export function leastBySets({ causes, checks }: FaultTable): number {
  const total = causes.reduce((sum, { weight }) => sum + weight, 0);
  const known = new Map<string, number>();
  const from = (left: readonly number[]): number => {
    const key = left.join();
    let least = known.get(key);
    if (least !== undefined) return least;
    least = 0;
    const weight = left.reduce((sum, i) => sum + (causes[i]?.weight ?? 0), 0) / total;
    const costs = checks.flatMap(({ id, minutes, answers }) => {
      const parts = answers
        .map((answer) => left.filter((i) => causes[i]?.shows.get(id)?.[0] === answer))
        .filter((part) => part.length > 0);
      return parts.length < 2 ? [] : [parts.reduce((sum, part) => sum + from(part), weight * minutes)];
    });
    if (costs.length > 0) least = Math.min(...costs);
    known.set(key, least);
    return least;
  };
  return from([...causes.keys()]);
}
