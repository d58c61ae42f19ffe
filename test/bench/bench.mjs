/**
 * Measures what this project promises: `npm run bench`, or `npm run bench -- scale fits` for some of its parts.
 *
 * A part is a folder here with a `main.ts`, which prints what it measures in its own way and puts a row (`bars.ts`) for each
 * bar. Flags go on to the parts: `--quick` leaves out the million strips, `--no-r` and `--install-r` tell `fits` what to do
 * about R. A run of all parts in full writes the rows into DEVELOPERS.md.
 */
import { buildSync } from "esbuild";
import { spawnSync } from "node:child_process";
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync } from "node:fs";
import { cpus, tmpdir, totalmem } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { printResults, writeResults } from "./results-table.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
const here = join(root, "test/bench");
const parts = readdirSync(here).filter((name) => existsSync(join(here, name, "main.ts")));
const flags = process.argv.slice(2).filter((word) => word.startsWith("--"));
const asked = process.argv.slice(2).filter((word) => !word.startsWith("--"));
const unknown = asked.find((name) => !parts.includes(name));
if (unknown !== undefined) {
  console.error(`There is no part "${unknown}"; there are ${parts.join(", ")}.`);
  process.exit(2);
}

const machine = `${cpus().length} cores, ${(totalmem() / 2 ** 30).toFixed(0)} GiB of memory, Node ${process.versions.node}`;
const folder = mkdtempSync(join(tmpdir(), "stripcurve-bench-"));
const rowsOf = (part) => {
  const path = join(folder, part);
  return existsSync(path) ? readFileSync(path, "utf8").trim().split("\n").map(JSON.parse) : [];
};

/** Runs a part in a process of its own, so that none warms up or burdens the next; true if it came to its end. */
function run(part) {
  console.log(`── ${part} ──\n`);
  const outfile = join(root, `node_modules/.cache/bench-${part}.cjs`);
  buildSync({
    entryPoints: [join(here, part, "main.ts")],
    outfile,
    bundle: true,
    platform: "node",
    format: "cjs",
    logLevel: "error",
    external: ["playwright-core"],
  });
  const env = { ...process.env, STRIPCURVE_BARS: join(folder, part) };
  return spawnSync(process.execPath, [outfile, ...flags], { cwd: root, env, stdio: "inherit" }).status === 0;
}

console.log(`${machine}\n`);
try {
  const chosen = asked.length > 0 ? asked : parts;
  const broken = chosen.filter((part) => !run(part));
  const results = chosen.map((part) => ({ part, rows: rowsOf(part) }));
  printResults(results);
  if (broken.length > 0) {
    console.error(`Broke off: ${broken.join(", ")}.`);
    process.exitCode = 1;
  } else if (chosen === parts && !flags.includes("--quick"))
    writeResults(join(root, "DEVELOPERS.md"), machine, results);
} finally {
  rmSync(folder, { recursive: true, force: true });
}
