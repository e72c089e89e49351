import type { PositionsOf } from "../model/parsed.ts";
import type { Span } from "../model/source.ts";

/**
 * Where the members of each mapping and sequence stand. Keyed by the data itself, so that later phases hold plain typed
 * data and ask for a place only when they complain. A part reached by alias has the place of its anchor.
 */
export class Positions implements PositionsOf {
  readonly #members = new Map<object, Members>();

  /** @param spans Start and end of the key, start and end of the value, for each key in turn. */
  setKeys(map: object, keys: readonly string[], spans: readonly number[]): void {
    this.#members.set(map, { keys, spans });
  }
  /** @param spans Start and end of each item in turn. */
  setItems(list: object, spans: readonly number[]): void {
    this.#members.set(list, { keys: [], spans });
  }
  key(map: object, key: string): Span | undefined {
    const members = this.#members.get(map);
    return members && spanAt(members, 4 * indexOf(members, key));
  }
  value(container: object, key: string | number): Span | undefined {
    const members = this.#members.get(container);
    return members && spanAt(members, typeof key === "number" ? 2 * key : 4 * indexOf(members, key) + 2);
  }
}

interface Members {
  /** Of a mapping. */
  readonly keys: readonly string[];
  /** Of a mapping four numbers a member (key, value), of a sequence two. */
  readonly spans: readonly number[];
}

function indexOf({ keys }: Members, key: string): number {
  const index = keys.indexOf(key);
  // Far out of any file's reach, so that the span is not found.
  return index < 0 ? Number.MAX_SAFE_INTEGER / 8 : index;
}
function spanAt({ spans }: Members, at: number): Span | undefined {
  const start = spans[at];
  const end = spans[at + 1];
  return start === undefined || end === undefined ? undefined : { start, end };
}
