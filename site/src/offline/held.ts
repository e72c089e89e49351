/** One visit is walked in one tab at a time. A lock says in which; it ends with the tab, however that ends. */

const LOCK = "headwater-walk ";

let letGo: (() => void) | undefined;

/** A reload may come before the browser has noticed that the old page is gone. */
const PATIENCE_MS = 700;

/**
 * @param lost Called when another tab has taken the visit over.
 * @returns false when another tab has the visit. Where there are no locks, nobody can know, and the answer is true.
 */
export async function holdVisit(visit: string, isTaken: boolean, lost: () => void): Promise<boolean> {
  releaseVisit();
  if (!("locks" in navigator)) return true;
  return new Promise<boolean>((resolve) => {
    let isMine = false;
    const options = isTaken ? { steal: true } : { signal: AbortSignal.timeout(PATIENCE_MS) };
    navigator.locks
      .request(LOCK + visit, options, () => {
        isMine = true;
        resolve(true);
        return new Promise<void>((done) => {
          letGo = done;
        });
      })
      // Pages from a disk may be refused all locks: then there is no telling, as without them.
      .catch((error: unknown) => (isMine ? lost() : resolve((error as Error).name === "SecurityError")));
  });
}

export function releaseVisit(): void {
  letGo?.();
  letGo = undefined;
}

/** Whether a visit is being walked in some tab, other than the one named. */
export async function isWalked(besides?: string): Promise<boolean> {
  if (!("locks" in navigator)) return false;
  const { held = [] } = await navigator.locks.query();
  return held.some(({ name = "" }) => name.startsWith(LOCK) && name !== LOCK + besides);
}
