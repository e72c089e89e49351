import type { PositionsOf } from "../model/parsed.ts";
import type { Span } from "../model/source.ts";

/**
 * Where the members of each mapping and sequence stand. Keyed by the data itself, so that later phases hold plain typed
 * data and ask for a place only when they complain. A part reached by alias has the place of its anchor.
 */
export class Positions implements PositionsOf {
  readonly #keys = new WeakMap<object, ReadonlyMap<string, readonly [number, number, number, number]>>();
  readonly #items = new WeakMap<object, readonly number[]>();

  setKeys(map: object, spans: ReadonlyMap<string, readonly [number, number, number, number]>): void {
    this.#keys.set(map, spans);
  }
  setItems(list: object, spans: readonly number[]): void {
    this.#items.set(list, spans);
  }
  key(map: object, key: string): Span | undefined {
    const span = this.#keys.get(map)?.get(key);
    return span && { start: span[0], end: span[1] };
  }
  value(container: object, key: string | number): Span | undefined {
    if (typeof key === "number") {
      const items = this.#items.get(container);
      const start = items?.[key * 2];
      const end = items?.[key * 2 + 1];
      return start === undefined || end === undefined ? undefined : { start, end };
    }
    const span = this.#keys.get(container)?.get(key);
    return span && { start: span[2], end: span[3] };
  }
}
