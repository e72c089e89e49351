/**
 * A good strategy where the best takes too long: at every set of causes the few checks that tell most a minute are tried,
 * each carried on greedily to its ends, and the one is taken that then costs least.
 */
import { gain } from "../../model/evidence.ts";
import type { Strategy } from "./strategy.ts";
import type { Prepared } from "./table.ts";

/** So many of the greediest checks are tried at each set. */
const TRIED = 6;

interface Place {
  /** Causes left, rising, and their weights. */
  readonly left: readonly number[];
  readonly weight: readonly number[];
  readonly asked: ReadonlySet<number>;
  readonly up: ReadonlySet<number>;
}
interface Option {
  readonly check: number;
  readonly minutes: number;
  readonly parts: readonly { readonly answer: number; readonly place: Place }[];
}

/** @returns Undefined when more than `budget` sets would have to be looked into. */
export function boundedly(prepared: Prepared, budget: number): { strategy: Strategy; nodes: number } | undefined {
  const { causes, checks, setUp } = prepared;
  let nodes = 0;
  const greedy = new Map<string, number>();
  const chosen = new Map<string, Strategy>();

  const tells = (check: number, left: readonly number[]): boolean => {
    const kinds = checks[check]?.kinds ?? [];
    return left.some((i) => kinds[i] !== kinds[left[0] ?? 0]);
  };

  /** The checks that tell the causes apart, those that tell most a minute first. */
  const optionsAt = ({ left, weight, asked, up }: Place): readonly Option[] => {
    const found: { readonly option: Option; readonly worth: number }[] = [];
    for (const [c, { minutes: own, answers, needs, shows }] of checks.entries()) {
      if (asked.has(c) || !tells(c, left)) continue;
      const askedNow = new Set([...asked, c]);
      const upNow = needs.length > 0 ? new Set([...up, ...needs]) : up;
      const spread: number[][] = [];
      const parts: { answer: number; place: Place }[] = [];
      for (const answer of answers.keys()) {
        const row = left.map((i, k) => {
          const can = shows[i] as readonly number[];
          return can.includes(answer) ? (weight[k] as number) / can.length : 0;
        });
        const going = row.flatMap((part, k) => (part > 0 ? [k] : []));
        if (going.length === 0) continue;
        spread.push(row);
        parts.push({
          answer,
          place: {
            left: going.map((k) => left[k] as number),
            weight: going.map((k) => row[k] as number),
            asked: askedNow,
            up: upNow,
          },
        });
      }
      const minutes = needs.reduce((sum, state) => sum + (up.has(state) ? 0 : (setUp[state] as number)), own);
      found.push({ option: { check: c, minutes, parts }, worth: gain(spread) / Math.max(minutes, 1e-9) });
    }
    return found.sort((a, b) => b.worth - a.worth || a.option.check - b.option.check).map(({ option }) => option);
  };

  /** Equal for places that differ in nothing that still matters. */
  const keyOf = ({ left, asked, up }: Place): string => {
    const matters = [...asked].filter((c) => tells(c, left));
    return `${left.join()} ${matters.sort((a, b) => a - b).join()} ${[...up].sort((a, b) => a - b).join()}`;
  };
  const total = (place: Place): number => place.weight.reduce((a, b) => a + b, 0);

  /** Minutes times weight, when each check is the greediest. */
  const greedyCost = (place: Place): number => {
    if (place.left.length < 2) return 0;
    const key = keyOf(place);
    const known = greedy.get(key);
    if (known !== undefined) return known * total(place);
    if (++nodes > budget) return 0;
    const [option] = optionsAt(place);
    const cost = option ? tried(place, option) : 0;
    greedy.set(key, cost / total(place));
    return cost;
  };
  const tried = (place: Place, { minutes, parts }: Option): number =>
    parts.reduce((sum, { place: part }) => sum + greedyCost(part), minutes * total(place));

  const choose = (place: Place): Strategy => {
    const key = keyOf(place);
    const before = chosen.get(key);
    if (before) return before;
    let best: Option | undefined;
    let least = Number.POSITIVE_INFINITY;
    for (const option of optionsAt(place).slice(0, TRIED)) {
      const cost = tried(place, option);
      if (cost < least * (1 - 1e-12)) {
        least = cost;
        best = option;
      }
    }
    const ids = (): string[] => place.left.flatMap((i) => causes[i]?.ids ?? []).sort();
    const strategy: Strategy =
      best && ++nodes <= budget
        ? {
            kind: "ask",
            check: checks[best.check]?.id ?? "",
            next: new Map(
              best.parts.map(({ answer, place: part }) => [checks[best.check]?.answers[answer] ?? "", choose(part)]),
            ),
          }
        : { kind: "left", causes: ids() };
    chosen.set(key, strategy);
    return strategy;
  };

  const strategy = choose({
    left: [...causes.keys()],
    weight: causes.map(({ weight }) => weight),
    asked: new Set(),
    up: new Set(),
  });
  return nodes <= budget ? { strategy, nodes } : undefined;
}
