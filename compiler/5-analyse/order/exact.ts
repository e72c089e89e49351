/**
 * The best strategy, exactly: dynamic programming over the sets of causes still possible, with bounds that leave most of
 * them out. Where causes spread over answers, which of the open checks were asked belongs to the set, and where checks
 * need states, which of these are up. Sets are bits of a number; weights lie on a stack, one row for each check on the way.
 */
import { leastMinutes } from "./bound.ts";
import type { Strategy } from "./strategy.ts";
import type { Prepared } from "./table.ts";

export const MOST = { causes: 16, checks: 24, states: 12 } as const;
/** Beyond `MOST.checks` bits of a key. */
const STATES = 2 ** MOST.checks;
/** Two means nearer than this are one: sums in another order differ so much. In minutes. */
const NEAR = 1e-10;

/**
 * @param below Mean minutes that are of interest: with less to look for, less is looked into.
 * @returns Without a strategy when none is below; undefined when more than `budget` sets would have to be looked into.
 */
export function exactly(
  prepared: Prepared,
  budget: number,
  below: number,
): { strategy: Strategy | undefined; nodes: number } | undefined {
  const search = new Search(prepared, budget);
  const cost = search.run(below);
  if (search.nodes > budget) return undefined;
  return { strategy: cost < below ? search.strategy() : undefined, nodes: search.nodes };
}

class Search {
  nodes = 0;
  readonly #table: Prepared;
  readonly #budget: number;
  readonly #n: number;
  readonly #m: number;
  /** By check and answer: the causes that can show it. */
  readonly #can: readonly (readonly number[])[];
  /** By check and cause: 1 / the number of answers it can show. */
  readonly #chance: Float64Array;
  readonly #needs: readonly number[];
  /** By set of states: minutes to bring them about. */
  readonly #setUp: Float64Array;
  /** By set of causes: the checks that tell some of them apart; -1 when not known yet. */
  readonly #telling: Int32Array;
  /** By set of causes: further entries, by asked checks and states that are up. The entry of neither has the set's number. */
  readonly #entries: (Map<number, number> | undefined)[];
  /** By entry, in mean minutes: exact where `best` is a check, else no strategy is below it; NaN when not known yet. */
  readonly #least: number[];
  readonly #best: number[];
  readonly #stack: Float64Array;
  readonly #left = new Int32Array(MOST.causes);
  readonly #weight = new Float64Array(MOST.causes);
  readonly #isOpen = new Uint8Array(MOST.checks);

