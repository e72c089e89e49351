/**
 * The fault table, and what is worked out of it once.
 *
 * The model. One cause is there; its weight says how often. A check takes minutes and ends in one of its answers. At each
 * check a cause shows one answer, or one of several: then each as often as another, whatever was answered before, and the
 * same again when asked again, so that asking twice tells nothing. A check may need states (the unit bypassed, say); each
 * is brought about once on a way, when a check first needs it, for its set-up minutes, and then stays.
 *
 * A strategy asks until no check that was not asked yet could tell the causes apart that are left. What it costs is the
 * mean of the minutes over causes and what they show. Remedies and their proofs cost the same in any order and are left out.
 */

export interface FaultTable {
  readonly causes: readonly {
    readonly id: string;
    /** Relative to the others; 0 counts as never, and the cause is told apart from the rest all the same. */
    readonly weight: number;
    /** Answers by check; a check that is not named, or without an answer that it knows, may show anything. */
    readonly shows: ReadonlyMap<string, readonly string[]>;
  }[];
  readonly checks: readonly {
    readonly id: string;
    readonly minutes: number;
    readonly answers: readonly string[];
    /** States it needs; those without set-up minutes are free. */
    readonly needs?: readonly string[];
  }[];
  /** Minutes to bring a state about, by state. */
  readonly setUp?: ReadonlyMap<string, number>;
}

/** Without order of its own: causes, checks, answers and states by id. Causes that show the same everywhere are one. */
export interface Prepared {
  readonly causes: readonly PreparedCause[];
  /** Those that tell some causes apart. */
  readonly checks: readonly PreparedCheck[];
  readonly setUp: readonly number[];
  /** For each number of causes left, all checks by minutes per bit that they can tell so many causes at most. */
  readonly cheapest: readonly (readonly {
    readonly check: number;
    readonly bits: number;
    readonly minutes: number;
  }[])[];
  /** For two causes, at `i * causes.length + j`. */
  readonly pairs: readonly Pair[];
}
interface PreparedCause {
  readonly ids: readonly string[];
  /** Share of all causes; never quite 0, so that a cause that never happens is asked for in a sensible order. */
  readonly weight: number;
}
interface PreparedCheck {
  readonly id: string;
  readonly minutes: number;
  readonly answers: readonly string[];
  /** Indices of states. */
  readonly needs: readonly number[];
  /** By cause: indices of answers, rising. */
  readonly shows: readonly (readonly number[])[];
  /** By cause: equal where the same is shown. */
  readonly kinds: readonly string[];
}
interface Pair {
  /**
   * Checks at which the two don't show the same, by minutes per chance that the answer of the first rules the second out.
   * Ends with the first that is sure to.
   */
  readonly apart: readonly { readonly check: number; readonly minutes: number; readonly chance: number }[];
  /** True when some check is sure to tell them apart; else how alike they are at each check (Bhattacharyya, 0 to 1). */
  readonly isSure: boolean;
  readonly alike: readonly { readonly check: number; readonly factor: number }[];
}

const NEVER = 1e-12;
const byId = <T extends { readonly id: string }>(list: readonly T[]): readonly T[] =>
  [...list].sort((a, b) => (a.id < b.id ? -1 : a.id > b.id ? 1 : 0));

