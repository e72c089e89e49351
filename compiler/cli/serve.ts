/**
 * Serves the site while its base is being written: watches the folder, checks what changed, shows complaints in the open
 * page, keeps the last good site meanwhile, and reloads the page when a new one is there.
 */
import { existsSync, mkdtempSync, rmSync } from "node:fs";
import { createServer, type IncomingMessage, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join, relative, sep } from "node:path";
import { watch } from "chokidar";
import sirv from "sirv";
import { Compiler, type Input, type Result, textsOf } from "../compile.ts";
import type { SourceFile } from "../model/source.ts";
import { renderHtml } from "../report/html.ts";
import { Sources } from "../report/lines.ts";
import { renderTerminal } from "../report/terminal.ts";
import { buildInto } from "./build.ts";
import { blankPage, goneWorker, liveScript } from "./live.ts";
import { isPartOfBase, loadBase, loadFile, loadPictures } from "./load.ts";
import { UsageError } from "./usage-error.ts";

export interface ServeOptions {
  readonly folder: string;
  readonly host: string;
  /** 0: any free port. */
  readonly port: number;
  /** Whether another port may be taken when this one is in use. */
  readonly portIsDefault: boolean;
  readonly today: string;
  readonly color: boolean;
  readonly out: (text: string) => void;
}

export interface Serving {
  readonly address: string;
  close(): Promise<void>;
}

/** Editors save in bursts (write, rename, touch): one check for the lot. */
const QUIET_MS = 40;

export async function serve(options: ServeOptions): Promise<Serving> {
  const { folder, today, out } = options;
  const compiler = new Compiler({ today });
  const loaded = loadBase(folder);
  const files = new Map(loaded.files.map((file) => [file.path, file]));
  let shown = loadPictures(folder);
  const site = join(mkdtempSync(join(tmpdir(), "headwater-serve-")), "site");
  const listeners = new Set<ServerResponse>();
  let page: ReturnType<typeof sirv> | undefined;
  let complaintsHtml = "";

  const input = (): Input => ({ files: sorted(files), ...shown });
  const send = (event: "complaints" | "reload", data: string): void => {
    for (const listener of listeners) listener.write(`event: ${event}\ndata: ${JSON.stringify(data)}\n\n`);
  };
  const checkNow = (): Result => {
    const now = input();
    const result = compiler.check(now);
    const sources = new Sources(textsOf(now));
    complaintsHtml = result.complaints.length > 0 ? renderHtml(result, sources) : "";
    out(renderTerminal(result, sources, { color: options.color, prefix: prefixOf(folder) }));
    send("complaints", result.hasErrors ? complaintsHtml : "");
    return result;
  };
  let building: Promise<void> | undefined;
  let again = false;
  const update = async (): Promise<void> => {
    if (building) {
      again = true;
      return;
    }
    if (checkNow().hasErrors) {
      out(page ? "the page shows the last good site until this is mended\n" : "nothing to show until this is mended\n");
      return;
    }
    building = buildInto(site, { compiler, input: input(), folder, today }, true);
    try {
      await building;
      // Read from disk each time, since the folder was exchanged.
      page = sirv(site, { dev: true, etag: true });
      send("reload", "");
    } catch (error) {
      out(`${error instanceof Error ? error.message : String(error)}\n`);
    } finally {
      building = undefined;
    }
    if (again) {
      again = false;
      await update();
    }
  };

  const handle = (request: IncomingMessage, response: ServerResponse): void => {
    const path = new URL(request.url ?? "/", "http://localhost").pathname;
    // A further language has a folder with a site of its own.
    const script = /^\/(?:[a-z]{2,3}(?:-[A-Z]{2})?\/)?(live|sw)\.js$/.exec(path)?.[1];
    if (script !== undefined) {
      response.writeHead(200, { "content-type": "text/javascript; charset=utf-8", "cache-control": "no-store" });
      response.end(script === "sw" ? goneWorker : liveScript);
    } else if (path === "/live") {
      response.writeHead(200, {
        "content-type": "text/event-stream",
        "cache-control": "no-store",
        connection: "keep-alive",
      });
      response.write(
        `retry: 500\nevent: complaints\ndata: ${JSON.stringify(page && building === undefined ? "" : complaintsHtml)}\n\n`,
      );
      listeners.add(response);
      request.on("close", () => listeners.delete(response));
    } else if (page) page(request, response, () => plain(response, 404, "There is no such page here."));
    else {
      response.writeHead(503, { "content-type": "text/html; charset=utf-8", "cache-control": "no-store" });
      response.end(blankPage(complaintsHtml));
    }
  };
  const server = createServer(handle);
  const port = await listen(server, options);
  await update();

  const changed = new Set<string>();
  let timer: NodeJS.Timeout | undefined;
  const watcher = watch(folder, {
    ignoreInitial: true,
    ignored: (path) => /(^|[/\\])(\.[^/\\]|node_modules)/.test(relative(folder, path)),
  });
  watcher.on("all", (_event, path) => {
    changed.add(relative(folder, path).split(sep).join("/"));
    clearTimeout(timer);
    timer = setTimeout(() => {
      const names = [...changed];
      changed.clear();
      if (reread(names)) void update();
    }, QUIET_MS);
  });
  await new Promise<void>((ready) => watcher.once("ready", () => ready()));
  watcher.on("error", (error) => out(`the folder can't be watched any more: ${String(error)}\n`));

  /** Takes the changed files in anew; false when none of them is part of the base. */
  function reread(names: readonly string[]): boolean {
    if (names.some((name) => name.startsWith("pictures"))) shown = loadPictures(folder);
    for (const name of names.filter(isPartOfBase))
      if (existsSync(join(folder, name))) files.set(name, loadFile(folder, name));
      else files.delete(name);
    return names.some((name) => isPartOfBase(name) || name.startsWith("pictures"));
  }

  return {
    address: `http://${options.host.includes(":") ? `[${options.host}]` : options.host}:${port}/`,
    async close() {
      await watcher.close();
      clearTimeout(timer);
      for (const listener of listeners) listener.end();
      await new Promise<void>((done) => {
        server.close(() => done());
        server.closeAllConnections();
      });
      await building?.catch(() => undefined);
      rmSync(join(site, ".."), { recursive: true, force: true });
    },
  };
}

function sorted(files: ReadonlyMap<string, SourceFile>): SourceFile[] {
  return [...files.values()].sort((a, b) => (a.path < b.path ? -1 : 1));
}

function prefixOf(folder: string): string {
  return folder === "." ? "" : folder.endsWith("/") ? folder : `${folder}/`;
}

function plain(response: ServerResponse, status: number, text: string): void {
  response.writeHead(status, { "content-type": "text/plain; charset=utf-8" });
  response.end(text);
}

/** @throws UsageError when the port that was asked for is taken or not allowed. */
async function listen(
  server: ReturnType<typeof createServer>,
  { host, port, portIsDefault }: ServeOptions,
): Promise<number> {
  for (let attempt = 0; ; attempt++) {
    const wanted = attempt === 0 || port === 0 ? port : port + attempt;
    try {
      await new Promise<void>((done, fail) => {
        server.once("error", fail);
        server.listen(wanted, host, () => {
          server.off("error", fail);
          done();
        });
      });
      return (server.address() as AddressInfo).port;
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException;
      if (code === "EADDRINUSE" && portIsDefault && attempt < 20) continue;
      throw new UsageError(
        code === "EADDRINUSE"
          ? `port ${wanted} is in use; give another with --port`
          : `can't listen on ${host}:${wanted} (${code})`,
      );
    }
  }
}
