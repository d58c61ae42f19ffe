import { buildSync } from "esbuild";
import { execFileSync } from "node:child_process";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";

const calibrate = fileURLToPath(new URL("calibrate.ts", import.meta.url));
let folder = "";
let program = "";

beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "stripcurve-calibrate-"));
  program = join(folder, "calibrate.cjs");
  buildSync({
    entryPoints: [calibrate],
    outfile: program,
    bundle: true,
    platform: "node",
    format: "cjs",
    logLevel: "error",
  });
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const scoresBy = (workers: number): string =>
  execFileSync(process.execPath, [program, "1", "--family", "flat", "--workers", String(workers)]).toString();

describe("the calibration", () => {
  it("gives the same bytes however many workers share it", () => {
    const alone = scoresBy(1);
    // One farm of each number of seasons, each with a score a variety.
    expect(alone.trim().split("\n").length).toBeGreaterThanOrEqual(4);
    expect(scoresBy(3)).toBe(alone);
  });
});
