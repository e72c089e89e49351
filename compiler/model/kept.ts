/**
 * What is worked out of a thing is kept in it, out of sight, and goes with it. Copies of the thing begin anew.
 *
 * No WeakMap: the collector of young objects takes a WeakMap's values for alive whether or not their keys are, so every
 * graph and file that is dropped would be carried along until the next full collection.
 */
export class Kept<K extends object, V> {
  readonly #name = Symbol("kept");

  get(of: K): V | undefined {
    return (of as { readonly [name: symbol]: V | undefined })[this.#name];
  }
  set(of: K, value: V): void {
    Object.defineProperty(of, this.#name, { value, configurable: true });
  }
}
