import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";

const run = fileURLToPath(new URL("run.mjs", import.meta.url));
const asked = [run, "calibrate", "1", "--family", "flat", "--workers"];
const scoresBy = (workers: number): string =>
  execFileSync(process.execPath, [...asked, String(workers)]).toString();

describe("the calibration", () => {
  it("gives the same bytes however many workers share it", () => {
    const alone = scoresBy(1);
    // One farm of each number of seasons, each with a score a variety.
    expect(alone.trim().split("\n").length).toBeGreaterThanOrEqual(4);
    expect(scoresBy(2)).toBe(alone);
  });
});
