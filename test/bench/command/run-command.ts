/** The built command in a process of its own, start-up included, and what it used. */
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

/** What a run used: seconds by the clock and of the processors, and the largest memory in MiB. */
export interface Usage {
  wallSeconds: number;
  cpuSeconds: number;
  peakMb: number;
}

/** A folder for a measurement's own files, gone when the process ends. */
export function ownFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "stripcurve-bench-"));
  process.on("exit", () => rmSync(folder, { recursive: true, force: true }));
  return folder;
}

const folder = ownFolder();

/** The median of each measure over some runs of `stripcurve …`; its tables go nowhere. */
export function runCommand(args: string[], runs: number): Usage {
  const all = Array.from({ length: runs }, () => runOnce(args));
  const median = (name: keyof Usage): number =>
    all.map((run) => run[name]).sort((a, b) => a - b)[Math.floor(runs / 2)]!;
  return {
    wallSeconds: median("wallSeconds"),
    cpuSeconds: median("cpuSeconds"),
    peakMb: median("peakMb"),
  };
}

function runOnce(args: string[]): Usage {
  const usage = join(folder, "usage.json");
  const preload = pathToFileURL(resolve("test/bench/command/usage.mjs")).href;
  const start = performance.now();
  execFileSync(process.execPath, ["--import", preload, "dist/stripcurve.js", ...args, "--quiet"], {
    env: { ...process.env, STRIPCURVE_USAGE: usage },
    stdio: ["ignore", "ignore", "inherit"],
  });
  const wallSeconds = (performance.now() - start) / 1000;
  return { wallSeconds, ...(JSON.parse(readFileSync(usage, "utf8")) as Omit<Usage, "wallSeconds">) };
}

/** A run's cells for a printed table. */
export const usageCells = ({ wallSeconds, cpuSeconds, peakMb }: Usage): string[] => [
  wallSeconds.toFixed(2),
  cpuSeconds.toFixed(2),
  peakMb.toFixed(0),
];
