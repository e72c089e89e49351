/**
 * The candidate that a misspelt name most likely means: smallest edit distance (insert, delete, replace, swap of
 * neighbours), at most a third of the name's length but at least one; the first of several in their order.
 *
 * @returns undefined when nothing is near enough to be worth offering.
 */
export function nearest(name: string, candidates: Iterable<string>): string | undefined {
  let best: string | undefined;
  let bestDistance = Math.max(1, Math.floor(name.length / 3)) + 1;
  for (const candidate of candidates) {
    if (Math.abs(candidate.length - name.length) >= bestDistance) continue;
    const distance = editDistance(name, candidate, bestDistance);
    if (distance < bestDistance) {
      best = candidate;
      bestDistance = distance;
    }
  }
  return best;
}

/** Damerau's distance (adjacent swaps only). Stops early and returns `limit` once it can't be below it. */
function editDistance(a: string, b: string, limit: number): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    let least = i;
    for (let j = 1; j <= b.length; j++) {
      const same = a[i - 1] === b[j - 1];
      let cost = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + (same ? 0 : 1));
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        cost = Math.min(cost, (beforeLast[j - 2] ?? 0) + 1);
      row.push(cost);
      least = Math.min(least, cost);
    }
    if (least >= limit) return limit;
    beforeLast = last;
    last = row;
  }
  return last[b.length] ?? limit;
}
