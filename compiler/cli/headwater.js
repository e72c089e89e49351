#!/usr/bin/env node
// Plain JavaScript that any Node can read: it starts the real command on the Node that the project pins, since the
// command is TypeScript and older versions can't run that.
import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import module from "node:module";
import { fileURLToPath } from "node:url";

const [major, minor] = process.versions.node.split(".").map(Number);
if (major > 22 || (major === 22 && minor >= 18)) {
  // Compiled once a version, not once a start; threads share it.
  module.enableCompileCache();
  await import("./main.ts");
} else {
  const pinned = fileURLToPath(new URL("../../node_modules/node/bin/node", import.meta.url));
  if (!existsSync(pinned)) {
    process.stderr.write("headwater: needs Node 24; run `npm ci` in its folder, which installs it, and try again\n");
    process.exitCode = 2;
  } else {
    const child = spawnSync(pinned, process.argv.slice(1), { stdio: "inherit" });
    if (child.signal) process.kill(process.pid, child.signal);
    process.exitCode = child.status ?? 3;
  }
}