  constructor(table: Prepared, budget: number) {
    const { causes, checks, setUp } = table;
    this.#table = table;
    this.#budget = budget;
    this.#n = causes.length;
    this.#m = checks.length;
    this.#can = checks.map(({ answers, shows }) =>
      answers.map((_, a) => shows.reduce((set, one, i) => (one.includes(a) ? set | (1 << i) : set), 0)).filter(Boolean),
    );
    this.#chance = new Float64Array(this.#m * this.#n);
    for (const [c, { shows }] of checks.entries())
      for (const [i, one] of shows.entries()) this.#chance[c * this.#n + i] = 1 / one.length;
    this.#needs = checks.map(({ needs }) => needs.reduce((set, state) => set | (1 << state), 0));
    this.#setUp = new Float64Array(1 << setUp.length);
    for (let set = 1; set < this.#setUp.length; set++) {
      const lowest = 31 - Math.clz32(set & -set);
      this.#setUp[set] = (this.#setUp[set & (set - 1)] as number) + (setUp[lowest] as number);
    }
    const sets = 1 << this.#n;
    this.#telling = new Int32Array(sets).fill(-1);
    this.#entries = new Array(sets);
    this.#least = new Array(sets).fill(Number.NaN);
    this.#best = new Array(sets).fill(-1);
    this.#stack = new Float64Array((this.#m + 1) * this.#n);
  }

  /** Mean minutes of the best strategy; not below `below` when that is not either. */
  run(below: number): number {
    for (const [i, { weight }] of this.#table.causes.entries()) this.#stack[i] = weight;
    const total = this.#table.causes.reduce((sum, { weight }) => sum + weight, 0);
    return this.#solve(0, 2 ** this.#n - 1, 0, 0, below * total) / total;
  }

  #tells(set: number): number {
    const known = this.#telling[set] as number;
    if (known >= 0) return known;
    let telling = 0;
    if (set & (set - 1))
      for (let c = 0; c < this.#m; c++)
        for (const can of this.#can[c] as readonly number[]) {
          const part = can & set;
          if (part !== 0 && part !== set) {
            telling |= 1 << c;
            break;
          }
        }
    this.#telling[set] = telling;
    return telling;
  }

  #entry(set: number, asked: number, up: number): number {
    const telling = this.#tells(set);
    let needed = 0;
    if (up) for (let c = telling & ~asked; c; c &= c - 1) needed |= this.#needs[31 - Math.clz32(c & -c)] as number;
    const key = (asked & telling) + (up & needed) * STATES;
    if (key === 0) return set;
    const entries = (this.#entries[set] ??= new Map());
    let entry = entries.get(key);
    if (entry === undefined) {
      entry = this.#least.length;
      entries.set(key, entry);
      this.#least.push(Number.NaN);
      this.#best.push(-1);
    }
    return entry;
  }

  /**
   * The least cost from here: minutes times the weight of the causes that come here, which lies on the stack.
   *
   * @param limit A cost at which the caller has something better; what is returned from there on is a bound.
   */
  #solve(depth: number, set: number, asked: number, up: number, limit: number): number {
    const open = this.#tells(set) & ~asked;
    if (open === 0) return 0;
    const n = this.#n;
    const base = depth * n;
    let total = 0;
    for (let rest = set; rest; rest &= rest - 1) total += this.#stack[base + 31 - Math.clz32(rest & -rest)] as number;
    const near = NEAR * total;
    const entry = this.#entry(set, asked, up);
    const known = (this.#least[entry] as number) * total;
    if ((this.#best[entry] as number) >= 0 || known >= limit - near) return known;
    if (++this.nodes > this.#budget) return Number.POSITIVE_INFINITY;

    const checks: number[] = [];
    const least: number[] = [];
    for (let rest = open; rest; rest &= rest - 1) {
      const c = 31 - Math.clz32(rest & -rest);
      let cost = this.#ask(c, up) * total;
      for (const can of this.#can[c] as readonly number[])
        if (can & set) cost += this.#leastOf(base, set & can, c, asked | (1 << c), up | (this.#needs[c] as number));
      // Kept in order as they come; ids decide between equals.
      let at = checks.length;
      while (at > 0 && (least[at - 1] as number) > cost) {
        checks[at] = checks[at - 1] as number;
        least[at] = least[at - 1] as number;
        at--;
      }
      checks[at] = c;
      least[at] = cost;
    }

    let best = limit;
    let check = -1;
    let bound = Number.POSITIVE_INFINITY;
    for (let k = 0; k < checks.length; k++) {
      if ((least[k] as number) >= best - near) {
        bound = Math.min(bound, least[k] as number);
        break;
      }
      const c = checks[k] as number;
      const askedNow = asked | (1 << c);
      const upNow = up | (this.#needs[c] as number);
      // Asked again, since more may be known by now.
      const assumed: number[] = [];
      let cost = this.#ask(c, up) * total;
      for (const can of this.#can[c] as readonly number[]) {
        const part = can & set ? this.#leastOf(base, set & can, c, askedNow, upNow) : 0;
        assumed.push(part);
        cost += part;
      }
      for (const [a, can] of (this.#can[c] as readonly number[]).entries()) {
        if (cost >= best - near) break;
        const part = can & set;
        if ((part & (part - 1)) === 0) continue;
        for (let rest = part; rest; rest &= rest - 1) {
          const i = 31 - Math.clz32(rest & -rest);
          this.#stack[base + n + i] = (this.#stack[base + i] as number) * (this.#chance[c * n + i] as number);
        }
        const before = assumed[a] as number;
        cost += this.#solve(depth + 1, part, askedNow, upNow, best - cost + before) - before;
      }
      if (this.nodes > this.#budget) return Number.POSITIVE_INFINITY;
      if (cost < best - near) {
        best = cost;
        check = c;
      } else bound = Math.min(bound, cost);
    }
    if (check >= 0) {
      this.#best[entry] = check;
      this.#least[entry] = best / total;
      return best;
    }
    this.#least[entry] = Math.max(known / total || 0, bound / total);
    return Math.max(bound, limit);
  }

  #ask(c: number, up: number): number {
    const { minutes } = this.#table.checks[c] as Prepared["checks"][number];
    return minutes + (this.#setUp[(this.#needs[c] as number) & ~up] as number);
  }

  /** What is known of a part of a set behind check `c`, or bounds say of it. */
  #leastOf(base: number, part: number, c: number, asked: number, up: number): number {
    if ((part & (part - 1)) === 0) return 0;
    const open = this.#tells(part) & ~asked;
    if (open === 0) return 0;
    const n = this.#n;
    let count = 0;
    let total = 0;
    for (let rest = part; rest; rest &= rest - 1) {
      const i = 31 - Math.clz32(rest & -rest);
      const weight = (this.#stack[base + i] as number) * (this.#chance[c * n + i] as number);
      this.#left[count] = i;
      this.#weight[count++] = weight;
      total += weight;
    }
    const entry = this.#entry(part, asked, up);
    const known = this.#least[entry] as number;
    if (!Number.isNaN(known)) return known * total;
    for (let check = 0; check < this.#m; check++) this.#isOpen[check] = (open >>> check) & 1;
    const least = leastMinutes(this.#table, this.#left, count, this.#weight, this.#isOpen);
    this.#least[entry] = least;
    return least * total;
  }

  /** Of a search that is done. Equal sets share one strategy. */
  strategy(): Strategy {
    const { causes, checks } = this.#table;
    const made = new Map<number, Strategy>();
    const from = (set: number, asked: number, up: number): Strategy => {
      if ((this.#tells(set) & ~asked) === 0)
        return { kind: "left", causes: causes.flatMap(({ ids }, i) => ((set >>> i) & 1 ? ids : [])).sort() };
      const entry = this.#entry(set, asked, up);
      const before = made.get(entry);
      if (before) return before;
      const c = this.#best[entry] as number;
      const check = checks[c] as Prepared["checks"][number];
      const next = new Map<string, Strategy>();
      for (const [a, answer] of check.answers.entries()) {
        const part = check.shows.reduce((so, one, i) => ((set >>> i) & 1 && one.includes(a) ? so | (1 << i) : so), 0);
        if (part) next.set(answer, from(part, asked | (1 << c), up | (this.#needs[c] as number)));
      }
      const strategy: Strategy = { kind: "ask", check: check.id, next };
      made.set(entry, strategy);
      return strategy;
    };
    return from(2 ** this.#n - 1, 0, 0);
  }
}
