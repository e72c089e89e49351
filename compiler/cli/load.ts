/** A folder on disk to the compiler's input. The only reader of a base's files. */
import { type Dirent, readdirSync, readFileSync, statSync } from "node:fs";
import { join, relative, sep } from "node:path";
import type { Input } from "../compile.ts";
import { isDrawing, isPicture, MAX_FILE_BYTES, type SourceFile } from "../model/source.ts";
import { UsageError } from "./usage-error.ts";

/** Folders that hold no part of a base, wherever a firm keeps it. */
const passedOver = new Set(["node_modules", "pictures", "dist"]);
const isYaml = /\.ya?ml$/i;

/** @throws UsageError when `folder` is not a folder that can be listed. */
export function loadBase(folder: string): Input {
  try {
    if (!statSync(folder).isDirectory())
      throw new UsageError(`${folder} is a file; give the folder of the knowledge base`);
  } catch (error) {
    if (error instanceof UsageError) throw error;
    throw new UsageError(`there is no folder ${folder}`);
  }
  const files = list(folder, (name) => !passedOver.has(name)).filter((path) => isYaml.test(path));
  return { files: files.map((path) => loadFile(folder, path)), ...loadPictures(folder) };
}

/** @param path Relative to the folder, forward slashes. */
export function loadFile(folder: string, path: string): SourceFile {
  const place = join(folder, path);
  try {
    const { size } = statSync(place);
    if (size > MAX_FILE_BYTES) return { path, unreadable: { why: "too-large", bytes: size } };
    return decode(path, readFileSync(place));
  } catch (error) {
    const { code = "error" } = error as NodeJS.ErrnoException;
    return { path, unreadable: { why: "no-access", message: reasons[code] ?? code } };
  }
}
const reasons: Readonly<Record<string, string>> = {
  EACCES: "you have no right to read it",
  ENOENT: "it is not there (a link that leads nowhere?)",
  EISDIR: "it is a folder",
};

/** Names of all pictures; of drawings their text as well. */
export function loadPictures(folder: string): Required<Omit<Input, "files">> {
  let pictures: string[] = [];
  try {
    pictures = list(join(folder, "pictures"), () => true).filter(isPicture);
  } catch {
    // A base without the folder has no pictures.
  }
  return { pictures, drawings: pictures.filter(isDrawing).map((name) => loadFile(folder, `pictures/${name}`)) };
}

function decode(path: string, bytes: Uint8Array): SourceFile {
  try {
    return { path, text: new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes) };
  } catch {
    const lenient = new TextDecoder("utf-8", { ignoreBOM: true }).decode(bytes);
    return { path, unreadable: { why: "not-utf-8", before: lenient.slice(0, Math.max(0, lenient.indexOf("\ufffd"))) } };
  }
}

/** Paths of all files below, in a fixed order. Hidden files and folders are not part of a base. */
function list(folder: string, enter: (name: string) => boolean): string[] {
  const found: string[] = [];
  const visit = (at: string): void => {
    let entries: Dirent[];
    try {
      entries = readdirSync(at, { withFileTypes: true });
    } catch (error) {
      if (at === folder) throw error;
      return;
    }
    for (const entry of entries.sort((a, b) => (a.name < b.name ? -1 : 1))) {
      if (entry.name.startsWith(".")) continue;
      const place = join(at, entry.name);
      if (entry.isDirectory()) {
        if (enter(entry.name)) visit(place);
      } else if (entry.isFile() || entry.isSymbolicLink()) found.push(relative(folder, place).split(sep).join("/"));
    }
  };
  visit(folder);
  return found;
}

export function isPartOfBase(path: string): boolean {
  const parts = path.split("/");
  return (
    isYaml.test(path) &&
    !parts.some((part) => part.startsWith(".")) &&
    !parts.slice(0, -1).some((part) => passedOver.has(part))
  );
}
