/** Checks a base on this thread, or on this one and several more. */
import { once } from "node:events";
import { availableParallelism } from "node:os";
import { setImmediate } from "node:timers/promises";
import { Worker } from "node:worker_threads";
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

/** @param workers Threads in all, this one among them: it has its modules loaded and the catalogs linked already. */
export async function runCheck(
  compiler: Compiler,
  input: Input,
  options: Options,
  workers: number,
  progress: Progress,
): Promise<Result> {
  const share: Share = {
    rest: { files: input.files.filter(({ path }) => kindOf(path) !== "tree"), pictures: input.pictures },
    trees: input.files.filter(({ path }) => kindOf(path) === "tree"),
    options,
    taken: new Int32Array(new SharedArrayBuffer(Int32Array.BYTES_PER_ELEMENT)),
  };
  const here = async (): Promise<TreeSummary[]> => {
    const summaries: TreeSummary[] = [];
    for (const part of partsOf(share)) {
      summaries.push(...compiler.checkTrees(share.rest, part));
      progress.say(`checking: ${Math.min(share.taken[0] ?? 0, share.trees.length)} of ${share.trees.length} trees`);
      // Lets a thread that failed say so at once.
      if (workers > 1) await setImmediate();
    }
    return summaries;
  };
  const threads = Array.from({ length: workers - 1 }, () => inThread(share));
  const summaries = (await Promise.all([here(), ...threads])).flat();
  const result = compiler.finish(input, summaries);
  progress.done();
  return result;
}

/** What all threads work on together. */
export interface Share {
  readonly rest: Input;
  readonly trees: readonly SourceFile[];
  readonly options: Options;
  /** One number in shared memory: how many of the trees some thread has taken already. */
  readonly taken: Int32Array<SharedArrayBuffer>;
}

/** Trees in one part: few, so that all threads end at about the same time. */
const PART = 5;

/** Parts of the trees that no other thread has taken, until none are left. */
export function* partsOf({ trees, taken }: Share): Generator<readonly SourceFile[]> {
  for (;;) {
    const first = Atomics.add(taken, 0, PART);
    if (first >= trees.length) return;
    yield trees.slice(first, first + PART);
  }
}

async function inThread(share: Share): Promise<TreeSummary[]> {
  const thread = new Worker(new URL("./worker.ts", import.meta.url), {
    workerData: share,
    // Nearly all that a check allocates dies young; as much room for it as this thread has where memory is plenty.
    resourceLimits: { maxYoungGenerationSizeMb: 192 },
  });
  const [summaries] = (await once(thread, "message")) as [TreeSummary[]];
  return summaries;
}
