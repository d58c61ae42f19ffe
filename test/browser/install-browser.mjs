/** Before the tests: makes sure of a browser where that is possible, and says so loudly where it is not. */
import { spawnSync } from "node:child_process";
import { findBrowser } from "./find-browser.mjs";

const run = (command, args) => spawnSync(command, args, { stdio: "inherit" }).status === 0;
const isRootOnDebian = () =>
  process.platform === "linux" &&
  process.getuid?.() === 0 &&
  spawnSync("apt-get", ["--version"], { stdio: "ignore" }).status === 0;

if (findBrowser() === null) {
  console.log("No Chromium found: trying to install one for the browser tests.");
  const installed =
    (isRootOnDebian() &&
      run("apt-get", ["update", "-qq"]) &&
      run("apt-get", ["install", "-y", "-qq", "--no-install-recommends", "chromium"])) ||
    run(process.execPath, ["node_modules/playwright-core/cli.js", "install", "chromium"]);
  if (!installed || findBrowser() === null)
    console.log(
      "\n*** NO BROWSER: the tests of the finished page will be SKIPPED. ***\n" +
        "*** Install Chromium or Chrome, or name one in the environment variable CHROMIUM. ***\n",
    );
}
