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

/**
 * For a name that is no misspelling of anything: what speaks of the same thing, best first, at most three.
 *
 * @param candidates Id to further words of it, such as its title. A part of the name counts when it is a part of the id,
 *   or, with four letters or more, when a word of the title begins with it or it with that word.
 */
export function akin(name: string, candidates: ReadonlyMap<string, string>): string[] {
  const parts = name.split("-");
  const scored = [...candidates].map(([id, text]) => {
    const ofId = new Set(id.split("-"));
    const ofText = wordsOf(text);
    const shared = parts.filter(
      (part) =>
        ofId.has(part) ||
        (part.length >= SPEAKING &&
          ofText.some((word) => word.startsWith(part) || (word.length >= SPEAKING && part.startsWith(word)))),
    );
    return [id, shared.length] as const;
  });
  const most = Math.max(0, ...scored.map(([, shared]) => shared));
  if (most === 0) return [];
  return scored
    .filter(([, shared]) => shared === most)
    .map(([id]) => id)
    .slice(0, 3);
}

/** Letters from which on a word says what it is about. */
const SPEAKING = 4;

function wordsOf(text: string): string[] {
  return text.toLowerCase().match(/[\p{L}\d]+/gu) ?? [];
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
