/** What the service worker and the pages tell each other. */

export interface Stored {
  /** So many files there are in this version, and so many of them are stored. */
  readonly files: number;
  readonly held: number;
  /** Of the files that are stored, as they are stored. */
  readonly bytes: number;
  /** Day of the version, ISO 8601. */
  readonly compiledOn: string;
}

/** Caches with this name and a version behind it hold what walks that began with that version need. */
export const KEPT = "headwater-kept-";
