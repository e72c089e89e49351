/**
 * The service worker: every file of the site is on the device after one visit, compressed, and is taken from there.
 *
 * A new version is fetched beside the old one and waits. It is put to use when no page is open any more, or when a page
 * asks for it (`newer.ts`). `?version=<version>` asks for a page or a file as a walk began with it (`kept.ts`).
 */
import { PrecacheController } from "workbox-precaching/PrecacheController.js";
import { pack, sizeOf, unpack } from "./packed.ts";
import { KEPT, type Stored } from "./stored.ts";

/** Put in by the build: what there is, and of which day. */
declare const __FILES__: { readonly url: string; readonly revision: string | null }[];
declare const __COMPILED_ON__: string;

// The types of workers and of pages don't go together in one program; these are the few that are needed.
interface WorkerEvent extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface FetchEvent extends WorkerEvent {
  readonly request: Request;
  respondWith(response: Promise<Response>): void;
}
interface Scope {
  readonly registration: ServiceWorkerRegistration;
  readonly clients: {
    matchAll(options: { includeUncontrolled: boolean }): Promise<readonly Pick<Worker, "postMessage">[]>;
    claim(): Promise<void>;
  };
  skipWaiting(): Promise<void>;
  addEventListener(type: "install" | "activate", listener: (event: WorkerEvent) => void): void;
  addEventListener(type: "fetch", listener: (event: FetchEvent) => void): void;
  addEventListener(type: "message", listener: (event: WorkerEvent & MessageEvent) => void): void;
}
const worker = self as unknown as Scope;

const files = new PrecacheController({
  plugins: [
    {
      cacheWillUpdate: async ({ response }) => (response.status === 200 ? pack(response) : null),
      cachedResponseWillBeUsed: async ({ cachedResponse }) => cachedResponse && unpack(cachedResponse),
    },
  ],
});
files.addToCacheList(__FILES__);

worker.addEventListener("install", (event) => {
  const stored = files.install(event as never).catch(async (error: unknown) => {
    const pages = await worker.clients.matchAll({ includeUncontrolled: true });
    for (const page of pages) page.postMessage({ failed: error instanceof Error ? error.name : "" });
    throw error;
  });
  event.waitUntil(stored);
});

worker.addEventListener("activate", (event) => {
  // The page of the first visit counts too: without it a new version would not wait for a walk there.
  event.waitUntil(files.activate(event as never).then(() => worker.clients.claim()));
});

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method !== "GET") return;
  const url = new URL(request.url);
  const plain = url.origin + url.pathname;
  const version = url.searchParams.get("version");
  const cacheKey = files.getCacheKeyForURL(plain.endsWith("/") ? `${plain}index.html` : plain);
  if (cacheKey === undefined && version === null) return;
  const stored = async () =>
    cacheKey === undefined
      ? fetch(request)
      : files.strategy.handle({ request, event: event as never, params: { cacheKey } });
  const asBegun = async () => {
    const response = await caches.match(plain, { cacheName: KEPT + version });
    return response ? unpack(response) : stored();
  };
  event.respondWith(version === null ? stored() : asBegun());
});

worker.addEventListener("message", (event) => {
  if (event.data === "use") event.waitUntil(worker.skipWaiting());
  else if (event.data === "tell") event.waitUntil(tell().then((stored) => event.ports[0]?.postMessage(stored)));
});

/** What is really there, file by file: a browser may take some of it back. */
async function tell(): Promise<Stored> {
  const cache = await caches.open(files.strategy.cacheName);
  const wanted = new Set(files.getURLsToCacheKeys().values());
  const held = (await cache.keys()).filter(({ url }) => wanted.has(url));
  const sizes = await Promise.all(held.map(async (request) => sizeOf(await cache.match(request))));
  const bytes = sizes.reduce((sum, size) => sum + size, 0);
  return { files: wanted.size, held: held.length, bytes, compiledOn: __COMPILED_ON__ };
}
