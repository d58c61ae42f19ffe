/** Opens a finished report in a real browser, from the disk, and hears every complaint of the console. */
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import {
  chromium,
  type Browser,
  type BrowserContext,
  type BrowserContextOptions,
  type Page,
} from "playwright-core";
import { afterAll, beforeAll, inject, onTestFinished } from "vitest";
import { doublePrices } from "../../src/farm/double-prices.ts";
import { makesMany, pageParts } from "../../src/farm/page-maker.ts";
import type { Result } from "../../src/vocabulary/result.ts";
import { demoResult } from "../fixtures/demo.ts";
import { ofClient } from "../../src/tell/wording/clients.ts";
import { tellClients, tellLesson, tellPage } from "../../src/tell/html.ts";
import type { PageKind, PageParts } from "../../src/tell/html/page-parts.ts";
import { oneAtOnce, withoutRehearsal } from "./rehearsal.ts";
import "./one-browser.ts";

const endpoint = inject("browserEndpoint");

/** True where the tests of a real browser cannot run. On a build server that is a failure, never a skip. */
export const noBrowser = endpoint === null;
if (noBrowser) {
  const said = "No Chromium found: the tests of the finished page are SKIPPED. Name one in CHROMIUM.";
  if (process.env.CI !== undefined) throw new Error(said);
  process.stderr.write(`\n*** ${said} ***\n`);
}

/** One connection for all test files of a worker; it ends with the worker. */
let connected: Promise<Browser> | null = null;
const theBrowser = (): Promise<Browser> => (connected ??= chromium.connect(endpoint!));

export const builtFile = (name: string): string => {
  const path = fileURLToPath(new URL(`../../dist/${name}`, import.meta.url));
  if (!existsSync(path)) throw new Error(`${path} is missing: run "npm run build" first.`);
  return readFileSync(path, "utf8");
};

const maker = { ...makesMany({ builtFile }), date: "2026-12-01" };

/** Scripts and styles of a page as they were built. */
const builtParts = (kind: PageKind): Promise<PageParts> =>
  pageParts(kind, maker, ["strips-2024.csv", "strips-2025.csv", "strips-2026.csv"]);

/** Pages written once for all tests of a worker, by result and by what is told. */
const written = new WeakMap<Result, Map<string, Promise<string>>>();
function once(result: Result, told: string, write: () => Promise<string>): Promise<string> {
  const pages = written.get(result) ?? new Map<string, Promise<string>>();
  written.set(result, pages);
  const page = pages.get(told) ?? write();
  pages.set(told, page);
  return page;
}

/** The report with the script and style as they were built. */
export const reportOf = (
  result: Result,
  kind: "farm" | "grower" = "farm",
  more: Partial<PageParts> = {},
): Promise<string> =>
  once(result, `${kind} ${JSON.stringify(more)}`, async () =>
    tellPage(result, { ...(await builtParts(kind)), ...more }, kind),
  );

export const lessonOf = (result: Result): Promise<string> =>
  once(result, "lesson", async () => tellLesson(result, doublePrices(result), await builtParts("lesson")));

/** The summary of some clients, who are all the same farm. */
export const clientsOf = (result: Result, names: readonly string[] = ["Aspen", "Birch"]): Promise<string> =>
  once(result, `clients ${names.join()}`, async () =>
    tellClients(
      names.map((name) => ({ name, result: ofClient(result), page: `${name}.html` })),
      result,
      [],
      await builtParts("clients"),
    ),
  );

export interface OpenedReport {
  page: Page;
  /** Errors and warnings of the console, errors of scripts, and every request but the page itself. */
  complaints: string[];
}

let files = 0;

async function openIn(
  folder: string,
  context: BrowserContext,
  html: string,
  fragment = "",
): Promise<OpenedReport> {
  const opened = await emptyIn(context);
  await goTo(opened.page, folder, html, fragment);
  return opened;
}

async function goTo(page: Page, folder: string, html: string, fragment: string): Promise<void> {
  const path = join(folder, `report-${++files}.html`);
  writeFileSync(path, html);
  await page.goto(`file://${path}${fragment}`);
  // What is packed into the desk is unpacked after it is loaded: until then it takes nothing.
  if (html.includes('id="packed"')) await page.locator("html[data-state]").waitFor({ state: "attached" });
}

/** A page that nothing is opened in yet. */
async function emptyIn(context: BrowserContext): Promise<OpenedReport> {
  const page = await context.newPage();
  // Shorter than a test may take, longer than a busy machine keeps a page waiting.
  page.setDefaultTimeout(200_000);
  const complaints: string[] = [];
  page.on("console", (message) => {
    if (["error", "warning", "assert"].includes(message.type()))
      complaints.push(`${message.type()}: ${message.text()}`);
  });
  page.on("pageerror", (error) => complaints.push(`script: ${error.message}`));
  page.on("request", (request) => {
    if (!request.isNavigationRequest()) complaints.push(`asks for ${request.url()}`);
  });
  return { page, complaints };
}

/**
 * A way to open reports in the browser that all tests share.
 *
 * Every page is opened without a network: the browser context is offline.
 *
 * @param asShipped  whether the engine of a desk rehearses, and in two workers: for tests of the whole way
 */
