/** The command. Reads arguments, calls the library, writes to the terminal, sets the exit status; decides nothing else. */
import { resolve } from "node:path";
import { Command, CommanderError, InvalidArgumentError } from "commander";
import { kindOf } from "../2-shape/shape.ts";
import { boardOf } from "../5-analyse/board.ts";
import { emit } from "../6-emit/emit.ts";
import { rules } from "../checks/registry.ts";
import { Compiler, textsOf } from "../compile.ts";
import { coverOf, percent, renderCover } from "../report/cover.ts";
import { reportOf } from "../report/json.ts";
import { Sources } from "../report/lines.ts";
import { renderProof } from "../report/proof.ts";
import { renderTerminal } from "../report/terminal.ts";
import { nearest } from "../words/nearest.ts";
import { explainRule, listRules } from "./explain.ts";
import { loadBase } from "./load.ts";
import { Progress } from "./progress.ts";
import { runCheck, workersFor } from "./run-check.ts";
import { UsageError } from "./usage-error.ts";

/** 0 no complaint stops a build, 1 some do, 2 wrong usage, 3 our own failure. */
const status = { clean: 0, complaints: 1, usage: 2, failure: 3 } as const;

const hasColor = (stream: NodeJS.WriteStream): boolean =>
  !process.env.NO_COLOR && (Boolean(process.env.FORCE_COLOR) || (stream.isTTY === true && process.env.TERM !== "dumb"));
const today = (): string => {
  const now = new Date();
  return [now.getFullYear(), now.getMonth() + 1, now.getDate()].map((n) => String(n).padStart(2, "0")).join("-");
};

function count(text: string): number {
  if (!/^[1-9]\d?$/.test(text)) throw new InvalidArgumentError("give a number from 1 to 99");
  return Number(text);
}
function portNumber(text: string): number {
  if (!/^\d{1,5}$/.test(text) || Number(text) > 65_535) throw new InvalidArgumentError("give a number from 0 to 65535");
  return Number(text);
}

/** As it is written, so that 100 can't be missed by rounding. */
function perCent(text: string): number {
  if (!/^(\d{1,2}(\.\d+)?|100(\.0+)?)$/.test(text.replace(/ ?%$/, "")))
    throw new InvalidArgumentError("give a per cent from 0 to 100");
  return Number.parseFloat(text);
}

interface Checked {
  readonly compiler: Compiler;
  readonly input: ReturnType<typeof loadBase>;
  readonly result: Awaited<ReturnType<typeof runCheck>>;
  readonly sources: Sources;
}

async function checkFolder(folder: string, workers: number | undefined, once: boolean): Promise<Checked> {
  const progress = new Progress();
  const input = loadBase(folder);
  const options = { today: today(), once };
  const compiler = new Compiler(options);
  const trees = input.files.filter(({ path }) => kindOf(path) === "tree").length;
  const result = await runCheck(compiler, input, options, workers ?? workersFor(trees), progress);
  return { compiler, input, result, sources: new Sources(textsOf(input)) };
}

function prefixOf(folder: string): string {
  return folder === "." ? "" : folder.endsWith("/") ? folder : `${folder}/`;
}

const program = new Command("headwater")
  .description("Checks fault-finding trees and builds the site that walks a technician through them.")
  .showHelpAfterError("(headwater --help lists the commands)")
  .exitOverride()
  .configureOutput({ writeErr: (text) => process.stderr.write(text) });

program
  .command("check")
  .description("check a knowledge base and say what is wrong, and where")
  .argument("[folder]", "the folder with headwater.yaml", "trees")
  .option("--json", "write the complaints as JSON")
  .option("--workers <n>", "threads to use; left out: as many as pay off", count)
  .action(async (folder: string, { json, workers }: { json?: boolean; workers?: number }) => {
    const { result, sources } = await checkFolder(folder, workers, true);
    process.stdout.write(
      json
        ? `${JSON.stringify(reportOf(result, sources), null, 2)}\n`
        : renderTerminal(result, sources, { color: hasColor(process.stdout), prefix: prefixOf(folder) }),
    );
    process.exitCode = result.hasErrors ? status.complaints : status.clean;
  });

program
  .command("build")
  .description("check, then build the site into a folder; a faulty base leaves the folder as it is")
  .argument("[folder]", "the folder with headwater.yaml", "trees")
  .requiredOption("--out <dir>", "where the site goes; an older site there is replaced")
  .option("--workers <n>", "threads to use for the check; left out: as many as pay off", count)
  .action(async (folder: string, { out, workers }: { out: string; workers?: number }) => {
    const { compiler, input, result, sources } = await checkFolder(folder, workers, false);
    process.stdout.write(
      renderTerminal(result, sources, { color: hasColor(process.stdout), prefix: prefixOf(folder) }),
    );
    if (result.hasErrors) {
      process.stdout.write(`nothing was built; ${out} is as it was\n`);
      process.exitCode = status.complaints;
      return;
    }
    // Astro is loaded by the commands that build, not by a check.
    const { buildInto } = await import("./build.ts");
    const progress = new Progress();
    const ticking = setInterval(() => progress.say(`building ${result.counts.trees} trees`), 200);
    try {
      await buildInto(out, { compiler, input, folder, today: today() }, false);
    } finally {
      clearInterval(ticking);
      progress.done();
    }
    process.stdout.write(`the site is in ${resolve(out)}\n`);
  });

