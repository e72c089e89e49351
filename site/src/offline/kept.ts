/**
 * A walk goes on with the version it began with. The page of its tree, with the script and the pictures it needs, is
 * kept from its first answer until no visit needs it any more, whatever the service worker brings meanwhile.
 */
import { allVisits } from "../walk/store.ts";
import { pack } from "./packed.ts";
import { KEPT } from "./stored.ts";

/** A page as it came, before the walk changed it. */
export interface AsServed {
  /** Names the steps and the script that walks them. */
  readonly version: string;
  /** Subresource Integrity of that script. */
  readonly script: string;
  readonly html: string;
}

const LOCK = "headwater-version ";

export function hasWorker(): boolean {
  return location.protocol.startsWith("http") && "serviceWorker" in navigator && "caches" in window;
}

/** While the page is open, what is kept of its version stays. */
export function holdVersion(version: string): void {
  if (!hasWorker() || !("locks" in navigator)) return;
  void navigator.locks.request(LOCK + version, { mode: "shared" }, () => new Promise(() => undefined));
}

/**
 * Keeps the page and what it loads, once there is a service worker, which could serve it and has it all: so nothing is
 * fetched twice. Where there can be none, nothing is kept.
 *
 * @throws when the store is full or refused, or when the site was exchanged before all of this version was fetched.
 */
export async function keepVersion({ version, script, html }: AsServed): Promise<void> {
  if (!hasWorker()) return;
  await navigator.serviceWorker.ready;
  const page = location.origin + location.pathname;
  const cache = await caches.open(KEPT + version);
  if (await cache.match(page)) return;
  const renamed = new Map<string, string>();
  const keep = async (name: string, options: RequestInit = {}) => {
    const response = await fetch(name, options);
    if (!response.ok) throw new Error(`${name} can't be fetched`);
    await cache.put(new URL(name.replace(/[?].*/, ""), page).href, await pack(response));
  };
  for (const element of document.querySelectorAll('script[src*="walk.js"], link[rel=stylesheet], img[src]')) {
    const name = element.getAttribute("src") ?? element.getAttribute("href") ?? "";
    const plain = name.replace(/[?].*/, "");
    await keep(name, element.matches("script") ? { integrity: script } : {});
    // The walk asks for it at its end.
    if (element.matches("script")) await keep(plain.replace("walk.js", "record.js"));
    renamed.set(name, `${plain}?version=${version}`);
  }
  const kept = html.replace(/="([^"]*)"/g, (whole, name: string) => {
    const own = renamed.get(name);
    return own === undefined ? whole : `="${own}"`;
  });
  // The page comes last: with it, all is there.
  await cache.put(page, await pack(new Response(kept, { headers: { "content-type": "text/html; charset=utf-8" } })));
}

/** Opens the visit on the page that it began with. @returns whether there is such a page; then this one is left. */
export async function openKept(version: string, visit: string): Promise<boolean> {
  // Asked for already, and this page came instead.
  if (!hasWorker() || new URLSearchParams(location.search).get("version") === version) return false;
  const page = location.origin + location.pathname;
  const isKept = (await caches.match(page, { cacheName: KEPT + version })) !== undefined;
  const isServed = (await navigator.serviceWorker.getRegistration())?.active != null;
  if (isKept && isServed) location.replace(`${page}?version=${version}&visit=${visit}`);
  return isKept && isServed;
}

/** Deletes what no visit and no open page needs any more. */
export async function dropUnneeded(): Promise<void> {
  if (!hasWorker() || !("locks" in navigator)) return;
  // In this order: a page takes its lock first, then keeps its version, then saves its visit.
  const names = (await caches.keys()).filter((name) => name.startsWith(KEPT));
  const { held = [] } = await navigator.locks.query();
  const visits = await allVisits();
  const needed = new Set([
    ...held.map(({ name = "" }) => name.replace(LOCK, KEPT)),
    ...visits.filter(({ state }) => state !== "ended").map(({ version }) => KEPT + version),
  ]);
  for (const name of names) if (!needed.has(name)) await caches.delete(name);
}
