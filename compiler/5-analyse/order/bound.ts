/** What no strategy can undercut. */
import type { Prepared } from "./table.ts";

/**
 * The bits that the open checks together tell about the causes left. Where every two causes are surely told apart these
 * are Shannon's entropy; else a lower bound of it, by the pairwise likeness of causes (Kolchinsky and Tracey, "Estimating
 * mixture entropy with pairwise distances", Entropy 19, 2017: the bound with Bhattacharyya distances).
 *
 * @param left   Indices of the causes left; only the first `count` are looked at.
 * @param weight Their weights, at the same places, in any scale.
 * @param isOpen By check: 1 when it was not asked yet.
 */
export function bitsToTell(
  { causes, pairs }: Prepared,
  left: ArrayLike<number>,
  count: number,
  weight: ArrayLike<number>,
  isOpen: ArrayLike<number>,
): number {
  let total = 0;
  for (let i = 0; i < count; i++) total += weight[i] as number;
  if (total <= 0) return 0;
  let told = 0;
  for (let i = 0; i < count; i++) {
    const row = (left[i] as number) * causes.length;
    let blurred = weight[i] as number;
    for (let j = 0; j < count; j++) {
      const { isSure, alike } = pairs[row + (left[j] as number)] as Prepared["pairs"][number];
      if (i === j || isSure) continue;
      let factor = weight[j] as number;
      for (const one of alike) if (isOpen[one.check]) factor *= one.factor;
      blurred += factor;
    }
    told -= (weight[i] as number) * Math.log2(blurred / total);
  }
  return Math.max(0, told / total);
}

/**
 * The least minutes in which so many bits can be told: each open check once, those that tell most a minute first. A check
 * with `k` answers tells at most log2 k bits; and since minutes by bits so bought are convex, what holds for the mean of
 * the bits holds for the mean of the minutes.
 */
export function minutesFor({ cheapest }: Prepared, bits: number, count: number, isOpen: ArrayLike<number>): number {
  let missing = bits;
  let minutes = 0;
  for (const check of cheapest[count] ?? []) {
    if (missing <= 0) break;
    if (!isOpen[check.check]) continue;
    minutes += check.minutes * Math.min(1, missing / check.bits);
    missing -= check.bits;
  }
  return minutes;
}

/**
 * Minutes that each cause costs at the least until it is told from the one that it is hardest to tell from: the checks
 * at which the two differ are independent given the cause, so the ratio rule says their best order (L. G. Mitten, "An
 * analytic solution to the least cost testing sequence problem", 1960).
 *
 * @returns Their mean, in minutes.
 */
function minutesForPairs(
  { causes, pairs }: Prepared,
  left: ArrayLike<number>,
  count: number,
  weight: ArrayLike<number>,
  isOpen: ArrayLike<number>,
): number {
  let total = 0;
  let spent = 0;
  for (let i = 0; i < count; i++) {
    const row = (left[i] as number) * causes.length;
    let most = 0;
    for (let j = 0; j < count; j++) {
      if (i === j) continue;
      let minutes = 0;
      let still = 1;
      for (const check of (pairs[row + (left[j] as number)] as Prepared["pairs"][number]).apart) {
        if (!isOpen[check.check]) continue;
        minutes += still * check.minutes;
        still *= 1 - check.chance;
      }
      if (minutes > most) most = minutes;
    }
    total += weight[i] as number;
    spent += (weight[i] as number) * most;
  }
  return total > 0 ? spent / total : 0;
}

/** The better of the two bounds; 0 when nothing is left to tell. */
export function leastMinutes(
  prepared: Prepared,
  left: ArrayLike<number>,
  count: number,
  weight: ArrayLike<number>,
  isOpen: ArrayLike<number>,
): number {
  if (count < 2) return 0;
  const bits = bitsToTell(prepared, left, count, weight, isOpen);
  return Math.max(minutesFor(prepared, bits, count, isOpen), minutesForPairs(prepared, left, count, weight, isOpen));
}
