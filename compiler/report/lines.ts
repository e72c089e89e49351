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

/** Line indexes by file, made when first asked for. A file without text (unreadable, missing) has one empty line. */
export class Sources {
  readonly #texts: ReadonlyMap<string, string>;
  readonly #indexes = new Map<string, LineIndex>();

  constructor(files: Iterable<{ readonly path: string; readonly text?: string | undefined }>) {
    this.#texts = new Map([...files].map(({ path, text }) => [path, text ?? ""]));
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
