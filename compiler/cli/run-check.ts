/** Checks a base on this thread, or spread over several. */
import { availableParallelism } from "node:os";
import { Tinypool } from "tinypool";
import { kindOf } from "../2-shape/shape.ts";
import type { Compiler, Input, Options, Result, TreeSummary } from "../compile.ts";
import type { SourceFile } from "../model/source.ts";
import type { Progress } from "./progress.ts";

/** Below this many trees, starting threads takes longer than they save. */
const WORTH_WORKERS = 120;

/** Threads that `auto` means for so many trees. */
export function workersFor(trees: number): number {
  return trees < WORTH_WORKERS ? 1 : Math.min(4, availableParallelism());
}

export async function runCheck(
  compiler: Compiler,
  input: Input,
  options: Options,
  workers: number,
  progress: Progress,
): Promise<Result> {
  const trees = input.files.filter(({ path }) => kindOf(path) === "tree");
  const summaries =
    workers > 1 ? await inWorkers(input, trees, options, workers, progress) : alone(compiler, input, trees, progress);
  const result = compiler.finish(input, summaries);
  progress.done();
  return result;
}

function alone(compiler: Compiler, input: Input, trees: readonly SourceFile[], progress: Progress): TreeSummary[] {
  const summaries: TreeSummary[] = [];
  for (let i = 0; i < trees.length; i += 20) {
    summaries.push(...compiler.checkTrees(input, trees.slice(i, i + 20)));
    progress.say(`checking: ${summaries.length} of ${trees.length} trees`);
  }
  return summaries;
}

export interface WorkerTask {
  readonly rest: Input;
  readonly trees: readonly SourceFile[];
  readonly options: Options;
}

async function inWorkers(
  input: Input,
  trees: readonly SourceFile[],
  options: Options,
  workers: number,
  progress: Progress,
): Promise<TreeSummary[]> {
  const pool = new Tinypool({
    filename: new URL("./worker.ts", import.meta.url).href,
    minThreads: workers,
    maxThreads: workers,
  });
  const rest: Input = { files: input.files.filter(({ path }) => kindOf(path) !== "tree"), pictures: input.pictures };
  // Some more parts than threads, so that no thread waits long for a slower one; not many, since each sends the catalogs.
  const size = Math.ceil(trees.length / (workers * 4));
  let done = 0;
  const parts: Promise<TreeSummary[]>[] = [];
  for (let i = 0; i < trees.length; i += size) {
    const task: WorkerTask = { rest, trees: trees.slice(i, i + size), options };
    parts.push(
      (pool.run(task) as Promise<TreeSummary[]>).then((part) => {
        done += part.length;
        progress.say(`checking: ${done} of ${trees.length} trees`);
        return part;
      }),
    );
  }
  try {
    return (await Promise.all(parts)).flat();
  } finally {
    await pool.destroy();
  }
}
