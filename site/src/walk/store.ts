/**
 * Visits on this device, in IndexedDB. Answers must outlive a battery that dies in the next second, so every write
 * asks for strict durability and is awaited before the next step is shown.
 */
import type { Entry } from "./engine.ts";

/** What is kept of a measurement beside its readings in the author's units. */
export interface Measured {
  /** By the reading's id: as it was typed, and the unit in which it was. */
  readonly typed?: Readonly<Record<string, readonly [text: string, unit: string]>>;
  /** What was computed, unrounded, and the author's unit for it. */
  readonly result?: readonly [value: number, unit: string];
}

/** An entry with the words that stood on the page: a visit can be read after the page has changed. */
export interface Noted extends Entry, Measured {
  /** Title of the step. */
  readonly asked: string;
  /** The answer in words, or the readings with their units. Empty for work that was done. */
  readonly said: string;
  readonly kind: string;
  /** ISO 8601, by the device's clock. */
  readonly when: string;
}

export interface Visit {
  readonly id: string;
  readonly base: string;
  readonly tree: string;
  readonly title: string;
  readonly began: string;
  readonly changed: string;
  /** `set-aside`: the reader began again, or the page no longer fits the history. */
  readonly state: "open" | "ended" | "set-aside";
  /** The reader has to stop: is putting things back, or has left. */
  readonly left?: "leaving" | "gone";
  readonly history: readonly Noted[];
  /** Of the page with which the walk began, and goes on. */
  readonly version?: string;
  /** The tab that walks it; any name. Another one writes nothing. */
  readonly tab?: string;
}

const DATABASE = "headwater";
const VISITS = "visits";

let opened: Promise<IDBDatabase> | undefined;

function database(): Promise<IDBDatabase> {
  opened ??= new Promise<IDBDatabase>((resolve, reject) => {
    const request = indexedDB.open(DATABASE, 1);
    request.onupgradeneeded = () => request.result.createObjectStore(VISITS, { keyPath: "id" });
    request.onsuccess = () => {
      // Another tab with a newer page may want to change the database: let it.
      request.result.onversionchange = () => {
        request.result.close();
        opened = undefined;
      };
      resolve(request.result);
    };
    request.onblocked = () => reject(new Error("the store is held by another page"));
    request.onerror = () => reject(request.error);
  }).catch((error: unknown) => {
    opened = undefined;
    throw error;
  });
  return opened;
}

async function inStore<T>(mode: IDBTransactionMode, work: (store: IDBObjectStore) => IDBRequest<T>): Promise<T> {
  const db = await database();
  return new Promise<T>((resolve, reject) => {
    const transaction = db.transaction(VISITS, mode, { durability: "strict" });
    const request = work(transaction.objectStore(VISITS));
    // The request succeeds before the data is on disk; the transaction completes after.
    transaction.oncomplete = () => resolve(request.result);
    transaction.onerror = transaction.onabort = () => reject(transaction.error ?? request.error);
  });
}

/**
 * @param isNew Nothing was stored of this visit; else it is written over only while it is there and this tab's.
 * @returns whether it was written. If not, another tab has taken it over or deleted it.
 */
export async function saveVisit(visit: Visit, isNew: boolean): Promise<boolean> {
  let isMine = true;
  await change(visit.id, (stored) => {
    isMine = isNew || (stored !== undefined && stored.tab === visit.tab);
    return isMine ? visit : undefined;
  });
  return isMine;
}

/** Makes a stored visit this tab's. @returns it as it is now; nothing when it was deleted. */
export async function takeVisit(id: string, tab: string): Promise<Visit | undefined> {
  let taken: Visit | undefined;
  await change(id, (stored) => {
    taken = stored && { ...stored, tab };
    return taken;
  });
  return taken;
}

/** Reads and writes one visit with nothing in between. */
async function change(id: string, make: (stored: Visit | undefined) => Visit | undefined): Promise<void> {
  await inStore("readwrite", (store) => {
    const request = store.get(id) as IDBRequest<Visit | undefined>;
    request.onsuccess = () => {
      const visit = make(request.result);
      if (visit !== undefined) store.put(visit);
    };
    return request;
  });
}

export async function deleteVisit(id: string): Promise<void> {
  await inStore("readwrite", (store) => store.delete(id) as IDBRequest<unknown>);
}

export function allVisits(): Promise<Visit[]> {
  return inStore("readonly", (store) => store.getAll() as IDBRequest<Visit[]>);
}

/** Visits to one tree of one base, the last changed first. */
export async function visitsTo(base: string, tree: string): Promise<Visit[]> {
  const all = await allVisits();
  return all
    .filter((visit) => visit.base === base && visit.tree === tree)
    .sort((one, other) => (one.changed < other.changed ? 1 : -1));
}
