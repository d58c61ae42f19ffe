/**
 * Runs tests under each Node.js that the README names, and shows what those too old for the program say.
 * `npm run nodes` runs all tests, `npm run nodes -- test/cli` some; npm fetches a Node.js that is not there.
 */
import { spawnSync } from "node:child_process";

const tested = [20, 22, 24, 26];
const tooOld = [10, 12, 14, 16, 18];
const shell = process.platform === "win32";

const underNode = (version, args, stdio) =>
  spawnSync("npm", ["exec", "--yes", `--package=node@${version}`, "--", "node", ...args], {
    ...{ stdio, shell, encoding: "utf8" },
  });

const failed = [];
for (const version of tooOld) {
  const { status, stderr } = underNode(version, ["dist/stripcurve.js", "--version"], "pipe");
  const isTold = status === 2 && /^stripcurve needs Node\.js .*\.\n$/.test(stderr);
  console.log(`Node.js ${version}: ${isTold ? "told that it is too old" : stderr}`);
  if (!isTold) failed.push(version);
}
for (const version of tested) {
  console.log(`Node.js ${version}:`);
  const vitest = [
    "node_modules/vitest/vitest.mjs",
    "run",
    "--config",
    "test/vitest.config.ts",
    "--reporter=dot",
  ];
  const { status } = underNode(version, [...vitest, ...process.argv.slice(2)], "inherit");
  if (status !== 0) failed.push(version);
}
console.log(
  failed.length === 0 ? "Every Node.js did as it should." : `Failed: Node.js ${failed.join(", ")}.`,
);
process.exitCode = failed.length === 0 ? 0 : 1;
