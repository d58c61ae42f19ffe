/**
 * Measures the built command from outside, start-up included: `npm run bench`, and `npm run bench -- --million` for the
 * largest network too; then the engine from inside (`decision/main.ts`, `fits/main.ts`). Times are medians; the machine is
 * named above the table.
 */
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync, statSync } from "node:fs";
import { cpus, tmpdir, totalmem } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { makeNetwork } from "./make-network.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
const command = join(root, "dist/stripcurve.js");
const preload = new URL("./usage.mjs", import.meta.url).href;
const folder = mkdtempSync(join(tmpdir(), "stripcurve-bench-"));
const demoFile = (name) => join(root, "data-demo", name);
const demo = [
  ...["strips-2024.csv", "strips-2025.csv", "strips-2026.csv"].map(demoFile),
  ...["--lots", demoFile("lots.csv"), "--season", demoFile("season.yaml")],
];

const median = (numbers) => [...numbers].sort((a, b) => a - b)[Math.floor(numbers.length / 2)];

function once(args) {
  const usage = join(folder, "usage.json");
  const start = process.hrtime.bigint();
  execFileSync(process.execPath, ["--import", preload, command, ...args, "--quiet"], {
    env: { ...process.env, STRIPCURVE_USAGE: usage },
    stdio: ["ignore", "ignore", "inherit"],
  });
  const wallSeconds = Number(process.hrtime.bigint() - start) / 1e9;
  return { wallSeconds, ...JSON.parse(readFileSync(usage, "utf8")) };
}

function measure(what, args, runs, bar = "") {
  const all = Array.from({ length: runs }, () => once(args));
  const of = (name) => median(all.map((run) => run[name]));
  const row = { what, wall: of("wallSeconds"), cpu: of("cpuSeconds"), peak: of("peakMb"), runs, bar };
  const cells = [
    row.what.padEnd(34),
    row.wall.toFixed(2),
    row.cpu.toFixed(2),
    row.peak.toFixed(0),
    String(runs),
  ];
  console.log(
    `${cells[0]} ${cells
      .slice(1)
      .map((cell) => cell.padStart(9))
      .join("")}  ${bar}`,
  );
  return row;
}

console.log(
  `${cpus()[0].model}, ${cpus().length} processors, ${(totalmem() / 2 ** 30).toFixed(0)} GiB, Node ${process.version}\n`,
);
console.log(
  `${"".padEnd(34)} ${["wall s", "cpu s", "peak MB", "runs"].map((cell) => cell.padStart(9)).join("")}  bar`,
);
try {
  const report = join(folder, "report.html");
  measure("check, demo", ["check", ...demo], 5);
  measure("fit, demo", ["fit", ...demo], 5);
  measure("report, demo", ["report", ...demo, "-o", report], 5, "1.5 s, 250 MB");
  console.log(
    `${"report, demo: size".padEnd(34)} ${`${(statSync(report).size / 1e6).toFixed(2)} MB`.padStart(9)}${"".padEnd(29)}1.5 MB`,
  );
  const sizes = [10_000, 100_000, ...(process.argv.includes("--million") ? [1_000_000] : [])];
  for (const name of ["check", "fit"]) {
    const rows = sizes.map((strips) => {
      const path = join(folder, `${strips}.csv`);
      makeNetwork(path, strips);
      const bar = name === "fit" && strips === 1_000_000 ? "60 s, 1500 MB" : "";
      const row = measure(
        `${name}, ${strips.toLocaleString("en")} strips`,
        [name, path, "-o", join(folder, "out")],
        strips > 1e5 ? 1 : 3,
        bar,
      );
      rmSync(path);
      return row;
    });
    const exponent = Math.log(rows.at(-1).cpu / rows.at(-2).cpu) / Math.log(sizes.at(-1) / sizes.at(-2));
    console.log(`${`${name}: time grows as strips to the`.padEnd(34)} ${exponent.toFixed(2).padStart(9)}`);
  }
} finally {
  rmSync(folder, { recursive: true, force: true });
}

// The engine from inside, with the same flags.
console.log("");
for (const part of ["bench:decision", "bench:fits"])
  execFileSync("npm", ["run", "--silent", part, "--", ...process.argv.slice(2)], {
    cwd: root,
    stdio: "inherit",
  });
