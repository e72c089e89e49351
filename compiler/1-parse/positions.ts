import type { PositionsOf } from "../model/parsed.ts";
import type { Span } from "../model/source.ts";

/**
 * Where the members of each mapping and sequence stand. Keyed by the data itself, so that later phases hold plain typed
 * data and ask for a place only when they complain. A part reached by alias has the place of its anchor.
 */
export class Positions implements PositionsOf {
  readonly #keys = new WeakMap<object, readonly string[]>();
  /** Of a mapping four numbers a member (key, value), of a sequence two. */
  readonly #spans = new WeakMap<object, readonly number[]>();

  /** @param spans Start and end of the key, start and end of the value, for each key in turn. */
  setKeys(map: object, keys: readonly string[], spans: readonly number[]): void {
    this.#keys.set(map, keys);
    this.#spans.set(map, spans);
  }
  /** @param spans Start and end of each item in turn. */
  setItems(list: object, spans: readonly number[]): void {
    this.#spans.set(list, spans);
  }
  key(map: object, key: string): Span | undefined {
    return this.#span(map, 4 * this.#index(map, key));
  }
  value(container: object, key: string | number): Span | undefined {
    return this.#span(container, typeof key === "number" ? 2 * key : 4 * this.#index(container, key) + 2);
  }

  #index(map: object, key: string): number {
    const index = this.#keys.get(map)?.indexOf(key) ?? -1;
    // Far out of any file's reach, so that the span is not found.
    return index < 0 ? Number.MAX_SAFE_INTEGER / 8 : index;
  }
  #span(container: object, at: number): Span | undefined {
    const spans = this.#spans.get(container);
    const start = spans?.[at];
    const end = spans?.[at + 1];
    return start === undefined || end === undefined ? undefined : { start, end };
  }
}
