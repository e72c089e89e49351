/** What the first two phases pass on. */
import type { Catalog, Manifest, Routine, TrainingCase, Translation, Tree } from "./format.ts";
import type { Span } from "./source.ts";

export interface PositionsOf {
  /** Where the key stands. Undefined where the data holds no such key. */
  key(map: object, key: string): Span | undefined;
  /** Where the value stands: of a key in a mapping, of an index in a sequence. */
  value(container: object, key: string | number): Span | undefined;
}

export interface ParsedFile {
  readonly path: string;
  readonly text: string;
  readonly data: unknown;
  readonly positions: PositionsOf;
}

interface Shaped<Kind extends string, Data> extends ParsedFile {
  readonly kind: Kind;
  readonly data: Data;
}
export type ManifestFile = Shaped<"manifest", Manifest>;
export type CatalogFile = Shaped<"catalog", Catalog>;
export type RoutineFile = Shaped<"routine", Routine>;
export type TreeFile = Shaped<"tree", Tree>;
export type CaseFile = Shaped<"case", TrainingCase>;
export type TranslationFile = Shaped<"translation", Translation>;
/** A file that keeps to its schema. */
export type ShapedFile = ManifestFile | CatalogFile | RoutineFile | TreeFile | CaseFile | TranslationFile;
export type FileKind = ShapedFile["kind"];
