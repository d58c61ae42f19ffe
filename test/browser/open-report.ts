/** Opens a finished report in a real browser, from the disk, and hears every complaint of the console. */
import { createHash } from "node:crypto";
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { deflateSync } from "node:zlib";
import { chromium, type Browser, type BrowserContextOptions, type Page } from "playwright-core";
import { afterAll, beforeAll } from "vitest";
import type { Result } from "../../src/vocabulary/result.ts";
import { tellClients, tellLesson, tellPage } from "../../src/tell/html.ts";
import { pageFiles, type PageKind, type PageParts } from "../../src/tell/html/page-parts.ts";
import { doublePrices } from "../../src/farm/double-prices.ts";
import { findBrowser } from "./find-browser.mjs";

const browserPath = findBrowser();

/** True where the tests of a real browser cannot run. On a build server that is a failure, never a skip. */
export const noBrowser = browserPath === null;
if (noBrowser) {
  const said = "No Chromium found: the tests of the finished page are SKIPPED. Name one in CHROMIUM.";
  if (process.env.CI !== undefined) throw new Error(said);
  process.stderr.write(`\n*** ${said} ***\n`);
}

const built = (name: string): string => {
  const path = new URL(`../../dist/${name}`, import.meta.url).pathname;
  if (!existsSync(path)) throw new Error(`${path} is missing: run "npm run build" first.`);
  return readFileSync(path, "utf8");
};

/** Scripts and styles of a page as they were built. */
const builtParts = (kind: PageKind): PageParts => ({
  starter: built("start.js"),
  script: pageFiles[kind].script === null ? "" : built(pageFiles[kind].script),
  style: pageFiles[kind].styles.map(built).join("\n"),
  run: { date: "2026-12-01", files: ["strips-2024.csv", "strips-2025.csv", "strips-2026.csv"] },
  sha256: (text) => createHash("sha256").update(text).digest("base64"),
  deflate: (text) => deflateSync(text).toString("base64"),
});

/** The report with the script and style as they were built. */
export const reportOf = (
  result: Result,
  kind: "farm" | "grower" = "farm",
  more: Partial<PageParts> = {},
): Promise<string> => tellPage(result, { ...builtParts(kind), ...more }, kind);

export const lessonOf = (result: Result): Promise<string> =>
  tellLesson(result, doublePrices(result), builtParts("lesson"));

/** The summary of two clients, who are the same farm. */
export const clientsOf = (result: Result): Promise<string> =>
  tellClients(
    ["Aspen", "Birch"].map((name) => ({ name, result, page: `${name}.html` })),
    result,
    builtParts("clients"),
  );

export interface OpenedReport {
  page: Page;
  /** Errors and warnings of the console, errors of scripts, and every request but the page itself. */
  complaints: string[];
}

/**
 * One browser for a test file, and a way to open a report in it.
 *
 * Every page is opened without a network: the browser context is offline.
 */
export function reportBrowser(): {
  open(html: string, options?: BrowserContextOptions, fragment?: string): Promise<OpenedReport>;
} {
  let browser: Browser | null = null;
  let folder = "";
  beforeAll(async () => {
    if (browserPath === null) return;
    folder = mkdtempSync(join(tmpdir(), "stripcurve-browser-"));
    browser = await chromium.launch({
      executablePath: browserPath,
      args: [
        ...(process.getuid?.() === 0 ? ["--no-sandbox"] : []),
        "--disable-gpu",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
      ],
    });
  });
  afterAll(async () => {
    await browser?.close();
    if (folder !== "") rmSync(folder, { recursive: true, force: true });
  });
  let files = 0;
  return {
    async open(html, options = {}, fragment = "") {
      const path = join(folder, `report-${++files}.html`);
      writeFileSync(path, html);
      const context = await browser!.newContext({ offline: true, ...options });
      const page = await context.newPage();
      const complaints: string[] = [];
      page.on("console", (message) => {
        if (["error", "warning", "assert"].includes(message.type()))
          complaints.push(`${message.type()}: ${message.text()}`);
      });
      page.on("pageerror", (error) => complaints.push(`script: ${error.message}`));
      page.on("request", (request) => {
        if (!request.isNavigationRequest()) complaints.push(`asks for ${request.url()}`);
      });
      await page.goto(`file://${path}${fragment}`);
      return { page, complaints };
    },
  };
}