program
  .command("serve")
  .description("serve the site on this machine; check, rebuild and reload on every change")
  .argument("[folder]", "the folder with headwater.yaml", "trees")
  .option("--port <n>", "port; left out: 4400, or the next free one", portNumber)
  .option("--host <name>", "address to listen on; 0.0.0.0 lets a phone in the same network in", "127.0.0.1")
  .action(async (folder: string, { port, host }: { port?: number; host: string }) => {
    const { serve } = await import("./serve.ts");
    const serving = await serve({
      folder,
      host,
      port: port ?? 4400,
      portIsDefault: port === undefined,
      today: today(),
      color: hasColor(process.stdout),
      out: (text) => void process.stdout.write(text),
    });
    process.stdout.write(`\nserving ${serving.address} (Ctrl-C ends it)\n`);
    const stop = async (): Promise<void> => {
      await serving.close();
      process.exit(status.clean);
    };
    process.once("SIGINT", stop);
    process.once("SIGTERM", stop);
  });

program
  .command("prove")
  .description("report why the order of work in a tree is safe: needs, cautions, licences, ends")
  .argument("<tree>", "the tree's id")
  .argument("[folder]", "the folder with headwater.yaml", "trees")
  .option("--json", "write the proof as JSON")
  .action(async (id: string, folder: string, { json }: { json?: boolean }) => {
    const { compiler, input, result, sources } = await checkFolder(folder, undefined, false);
    const { world, trees } = compiler.linked(input);
    if (!trees.some((tree) => tree.id === id)) {
      const near = nearest(
        id,
        trees.map((tree) => tree.id),
      );
      throw new UsageError(`there is no tree ${id} in ${folder}${near ? `; ${near} may be meant` : ""}`);
    }
    if (result.hasErrors) {
      process.stdout.write(
        renderTerminal(result, sources, { color: hasColor(process.stdout), prefix: prefixOf(folder) }),
      );
      process.stdout.write("nothing is proven while there are errors\n");
      process.exitCode = status.complaints;
      return;
    }
    const base = emit(world, trees, today());
    const tree = base.trees.find((one) => one.id === id);
    if (!tree) throw new Error(`${id} was linked and not emitted`);
    process.stdout.write(json ? `${JSON.stringify(tree.proofs, null, 2)}\n` : renderProof(base, tree));
  });

program
  .command("cover")
  .description("say which symptoms the trees cover on which equipment, what they cost, and what is missing")
  .argument("[folder]", "the folder with headwater.yaml", "trees")
  .option("--json", "write it as JSON")
  .option("--at-least <per cent>", "end with status 1 when fewer of the pairs that apply are covered", perCent)
  .action(async (folder: string, { json, atLeast }: { json?: boolean; atLeast?: number }) => {
    // On one thread: what the others link stays with them, and the trees are needed here.
    const { compiler, input, result, sources } = await checkFolder(folder, 1, false);
    // What the trees fail to find is what is counted here. Anything else wrong makes the count worthless.
    const others = result.complaints.filter(
      ({ severity, rule }) => severity === "error" && rules.find(({ name }) => name === rule)?.group !== "causes",
    );
    if (others.length > 0) {
      process.stdout.write(
        renderTerminal({ ...result, complaints: others }, sources, {
          color: hasColor(process.stdout),
          prefix: prefixOf(folder),
        }),
      );
      process.stdout.write("nothing is counted while there are such errors\n");
      process.exitCode = status.complaints;
      return;
    }
    const { world, trees } = compiler.linked(input);
    const board = boardOf(world, trees, today());
    const { symptoms, equipment } = world.catalogs;
    const names = { symptoms: [...symptoms.keys()], families: [...equipment.keys()] };
    process.stdout.write(json ? `${JSON.stringify(coverOf(board), null, 2)}\n` : renderCover(board, names));
    if (atLeast === undefined || board.share * 100 >= atLeast) return;
    process.stderr.write(`headwater: ${percent(board.share)} % is less than the ${atLeast} % asked for\n`);
    process.exitCode = status.complaints;
  });

program
  .command("explain")
  .description("explain a rule with examples; without a name, list all rules")
  .argument("[rule]", "the rule's name, as it stands in the brackets of a complaint")
  .action((rule: string | undefined) => {
    process.stdout.write(rule === undefined ? listRules() : explainRule(rule, hasColor(process.stdout)));
  });

// Whoever reads only the beginning (`headwater check | head`) has seen enough; that is no fault of anybody.
process.stdout.on("error", (error: NodeJS.ErrnoException) => {
  if (error.code !== "EPIPE") throw error;
  process.exit();
});

try {
  await program.parseAsync();
} catch (error) {
  if (error instanceof CommanderError) process.exitCode = error.exitCode === 0 ? status.clean : status.usage;
  else if (error instanceof UsageError) {
    process.stderr.write(`headwater: ${error.message}\n`);
    process.exitCode = status.usage;
  } else {
    const { message = String(error), stack } = error as Error;
    process.stderr.write(
      `headwater: ${message}\nThis is a fault of headwater itself, not of your files. Please report it with what you ran.\n`,
    );
    if (process.env.HEADWATER_DEBUG) process.stderr.write(`${stack}\n`);
    process.exitCode = status.failure;
  }
}
