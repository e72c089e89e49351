/** How long a visit took. */
import type { Noted } from "../walk/store.ts";

/** A visit can rest for weeks. A regeneration takes an hour and a half: anything longer than this is no work. */
const LONGEST_STEP_MINUTES = 120;

/**
 * @param began ISO 8601.
 * @returns Whole minutes from there to the last answer, without pauses longer than a step can take. A clock that was
 *   put back counts as no time.
 */
export function minutesUsed(began: string, history: readonly Pick<Noted, "when">[]): number {
  let last = Date.parse(began);
  let sum = 0;
  for (const { when } of history) {
    const minutes = (Date.parse(when) - last) / 60_000;
    if (minutes > 0 && minutes <= LONGEST_STEP_MINUTES) sum += minutes;
    last = Date.parse(when);
  }
  return Math.round(sum);
}

/** What is planned for the steps that were done; of a step done twice, twice. */
export function minutesPlanned(history: readonly Pick<Noted, "minutes">[]): number {
  return history.reduce((sum, { minutes = 0 }) => sum + minutes, 0);
}
