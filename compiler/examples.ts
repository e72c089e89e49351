/**
 * Examples of broken and sound bases, in one text each.
 *
 * A YAML stream; each document is a file and begins with `--- # path`. Files that an example doesn't hold are those of
 * the example base, which is written the same way.
 */
import type { Input } from "./compile.ts";
import { isDrawing } from "./model/source.ts";

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

/**
 * The example laid over the base. A file that holds only `# none` is taken away; one below `pictures/` is a
 * picture, and read if it is an SVG.
 */
export function exampleInput(example: string, base: string): Input {
  const files = new Map<string, string>();
  for (const { path, text } of [...splitExample(base), ...splitExample(example)])
    if (text.trim() === "# none") files.delete(path);
    else files.set(path, text);
  const isPicture = (path: string): boolean => path.startsWith(PICTURES);
  return {
    files: [...files].filter(([path]) => !isPicture(path)).map(([path, text]) => ({ path, text })),
    pictures: [...files.keys()].filter(isPicture).map((path) => path.slice(PICTURES.length)),
    drawings: [...files].filter(([path]) => isPicture(path) && isDrawing(path)).map(([path, text]) => ({ path, text })),
  };
}
const PICTURES = "pictures/";
