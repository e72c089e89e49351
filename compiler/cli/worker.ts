/** One thread's share of a check. Keeps its compiler, so that the catalogs are linked once a thread. */
import { Compiler, type TreeSummary } from "../compile.ts";
import type { SourceFile } from "../model/source.ts";
import type { WorkerTask } from "./run-check.ts";

let compiler: Compiler | undefined;
/** Files arrive as copies; equal ones are exchanged for the first, so that they are known again at a glance. */
const known = new Map<string, SourceFile>();

export default function checkShare({ rest, trees, options }: WorkerTask): TreeSummary[] {
  compiler ??= new Compiler(options);
  const files = rest.files.map((file) => {
    const kept = known.get(file.path);
    if (kept) return kept;
    known.set(file.path, file);
    return file;
  });
  return compiler.checkTrees({ files, pictures: rest.pictures }, trees);
}
