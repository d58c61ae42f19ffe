/**
 * Measures the desk in a real browser: `npm run bench -- desk`.
 *
 * From the disk, without a network: until it can be used, from the demo farm to its answer, and from 60 field-seasons ×
 * 8 varieties × 6 rates × 4 blocks to theirs; and the longest time that the page does not listen meanwhile.
 */
import { spawnSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import { chromium, type Page } from "playwright-core";
import { findBrowser } from "../../browser/find-browser.mjs";
import { longestTask } from "../../browser/longest-task.ts";
import { putAtMost, putRow } from "../bars.ts";
import { ownFolder } from "../command/run-command.ts";
import { writeNetwork } from "../scale/write-network.ts";

const folder = ownFolder();
const network = join(folder, "network.csv");
writeNetwork([network], 60 * 8 * 6 * 4);
const file = join(process.cwd(), "dist/desk.html");
const bytes = readFileSync(file);
putAtMost("desk, size", bytes.length / 1e6, "MB", 1.6);
putAtMost("desk, size packed", gzipSync(bytes).length / 1000, "kB", 650);

const browserPath = findBrowser();
if (browserPath === null) putRow("desk in a browser", "not measured: no browser");
else void measure(browserPath);

interface Times {
  usable: number;
  command: number;
  demo: number;
  /** The same, once the page was looked at for a while. */
  rested: number;
  large: number;
  longestTask: number;
}

async function measure(executablePath: string): Promise<void> {
  const browser = await chromium.launch({
    executablePath,
    args: [...(process.getuid?.() === 0 ? ["--no-sandbox"] : []), "--disable-gpu"],
  });
  try {
    const all: Times[] = [];
    for (let opening = 0; opening < 3; opening++) {
      const context = await browser.newContext({ offline: true });
      all.push(await workOnce(await context.newPage()));
      await context.close();
    }
    const middle = (name: keyof Times): number => all.map((times) => times[name]).sort((a, b) => a - b)[1]!;
    putAtMost("desk, usable after opening", middle("usable") / 1000, "s", 1);
    putAtMost("desk, demo farm to its answer", middle("demo") / 1000, "s", 2);
    putAtMost("desk, demo farm to its answer, five seconds after opening", middle("rested") / 1000, "s", 2);
    putAtMost("desk, demo farm: longest task of the page, processor time", middle("longestTask"), "ms", 100);
    // Both run one after the other, so that whatever else the machine does weighs on both.
    putRow(
      "desk, demo farm to its answer: time over the command's report of it from a cold start",
      `${(middle("demo") / middle("command")).toFixed(2)} ×`,
    );
    putAtMost("desk, 11,520 strips to their answer", middle("large") / 1000, "s", 8);
  } finally {
    await browser.close();
  }
}

async function workOnce(page: Page): Promise<Times> {
  await page.goto(`file://${file}`);
  await page.waitForFunction(() => document.documentElement.dataset["state"] === "quiet");
  const usable = await marked(page, "desk: usable");
  const answered = async (press: () => Promise<void>): Promise<number> => {
    await page.evaluate(() => performance.clearMarks("desk: answer shown"));
    const start = await page.evaluate(() => performance.now());
    await press();
    await page.waitForFunction(() => performance.getEntriesByName("desk: answer shown").length > 0, null, {
      timeout: 300_000,
      polling: 20,
    });
    return (await marked(page, "desk: answer shown")) - start;
  };
  const before = performance.now();
  spawnSync(
    process.execPath,
    [
      "dist/stripcurve.js",
      "report",
      "data-demo/strips-*.csv",
      "--lots",
      "data-demo/lots.csv",
      "--season",
      "data-demo/season.yaml",
      "--overwrite",
      "-o",
      join(folder, "demo.html"),
    ],
    { stdio: "ignore" },
  );
  const command = performance.now() - before;
  let demo = 0;
  const { ms } = await longestTask(page, async () => {
    demo = await answered(() => page.getByRole("button", { name: "Try the demo farm" }).click());
  });
  await page.reload();
  await page.waitForTimeout(5_000);
  const rested = await answered(() => page.getByRole("button", { name: "Try the demo farm" }).click());
  await page.reload();
  const large = await answered(async () => {
    await page.locator('input[aria-label="Choose files"]').setInputFiles(network);
    await page.locator("nav").getByRole("button", { name: "Answer" }).click();
  });
  return { usable, command, demo, rested, large, longestTask: ms };
}

/** When something happened last, from the opening [ms]. */
const marked = (page: Page, name: string): Promise<number> =>
  page.evaluate((mark) => performance.getEntriesByName(mark).at(-1)!.startTime, name);
