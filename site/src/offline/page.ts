/**
 * On every page: makes the site work without a network, and says what is stored.
 *
 * For tests: [data-stored="storing|complete|partly|full|failed|refused"], in it [data-newer] with [data-act="use-newer"].
 * From a disk there is nothing to store, and nothing is said.
 */

import { words } from "#words/offline";
import { button, el } from "../measure/dom.ts";
import { isWalked } from "./held.ts";
import { hasWorker } from "./kept.ts";
import { isKeptPage, newerWorker, USE_NEWER, useNewer } from "./newer.ts";
import type { Stored } from "./stored.ts";

const own = document.currentScript as HTMLScriptElement | null;
const line = document.querySelector<HTMLElement>("[data-stored]");
const text = el("span");
const newer = el("span", { "data-newer": "", role: "status" });

if (line !== null && own !== null && location.protocol.startsWith("http")) {
  // A link in the page would be an error from a disk.
  document.head.append(el("link", { rel: "manifest", href: new URL("app.webmanifest", own.src).href }));
  line.replaceChildren(text, " ", newer);
  if (!hasWorker()) say("refused", words.refused);
  else if (document.readyState === "complete") void start(own.src);
  // The page comes first; what is stored for later waits.
  else window.addEventListener("load", () => void start(own.src));
}

function say(state: string, said: string): void {
  if (line === null) return;
  line.dataset.stored = state;
  line.hidden = false;
  text.textContent = said;
}

async function start(script: string): Promise<void> {
  let registration: ServiceWorkerRegistration | undefined;
  let isFailed = false;
  navigator.serviceWorker.addEventListener("message", ({ data }: MessageEvent<{ failed?: string }>) => {
    if (data.failed === undefined || registration?.active != null) return;
    isFailed = true;
    const isFull = data.failed === "QuotaExceededError";
    say(isFull ? "full" : "failed", isFull ? words.full : words.failed);
  });
  // Without a network this fails, and what is stored from before is there all the same.
  await navigator.serviceWorker.register(new URL("sw.js", script), { updateViaCache: "none" }).catch(() => undefined);
  registration = await navigator.serviceWorker.getRegistration();
  if (registration === undefined) {
    if (!isFailed) say("refused", words.refused);
    return;
  }
  if (registration.waiting && !isKeptPage() && !(await isWalked())) {
    if ((await useNewer()) && isUntouched()) return location.reload();
  }
  registration.addEventListener("updatefound", () => {
    const fresh = registration?.installing;
    fresh?.addEventListener("statechange", () => void offerNewer());
  });
  await offerNewer();
  for (;;) {
    const stored = await ask(registration.active ?? registration.installing ?? registration.waiting);
    if (isFailed || stored === undefined) return;
    const size = `${(stored.bytes / 1e6).toLocaleString(document.documentElement.lang, { maximumFractionDigits: 1 })} MB`;
    if (registration.active === null) say("storing", words.storing(stored.held, stored.files));
    else if (stored.held < stored.files)
      return say("partly", words.partly(stored.held, stored.files, size, stored.compiledOn));
    else return say("complete", words.stored(stored.files, size, stored.compiledOn));
    await new Promise((later) => setTimeout(later, 1000));
  }
}

/** What a worker says of its version; nothing when it is gone. */
function ask(worker: ServiceWorker | null): Promise<Stored | undefined> {
  const { port1, port2 } = new MessageChannel();
  return new Promise((resolve) => {
    port1.onmessage = ({ data }: MessageEvent<Stored>) => resolve(data);
    if (worker === null || worker.state === "redundant") resolve(undefined);
    else worker.postMessage("tell", [port2]);
    worker?.addEventListener("statechange", () => worker.state === "redundant" && resolve(undefined));
  });
}

/** Nobody has begun anything on this page: it may be exchanged unasked. */
function isUntouched(): boolean {
  const { mode } = document.querySelector<HTMLElement>("guided-walk")?.dataset ?? {};
  const typed = [...document.querySelectorAll("input")].some(({ value }) => value !== "");
  return !typed && (mode === undefined || mode === "start") && window.scrollY === 0;
}

async function offerNewer(): Promise<void> {
  if (!isKeptPage() && (await newerWorker()) === undefined) return newer.replaceChildren();
  const use = button({ "data-act": "use-newer" }, words.use);
  use.addEventListener("click", async () => {
    if (!document.dispatchEvent(new Event(USE_NEWER, { cancelable: true }))) return;
    if (await useNewer()) location.assign(location.pathname);
    else newer.textContent = words.walked;
  });
  if (line !== null) line.hidden = false;
  newer.replaceChildren(isKeptPage() ? words.onItsOwn : words.newer, " ", use);
}
