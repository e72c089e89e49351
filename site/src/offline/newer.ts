/** Putting a new version to use: on request, or when a walk has ended; never while another tab walks. */
import { isWalked } from "./held.ts";
import { hasWorker } from "./kept.ts";

/** Sent to the document before a page is exchanged for a newer one; a walk under way takes it on itself. */
export const USE_NEWER = "headwater-use-newer";

export async function newerWorker(): Promise<ServiceWorker | undefined> {
  const registration = hasWorker() ? await navigator.serviceWorker.getRegistration() : undefined;
  return registration?.waiting ?? undefined;
}

/** Whether this page is one that was kept for a walk. */
export function isKeptPage(): boolean {
  return new URLSearchParams(location.search).has("version");
}

/**
 * @param own The visit of this tab, which doesn't count.
 * @returns whether the newest version that is stored is in use now; false while another tab walks.
 */
export async function useNewer(own?: string): Promise<boolean> {
  const waiting = await newerWorker();
  if (waiting === undefined) return true;
  if (await isWalked(own)) return false;
  return new Promise((resolve) => {
    const look = () => {
      if (waiting.state === "activated" || waiting.state === "redundant") resolve(waiting.state === "activated");
    };
    waiting.addEventListener("statechange", look);
    waiting.postMessage("use");
  });
}
