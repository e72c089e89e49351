import { defineConfig } from "vitest/config";

export default defineConfig({
  test: {
    root: import.meta.dirname,
    include: ["**/*.test.ts"],
    globalSetup: ["browser/setup.ts"],
    // Two cores: more would only make the browser tests wait for each other.
    maxWorkers: 2,
    testTimeout: 300_000,
    hookTimeout: 240_000,
  },
});
