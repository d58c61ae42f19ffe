/** Before the tests: makes sure of a browser where that is possible, and says so loudly where it is not. */
import { spawnSync } from "node:child_process";
import { findShell, findTestBrowser } from "./find-browser.mjs";

const run = (command, args) => spawnSync(command, args, { stdio: "inherit" }).status === 0;
const isRootOnDebian =
  process.platform === "linux" &&
  process.getuid?.() === 0 &&
  spawnSync("apt-get", ["--version"], { stdio: "ignore" }).status === 0;
const installed = (name) => run("apt-get", ["install", "-y", "-qq", "--no-install-recommends", name]);

// A server that tests takes the one without windows beside any other: it halves the time of the browser tests.
if (findTestBrowser() === null || (findShell() === null && isRootOnDebian && process.env.CI !== undefined)) {
  console.log("Installing a Chromium for the browser tests.");
  if (isRootOnDebian && run("apt-get", ["update", "-qq"]))
    void (installed("chromium-headless-shell") || installed("chromium"));
  if (findTestBrowser() === null)
    run(process.execPath, ["node_modules/playwright-core/cli.js", "install", "--only-shell", "chromium"]);
  if (findTestBrowser() === null)
    console.log(
      "\n*** NO BROWSER: the tests of the finished page will be SKIPPED. ***\n" +
        "*** Install Chromium or Chrome, or name one in the environment variable CHROMIUM. ***\n",
    );
}
