/** A further thread's part in a check; see `runCheck`. */
import { parentPort, workerData } from "node:worker_threads";
import { Compiler, type TreeSummary } from "../compile.ts";
import { partsOf, type Share } from "./run-check.ts";

const share = workerData as Share;
const compiler = new Compiler(share.options);
const summaries: TreeSummary[] = [];
// One by one: a part that is taken is a part that no other thread does.
for (const part of partsOf(share)) summaries.push(...compiler.checkTrees(share.rest, part));
parentPort?.postMessage(summaries);
