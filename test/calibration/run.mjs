/**
 * Runs a calibration with the arithmetic of the program as it is built: `node test/calibration/run.mjs calibrate 16`.
 *
 * The first word names a file of this folder; the others are handed on to it.
 */
import { spawnSync } from "node:child_process";
import { basename, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";
import { sameArithmetic } from "../../src/build/same-arithmetic.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
const [name, ...handedOn] = process.argv.slice(2);
const outfile = join(root, `node_modules/.cache/${basename(name)}.cjs`);
await build({
  entryPoints: [join(root, `test/calibration/${name}.ts`)],
  outfile,
  bundle: true,
  platform: "node",
  format: "cjs",
  logLevel: "error",
  plugins: [sameArithmetic()],
});
process.exitCode = spawnSync(process.execPath, [outfile, ...handedOn], {
  cwd: root,
  stdio: "inherit",
}).status;
