/** The desk as a grower opens it: from the disk, in a real browser, without a network. */
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { gzipSync } from "node:zlib";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { noBrowser, reportBrowser } from "./open-report.ts";

const root = new URL("../../", import.meta.url).pathname;
const deskPath = join(root, "dist/desk.html");
const desk = readFileSync(deskPath, "utf8");
const demoFiles = ["strips-2024.csv", "strips-2025.csv", "strips-2026.csv", "lots.csv", "season.yaml"];

const pressed = (page: Page, name: string): Promise<void> =>
  page.getByRole("button", { name }).first().click();

/** Waits for the report in its frame. */
async function answerShown(page: Page): Promise<void> {
  await page.waitForFunction(
    () =>
      !document.querySelector("iframe.report")?.matches("[hidden], .stale") &&
      document.querySelector("#progress")!.textContent === "",
  );
}

let folder = "";

/** What a press saves, as text. */
async function saved(page: Page, name: string): Promise<string> {
  const [download] = await Promise.all([page.waitForEvent("download"), pressed(page, name)]);
  const path = join(folder, download.suggestedFilename());
  await download.saveAs(path);
  return readFileSync(path, "utf8");
}

const command = (...args: string[]): string =>
  execFileSync(process.execPath, [join(root, "dist/stripcurve.js"), ...args], {
    cwd: join(root, "data-demo"),
    encoding: "utf8",
    maxBuffer: 1e8,
    stdio: ["ignore", "pipe", "ignore"],
  });

describe("the desk's file", () => {
  it("is at most 1.6 MB, 650 kB packed", () => {
    expect(desk.length).toBeLessThanOrEqual(1_600_000);
    expect(gzipSync(desk).length).toBeLessThanOrEqual(650_000);
  });
});

describe.skipIf(noBrowser)("the desk in Chromium", () => {
  const browser = reportBrowser();
  beforeAll(() => void (folder = mkdtempSync(join(tmpdir(), "stripcurve-desk-"))));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it("answers the demo farm as the command does, byte for byte, and asks for nothing outside itself", async () => {
    const { page, complaints } = await browser.open(desk);
    await pressed(page, "Try the demo farm");
    await answerShown(page);
    const report = page.frameLocator("iframe.report");
    expect(await report.locator("h1").textContent()).toContain("Seeding rates for 2027");
    const strips = demoFiles.slice(0, 3);
    expect(await saved(page, "Save the result as JSON")).toBe(
      command("fit", ...strips, "--lots", "lots.csv", "--season", "season.yaml", "--json"),
    );
    expect(complaints.filter((complaint) => !/^asks for blob:null\//.test(complaint))).toEqual([]);
  });
});