export function prepare(table: FaultTable): Prepared {
  const states = [...(table.setUp ?? [])].filter(([, minutes]) => minutes > 0).sort(([a], [b]) => (a < b ? -1 : 1));
  const sorted = byId(table.causes);
  const total = sorted.reduce((sum, { weight }) => sum + weight, 0);
  const asked = byId(table.checks).map((check) => {
    const answers = [...new Set(check.answers)].sort();
    const shows = sorted.map((cause) => {
      const named = cause.shows.get(check.id);
      const known = answers.flatMap((answer, i) => (named?.includes(answer) ? [i] : []));
      return known.length > 0 ? known : answers.map((_, i) => i);
    });
    const needs = states.flatMap(([state], i) => (check.needs?.includes(state) ? [i] : []));
    return { id: check.id, minutes: check.minutes, answers, needs, shows, kinds: shows.map((one) => one.join()) };
  });

  const first = new Map<string, number[]>();
  for (const i of sorted.keys()) {
    const row = asked.map(({ kinds }) => kinds[i]).join(";");
    const alike = first.get(row);
    if (alike) alike.push(i);
    else first.set(row, [i]);
  }
  const groups = [...first.values()];
  const causes = groups.map((members) => ({
    ids: members.map((i) => sorted[i]?.id ?? ""),
    weight: Math.max(
      NEVER,
      total > 0
        ? members.reduce((sum, i) => sum + (sorted[i]?.weight ?? 0), 0) / total
        : members.length / sorted.length,
    ),
  }));
  const distinct = asked
    .map((check) => ({
      ...check,
      shows: groups.map(([i = 0]) => check.shows[i] ?? []),
      kinds: groups.map(([i = 0]) => check.kinds[i] ?? ""),
    }))
    .filter(({ kinds }) => kinds.some((kind) => kind !== kinds[0]));
  const checks = distinct.filter((check, i) => !distinct.some((other, j) => replaces(other, check, j < i)));

  const n = causes.length;
  const most = checks.map(
    ({ shows }) => Math.log2(new Set(shows.flat()).size) - Math.min(...shows.map((one) => Math.log2(one.length))),
  );
  const cheapest = [...Array(n + 1).keys()].map((left) =>
    checks
      .map(({ minutes }, check) => ({ check, minutes, bits: Math.min(most[check] ?? 0, Math.log2(Math.max(left, 1))) }))
      .sort((a, b) => a.minutes / a.bits - b.minutes / b.bits || a.check - b.check),
  );
  const pairs = causes.flatMap((_, i) =>
    causes.map((_, j) => (i === j ? { apart: [], isSure: false, alike: [] } : pair(checks, i, j))),
  );
  return { causes, checks, setUp: states.map(([, minutes]) => minutes), cheapest, pairs };
}

/** Whether nothing is lost without a check, since another tells just the same for no more; of equals the first stays. */
function replaces(other: PreparedCheck, check: PreparedCheck, isFirst: boolean): boolean {
  if (other === check || other.minutes > check.minutes || !other.needs.every((state) => check.needs.includes(state)))
    return false;
  // Answers drawn afresh tell more when both are asked.
  if (!check.shows.every((one) => one.length === 1) || !other.shows.every((one) => one.length === 1)) return false;
  const isSame = check.kinds.every(
    (kind, i) => check.kinds.indexOf(kind) === other.kinds.indexOf(other.kinds[i] ?? ""),
  );
  return isSame && (isFirst || other.minutes < check.minutes || other.needs.length < check.needs.length);
}

function pair(checks: readonly PreparedCheck[], i: number, j: number): Pair {
  const apart: { check: number; minutes: number; chance: number }[] = [];
  const alike: { check: number; factor: number }[] = [];
  for (const [check, { minutes, shows, kinds }] of checks.entries()) {
    if (kinds[i] === kinds[j]) continue;
    const one = shows[i] as readonly number[];
    const other = shows[j] as readonly number[];
    const both = one.filter((answer) => other.includes(answer)).length;
    apart.push({ check, minutes, chance: 1 - both / one.length });
    alike.push({ check, factor: both / Math.sqrt(one.length * other.length) });
  }
  // One that can't rule the other out comes last, and yet has to be asked.
  apart.sort((a, b) => a.minutes * b.chance - b.minutes * a.chance || b.chance - a.chance || a.check - b.check);
  const sure = apart.findIndex(({ chance }) => chance === 1);
  return {
    apart: sure < 0 ? apart : apart.slice(0, sure + 1),
    isSure: sure >= 0,
    alike: sure >= 0 ? [] : alike,
  };
}
