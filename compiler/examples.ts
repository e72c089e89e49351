/**
 * Examples of broken and sound bases, in one text each.
 *
 * A YAML stream; each document is a file and begins with `--- # path`. Files that an example doesn't hold are those of
 * the example base, which is written the same way.
 */
import type { SourceFile } from "./model/source.ts";

export interface ExampleFile {
  readonly path: string;
  readonly text: string;
}

const head = /^--- # (\S+)[ \t]*\r?\n/gm;

/** The files of one text, in order. What stands before the first head is a remark to the reader. */
export function splitExample(text: string): ExampleFile[] {
  const heads = [...text.matchAll(head)];
  return heads.map((match, i) => ({
    path: match[1] ?? "",
    text: text.slice(match.index + match[0].length, heads[i + 1]?.index ?? text.length),
  }));
}

/** The example laid over the base. A file that holds only `# none` is taken away. */
export function exampleFiles(example: string, base: string): SourceFile[] {
  const files = new Map<string, string>();
  for (const { path, text } of [...splitExample(base), ...splitExample(example)])
    if (text.trim() === "# none") files.delete(path);
    else files.set(path, text);
  return [...files].map(([path, text]) => ({ path, text }));
}
