/**
 * One measurement in a process of its own, as the command runs it: nothing is warm. Prints milliseconds.
 *
 *   cold.ts floor           parse every tree and validate it, nothing else
 *   cold.ts check <workers> check the base
 *   cold.ts half            check half of the base on one thread (two at once show what two cores can give)
 */
import module from "node:module";

module.enableCompileCache();
const { LineCounter, parseDocument } = await import("yaml");
const { quickValidator } = await import("../../compiler/2-shape/validators.ts");
const { Progress } = await import("../../compiler/cli/progress.ts");
const { runCheck } = await import("../../compiler/cli/run-check.ts");
const { Compiler } = await import("../../compiler/index.ts");
const { largeBase } = await import("./large-base.ts");

const [what, workers] = process.argv.slice(2);
const files = largeBase(what === "half" ? 500 : 1000);
const start = performance.now();
if (what === "floor") {
  for (const file of files) {
    if (!("text" in file) || !file.path.startsWith("area-")) continue;
    const document = parseDocument(file.text, { lineCounter: new LineCounter() });
    quickValidator("tree")(document.toJS());
  }
} else {
  const options = { today: "2026-10-10", once: true };
  await runCheck(new Compiler(options), { files, pictures: [] }, options, Number(workers ?? 1), new Progress());
}
process.stdout.write(`${performance.now() - start}\n`);
