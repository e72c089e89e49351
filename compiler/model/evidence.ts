/**
 * Bayes for causes and answers: one fault is there, each cause shows some answers at a check. A cause that can show
 * several shows each as often as another, whatever was answered before. Small, since the page needs it too.
 */

/**
 * Weights after something was seen.
 *
 * @param weights     How often each cause is the one, in any scale.
 * @param likelihoods How often each of them, in the same order, shows what was seen: 0 to 1.
 * @returns Shares that sum to 1; undefined when no cause can show it, for then nothing can be said.
 */
export function update(weights: readonly number[], likelihoods: readonly number[]): readonly number[] | undefined {
  const joint = weights.map((weight, i) => weight * (likelihoods[i] ?? 0));
  const sum = joint.reduce((a, b) => a + b, 0);
  return sum > 0 ? joint.map((part) => part / sum) : undefined;
}

/**
 * How often a cause shows an answer.
 *
 * @param shows   The answers it can show; undefined or none: any of the check's.
 * @param answers All answers of the check.
 */
export function likelihood(shows: readonly string[] | undefined, answers: readonly string[], answer: string): number {
  const can = shows && shows.length > 0 ? shows : answers;
  return can.includes(answer) ? 1 / can.length : 0;
}

export interface Suspect {
  readonly id: string;
  /** How often it is the one, relative to the others. */
  readonly weight: number;
  /** By check; a check that is not named may show anything. */
  readonly shows: ReadonlyMap<string, readonly string[]>;
}
export interface Answered {
  readonly check: string;
  /** All answers of the check. */
  readonly answers: readonly string[];
  readonly answer: string;
}

/**
 * What is still possible after these answers; "not sure" is no answer and is left out by the caller.
 *
 * @returns The share of every suspect, in the same order; one that an answer speaks against has 0 and stays in the list.
 *   Undefined when the answers speak against all of them.
 */
export function shares(suspects: readonly Suspect[], given: readonly Answered[]): readonly number[] | undefined {
  return update(
    suspects.map(({ weight }) => weight),
    suspects.map(({ shows }) =>
      given.reduce((so, { check, answers, answer }) => so * likelihood(shows.get(check), answers, answer), 1),
    ),
  );
}

/** Shannon's entropy in bits, of weights in any scale; what never happens adds nothing. */
export function bits(weights: readonly number[]): number {
  let sum = 0;
  let spent = 0;
  for (const weight of weights)
    if (weight > 0) {
      sum += weight;
      spent += weight * Math.log2(weight);
    }
  return sum > 0 ? Math.max(0, Math.log2(sum) - spent / sum) : 0;
}

/**
 * The bits that a check is expected to tell.
 *
 * @param byAnswer For each answer the weights of all causes that remain with it, in any scale common to all.
 */
export function gain(byAnswer: readonly (readonly number[])[]): number {
  const before = (byAnswer[0] ?? []).map((_, i) => byAnswer.reduce((sum, weights) => sum + (weights[i] ?? 0), 0));
  const total = before.reduce((a, b) => a + b, 0);
  if (total <= 0) return 0;
  const left = byAnswer.reduce((sum, weights) => sum + weights.reduce((a, b) => a + b, 0) * bits(weights), 0);
  return Math.max(0, bits(before) - left / total);
}
