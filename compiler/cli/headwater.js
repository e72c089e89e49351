#!/usr/bin/env node
// Plain JavaScript that any Node can read: it starts the real command on the Node that the project pins, since the
// command is TypeScript and older versions can't run that.
import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { fileURLToPath } from "node:url";

const [major, minor] = process.versions.node.split(".").map(Number);
if (major > 22 || (major === 22 && minor >= 18)) {
  await import("./main.ts");
} else {
  const pinned = fileURLToPath(new URL("../../node_modules/node/bin/node", import.meta.url));
  if (!existsSync(pinned)) {
    process.stderr.write("headwater: needs Node 24; run `npm ci` in its folder, which installs it, and try again\n");
    process.exitCode = 2;
  } else {
    const main = fileURLToPath(new URL("./main.ts", import.meta.url));
    const child = spawnSync(pinned, [main, ...process.argv.slice(2)], { stdio: "inherit" });
    if (child.signal) process.kill(process.pid, child.signal);
    process.exitCode = child.status ?? 3;
  }
}
