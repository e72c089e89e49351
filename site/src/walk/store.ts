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
  /** By the reading's id: what was to be read, and the author's unit. */
  readonly asks?: Readonly<Record<string, readonly [ask: string, unit: string]>>;
  /** What was computed, as the page named and showed it. */
  readonly value?: readonly [name: string, shown: string];
  /** The range into which it falls, in the author's unit. */
  readonly band?: Band;
}

interface Band {
  readonly say: string;
  readonly from?: number;
  readonly below?: number;
}

/** What the plan knew of a step when it was answered. */
export interface Planned {
  readonly minutes?: number;
  readonly parts?: readonly Named[];
  /** Id of the cause that the step concludes. */
  readonly cause?: string;
  /** The step is a proof: of the repair of the cause that the step with this key concluded. */
  readonly proves?: { readonly step: string; readonly shows: "fixed" | "not-fixed" };
}

export interface Named {
  readonly id: string;
  readonly title: string;
}

/** An entry with the words that stood on the page: a visit can be read after the page has changed. */
export interface Noted extends Entry, Measured, Planned {
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
  /** The symptom, as the page calls it. */
  readonly symptom?: string;
  /** In the customer's own words. */
  readonly said?: string;
  /** Where the equipment stands: one line. */
  readonly address?: string;
  readonly who?: string;
  /** By the step's key. */
  readonly notes?: Readonly<Record<string, Note>>;
  /** What the page said at the end. */
  readonly end?: Ending;
}

interface Note {
  /** Title of the step. */
  readonly asked: string;
  readonly text: string;
  readonly when: string;
}

export interface Ending {
  readonly step: string;
  readonly title: string;
  readonly cause?: string;
  /** States that stay on purpose. */
  readonly left: readonly (Named & { readonly why: string })[];
  readonly still: readonly Named[];
  readonly call?: string;
}

export interface Photo {
  readonly visit: string;
  readonly photo: string;
  /** Key of the step. */
  readonly step: string;
  readonly asked: string;
  readonly when: string;
  readonly jpeg: Blob;
}

const DATABASE = "headwater";
const VISITS = "visits";
/** Apart from the visits: an answer is kept without writing pictures again. */
const PHOTOS = "photos";

/** Itself as soon as it is open: what is asked of it then is begun in the same breath. */
let opened: IDBDatabase | Promise<IDBDatabase> | undefined;

function open(): IDBDatabase | Promise<IDBDatabase> {
  opened ??= new Promise<IDBDatabase>((resolve, reject) => {
    const request = indexedDB.open(DATABASE, 2);
    request.onupgradeneeded = () => {
      const { result } = request;
      if (!result.objectStoreNames.contains(VISITS)) result.createObjectStore(VISITS, { keyPath: "id" });
      if (!result.objectStoreNames.contains(PHOTOS)) result.createObjectStore(PHOTOS, { keyPath: ["visit", "photo"] });
    };
    request.onsuccess = () => {
      // Another tab with a newer page may want to change the database: let it.
      request.result.onversionchange = () => {
        request.result.close();
        opened = undefined;
      };
      // Closed by the browser, as when somebody clears what is stored.
      request.result.onclose = () => {
        opened = undefined;
      };
      opened = request.result;
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

async function inStores<T>(
  mode: IDBTransactionMode,
  work: (visits: IDBObjectStore, photos: IDBObjectStore) => IDBRequest<T>,
): Promise<T> {
  const database = open();
  const db = database instanceof Promise ? await database : database;
  return new Promise<T>((resolve, reject) => {
    const transaction = db.transaction([VISITS, PHOTOS], mode, { durability: "strict" });
    const request = work(transaction.objectStore(VISITS), transaction.objectStore(PHOTOS));
    // The request succeeds before the data is on disk; the transaction completes after.
    transaction.oncomplete = () => resolve(request.result);
    transaction.onerror = transaction.onabort = () => reject(transaction.error ?? request.error);
  });
}

async function inStore<T>(mode: IDBTransactionMode, work: (store: IDBObjectStore) => IDBRequest<T>): Promise<T> {
  return inStores(mode, work);
}

/**
 * @param isNew Nothing was stored of this visit; else it is written over only while it is there and this tab's.
 * @param meanwhile Called while it is being written, when nothing more is asked of this page for it.
 * @returns whether it was written. If not, another tab has taken it over or deleted it.
 */
export async function saveVisit(visit: Visit, isNew: boolean, meanwhile?: () => void): Promise<boolean> {
  let isMine = true;
  try {
    await inStore("readwrite", (store) => {
      const { transaction } = store;
      const request = store.get(visit.id) as IDBRequest<Visit | undefined>;
      request.onsuccess = () => {
        isMine = isNew || (request.result !== undefined && request.result.tab === visit.tab);
        if (!isMine) return transaction.abort();
        // Nothing more is asked: without this the page is first told that it is written, and asked what else.
        transaction.commit();
        // Not in this event: what fails there would take back what is written.
        if (meanwhile) queueMicrotask(meanwhile);
      };
      // Asked for in the same breath: what the first finds takes it back.
      store.put(visit);
      return request;
    });
  } catch (error) {
    if (isMine) throw error;
  }
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

/** A visit that was read in, with its photos: all or nothing. */
export async function saveWhole(visit: Visit, photos: readonly Photo[]): Promise<void> {
  await inStores("readwrite", (visits, pictures) => {
    for (const photo of photos) pictures.put(photo);
    return visits.put(visit);
  });
}

/** All photos of a visit. */
function photosRange(visit: string): IDBKeyRange {
  return IDBKeyRange.bound([visit], [visit, []]);
}

/** With its photos, and whatever else the device keeps of it. */
export async function deleteVisit(id: string): Promise<void> {
  await inStores("readwrite", (visits, photos) => {
    photos.delete(photosRange(id));
    return visits.delete(id) as IDBRequest<unknown>;
  });
  // A timer that still runs is kept by the name of its visit.
  for (const key of Object.keys(localStorage)) if (key.includes(id)) localStorage.removeItem(key);
}

export async function savePhoto(photo: Photo): Promise<void> {
  await inStores("readwrite", (_, photos) => photos.put(photo));
}

export async function deletePhoto(visit: string, photo: string): Promise<void> {
  await inStores("readwrite", (_, photos) => photos.delete([visit, photo]) as IDBRequest<unknown>);
}

/** In the order in which they were taken. */
export async function photosOf(visit: string): Promise<Photo[]> {
  return inStores("readonly", (_, photos) => photos.getAll(photosRange(visit)) as IDBRequest<Photo[]>);
}

export function allVisits(): Promise<Visit[]> {
  return inStore("readonly", (store) => store.getAll() as IDBRequest<Visit[]>);
}

/** Visits to the trees of one base, or to one of them; the last changed first. */
export async function visitsTo(base: string, tree?: string): Promise<Visit[]> {
  const all = await allVisits();
  return all
    .filter((visit) => visit.base === base && (tree === undefined || visit.tree === tree))
    .sort((one, other) => (one.changed < other.changed ? 1 : -1));
}
