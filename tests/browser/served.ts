/** A browser and a site on a local port, for the tests of one file. */
import { createServer, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import type { Browser, BrowserContext, Page } from "playwright-core";
import sirv from "sirv";
import { afterAll, beforeAll, inject } from "vitest";
import { launch } from "./chromium.ts";

export interface Served {
  readonly browser: Browser;
  /** Ends with a slash; below a folder, since the site must work there. */
  readonly address: string;
  /** A context of its own that fails the test when a page reports an error or asks another host. */
  open(
    options?: Parameters<Browser["newContext"]>[0],
  ): Promise<{ context: BrowserContext; page: Page; faults: string[] }>;
}

/**
 * Starts before the file's tests and ends behind them.
 *
 * @param folder The site's folder, asked for when it is there; the demo's unless it says otherwise.
 */
export function served(folder = (): string => inject("site")): Served {
  let browser: Browser | undefined;
  let server: Server | undefined;
  let address = "";
  beforeAll(async () => {
    browser = await launch(inject("chromium"));
    const files = sirv(folder(), { dev: true });
    server = createServer((request, response) => {
      request.url = (request.url ?? "").replace(/^\/below\/a\/folder/, "") || "/";
      files(request, response, () => {
        response.writeHead(404).end();
      });
    });
    await new Promise<void>((ready) => server?.listen(0, "127.0.0.1", ready));
    address = `http://127.0.0.1:${(server.address() as AddressInfo).port}/below/a/folder/`;
  });
  afterAll(async () => {
    await browser?.close();
    server?.closeAllConnections();
    await new Promise((ended) => server?.close(ended));
  });
  return {
    get browser(): Browser {
      if (!browser) throw new Error("no browser yet");
      return browser;
    },
    get address(): string {
      return address;
    },
    async open(options = {}) {
      const context = await this.browser.newContext({
        viewport: { width: 360, height: 740 },
        serviceWorkers: "block",
        ...options,
      });
      const page = await context.newPage();
      const faults: string[] = [];
      page.on("pageerror", (error) => faults.push(`error in the page: ${error.message}`));
      page.on("console", (message) => {
        if (message.type() === "error") faults.push(`console: ${message.text()}`);
      });
      page.on("request", (request) => {
        const url = request.url();
        if (!url.startsWith(address) && !/^(data|blob|file):/.test(url)) faults.push(`asks for ${url}`);
      });
      return { context, page, faults };
    },
  };
}
