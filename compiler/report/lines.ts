import type { SourceFile } from "../model/source.ts";

/** The only place that knows lines and columns. Both count from 1; columns in UTF-16 code units. */
export class LineIndex {
  readonly #starts: readonly number[];
  readonly text: string;

  constructor(text: string) {
    this.text = text;
    const starts = [0];
    for (let i = 0; i < text.length; i++) {
      const code = text.charCodeAt(i);
      // A lone carriage return ends a line too, as it does for YAML.
      if (code === 10 || (code === 13 && text.charCodeAt(i + 1) !== 10)) starts.push(i + 1);
    }
    this.#starts = starts;
  }

  position(offset: number): { readonly line: number; readonly column: number } {
    let low = 0;
    let high = this.#starts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >>> 1;
      if ((this.#starts[middle] ?? 0) <= offset) low = middle;
      else high = middle - 1;
    }
    return { line: low + 1, column: offset - (this.#starts[low] ?? 0) + 1 };
  }

  get count(): number {
    return this.#starts.length;
  }

  /** The line's text without its end; empty behind the last line. */
  line(number: number): string {
    const start = this.#starts[number - 1];
    if (start === undefined) return "";
    return this.text.slice(start, this.#starts[number] ?? this.text.length).replace(/[\r\n]+$/, "");
  }
}

/**
 * Line indexes by file, made when first asked for. Of a file that is no text, what stands before the first bad byte is
 * known; one that is missing or can't be read has one empty line.
 */
export class Sources {
  readonly #texts: ReadonlyMap<string, string>;
  readonly #indexes = new Map<string, LineIndex>();

  constructor(files: Iterable<SourceFile>) {
    this.#texts = new Map([...files].map((file) => [file.path, textOf(file)]));
  }

  lines(file: string): LineIndex {
    let index = this.#indexes.get(file);
    if (!index) {
      index = new LineIndex(this.#texts.get(file) ?? "");
      this.#indexes.set(file, index);
    }
    return index;
  }
}

function textOf(file: SourceFile): string {
  if ("text" in file) return file.text;
  return file.unreadable.why === "not-utf-8" ? file.unreadable.before : "";
}
