/** Finds a Chromium to test the page in: one that is named, installed, or fetched by Playwright earlier. */
import { accessSync, constants, readdirSync } from "node:fs";
import { homedir, platform } from "node:os";
import { join } from "node:path";

const isProgram = (path) => {
  try {
    accessSync(path, constants.X_OK);
    return true;
  } catch {
    return false;
  }
};

const inPath = (names) =>
  (process.env.PATH ?? "")
    .split(platform() === "win32" ? ";" : ":")
    .flatMap((folder) => names.map((name) => join(folder, platform() === "win32" ? `${name}.exe` : name)));

const places = {
  darwin: [
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Microsoft Edge.app/Contents/MacOS/Microsoft Edge",
  ],
  win32: [
    "C:\\Program Files\\Google\\Chrome\\Application\\chrome.exe",
    "C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe",
  ],
};

/** Programs that `npx playwright-core install chromium` has put into its cache. */
function fetched(kind, inside) {
  const cache =
    process.env.PLAYWRIGHT_BROWSERS_PATH ??
    {
      darwin: join(homedir(), "Library/Caches/ms-playwright"),
      win32: join(process.env.LOCALAPPDATA ?? homedir(), "ms-playwright"),
    }[platform()] ??
    join(homedir(), ".cache/ms-playwright");
  try {
    return readdirSync(cache)
      .filter((name) => name.startsWith(`${kind}-`))
      .sort()
      .reverse()
      .flatMap((name) => inside.map((path) => join(cache, name, path)));
  } catch {
    return [];
  }
}

const first = (paths) => paths.find((path) => path !== "" && isProgram(path)) ?? null;

/** Path of a browser with its windows, or null. The environment variable CHROMIUM goes before all. */
export const findBrowser = () =>
  first([
    process.env.CHROMIUM ?? "",
    ...inPath(["chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "msedge"]),
    ...(places[platform()] ?? []),
    ...fetched("chromium", [
      "chrome-linux/chrome",
      "chrome-linux64/chrome",
      "chrome-mac/Chromium.app/Contents/MacOS/Chromium",
      "chrome-win/chrome.exe",
    ]),
  ]);

/** Path of a Chromium that has no windows of its own, or null: the same pages by the same code, for half of the work. */
export const findShell = () =>
  first([
    ...inPath(["chromium-headless-shell", "chrome-headless-shell"]),
    ...fetched(
      "chromium_headless_shell",
      ["linux", "linux64", "mac", "mac-arm64", "mac-x64", "win", "win64"].flatMap((system) => [
        `chrome-${system}/headless_shell${system.startsWith("win") ? ".exe" : ""}`,
        `chrome-headless-shell-${system}/chrome-headless-shell${system.startsWith("win") ? ".exe" : ""}`,
      ]),
    ),
  ]);

/** What pages are tested in. The environment variable CHROMIUM goes before all. */
export const findTestBrowser = () => first([process.env.CHROMIUM ?? ""]) ?? findShell() ?? findBrowser();