export function reportBrowser({ asShipped = false } = {}): {
  /** For the test that runs, and closed with it: what a page goes on drawing costs all others their time. */
  open(html: string, options?: BrowserContextOptions, fragment?: string): Promise<OpenedReport>;
  /** For the test that runs, in place of what was opened so before: a third of the work, for pages that keep nothing. */
  turn(html: string, options?: BrowserContextOptions, fragment?: string): Promise<OpenedReport>;
  /** For all tests of a file, and closed after the last. */
  keep(html: string, options?: BrowserContextOptions): Promise<OpenedReport>;
} {
  const kept: BrowserContext[] = [];
  const turned = new Map<string, OpenedReport>();
  let folder = "";
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), "stripcurve-browser-"));
  });
  afterAll(async () => {
    await Promise.all(kept.map((context) => context.close()));
    rmSync(folder, { recursive: true, force: true });
  });
  const newContext = async (options: BrowserContextOptions): Promise<BrowserContext> => {
    const context = await (await theBrowser()).newContext({ offline: true, ...options });
    if (!asShipped) for (const script of [withoutRehearsal, oneAtOnce]) await context.addInitScript(script);
    return context;
  };
  const keptContext = async (options: BrowserContextOptions): Promise<BrowserContext> => {
    const context = await newContext(options);
    kept.push(context);
    return context;
  };
  return {
    async open(html, options = {}, fragment = "") {
      const context = await newContext(options);
      onTestFinished(() => context.close());
      return openIn(folder, context, html, fragment);
    },
    async turn(html, options = {}, fragment = "") {
      const key = JSON.stringify(options);
      const opened = turned.get(key) ?? (await emptyIn(await keptContext(options)));
      turned.set(key, opened);
      opened.complaints.splice(0);
      await opened.page.emulateMedia({ media: null });
      await goTo(opened.page, folder, html, fragment);
      return opened;
    },
    async keep(html, options = {}) {
      return openIn(folder, await keptContext(options), html);
    },
  };
}

/**
 * A report that several tests work with in turn, opened once and, for each of them, put back: nothing moved, folded as it
 * was opened, in the window it was opened in, with the complaints that it was opened with.
 */
export function sharedReport(open: () => Promise<OpenedReport>): () => Promise<OpenedReport> {
  let opened: Promise<OpenedReport> | null = null;
  let size: ReturnType<Page["viewportSize"]> = null;
  let saidAtFirst: string[] = [];
  return async () => {
    if (opened === null) {
      opened = open();
      const { page, complaints } = await opened;
      size = page.viewportSize();
      await settled(page);
      saidAtFirst = [...complaints];
      await page.evaluate(() => {
        for (const one of document.querySelectorAll("details")) if (one.open) one.dataset["openedFirst"] = "";
      });
      return opened;
    }
    const { page, complaints } = await opened;
    complaints.splice(0, Infinity, ...saidAtFirst);
    await page.emulateMedia({ media: null });
    if (size !== null) await page.setViewportSize(size);
    await page.evaluate(() => {
      document.documentElement.removeAttribute("style");
      for (const one of document.querySelectorAll("details")) one.open = "openedFirst" in one.dataset;
      for (const list of document.querySelectorAll<HTMLSelectElement>("select.which-strip")) {
        list.selectedIndex = 0;
        list.dispatchEvent(new Event("change"));
      }
      // The words of the strip that was named last are hidden, and still there.
      for (const line of document.querySelectorAll("p.which-strip")) line.textContent = "";
      // The keyboard goes on from where the cursor was last, though that be gone: from the top.
      const top = document.createElement("p");
      top.tabIndex = -1;
      document.body.prepend(top);
      top.focus();
      top.remove();
      scrollTo(0, 0);
      // As the browser's Back does, to the address without moved values.
      history.pushState(null, "", location.pathname);
      dispatchEvent(new PopStateEvent("popstate"));
    });
    await page.waitForFunction(
      () =>
        document.querySelector<HTMLElement>("#what-if")?.dataset["state"] === "report" &&
        document.querySelector("#what-if [aria-invalid]") === null,
    );
    return { page, complaints };
  };
}

/**
 * The report of the demo farm in a wide window: one page for all test files of a worker, as each opening takes a second of
 * processor time. It ends with the worker's browser.
 */
export const demoReport = sharedReport(async () => {
  const folder = mkdtempSync(join(tmpdir(), "stripcurve-browser-"));
  try {
    const context = await (await theBrowser()).newContext({ offline: true });
    return await openIn(folder, context, await reportOf(demoResult()));
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});

/**
 * Waits until a page has nothing more to do by itself: its script, where it has one, has made the charts alive.
 */
export async function settled(page: Page): Promise<void> {
  // To ask at every frame would keep the page from its work: it is done between frames.
  await page.evaluate(
    () =>
      new Promise<void>((isAlive) => {
        if (document.getElementById("page-script") === null) return isAlive();
        const watch = new PerformanceObserver((marks) => {
          if (marks.getEntriesByName("charts: alive").length === 0) return;
          watch.disconnect();
          isAlive();
        });
        return watch.observe({ type: "mark", buffered: true });
      }),
  );
  await page.evaluate(
    () => new Promise((shown) => requestAnimationFrame(() => requestAnimationFrame(shown))),
  );
}

/** In the page: names of tables of rates that are wider than the part of the screen they stand in. */
export const clippedTables = (): (string | null)[] =>
  [...document.querySelectorAll(".scroll:has(> table.rates)")]
    .filter((region) => region.scrollWidth > region.clientWidth + 1)
    .map((region) => region.getAttribute("aria-label"));
