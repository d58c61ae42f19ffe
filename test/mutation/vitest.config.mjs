import { defineConfig } from "vitest/config";
import { rooms } from "./rooms.mjs";

export default defineConfig({
  root: new URL("../..", import.meta.url).pathname,
  test: {
    include: rooms[process.env.MUTATED_ROOM ?? ""]?.tests ?? [],
    isolate: false,
    testTimeout: 600_000,
    hookTimeout: 120_000,
  },
});
