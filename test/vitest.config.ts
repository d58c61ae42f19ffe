import { availableParallelism } from "node:os";
import { fileURLToPath } from "node:url";
import { defineConfig, type TestProjectConfiguration } from "vitest/config";
import { sameArithmeticInTests } from "../src/build/same-arithmetic.mjs";
import { LongestFirst } from "./longest-first.ts";
import { TriedAgain } from "./tried-again.ts";

const root = fileURLToPath(new URL("..", import.meta.url));

/**
 * Test files of one worker share their modules, so that the demo farm is analysed once for all: what a test changes beyond
 * its own file (clock, environment, globals) it must put back.
 */
const project = (
  name: string,
  include: string[],
  more: { globalSetup?: string[]; retry?: number; expect?: { requireAssertions: boolean } } = {},
): TestProjectConfiguration => ({
  extends: true,
  test: {
    name,
    include,
    isolate: false,
    ...more,
    globalSetup: ["test/run-folder.ts", ...(more.globalSetup ?? [])],
  },
});

/** A test that asserted nothing (an empty list gone through, an `if` not taken) fails; in a browser, waiting asserts. */
const asserts = { expect: { requireAssertions: true } };

export default defineConfig({
  root,
  plugins: [sameArithmeticInTests()],
  test: {
    // Every core has a worker: without it, one of two cores waits.
    maxWorkers: availableParallelism(),
    sequence: { sequencer: LongestFirst },
    reporters: ["default", new TriedAgain()],
    // What is built runs as it was built, not as the tests' own files.
    server: { deps: { external: [/\/dist\/stripcurve/] } },
    // No test is to fail because the machine had other work: these end what hangs.
    testTimeout: 240_000,
    hookTimeout: 240_000,
    projects: [
      project(
        "engine and command",
        [
          "test/*.test.ts",
          "test/{unit,reference,property,cli}/**/*.test.ts",
          "test/calibration/**/*.test.ts",
        ],
        asserts,
      ),
      // A busy machine may keep a real browser waiting: a failed test runs once more, and the run says why it failed.
      project("browser", ["test/browser/**/*.test.ts"], {
        globalSetup: ["test/browser/one-browser.ts"],
        retry: 1,
      }),
    ],
  },
});
