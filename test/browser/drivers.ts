/** The desk opened from the disk for a person's hands: in Chromium, and in Firefox as it is installed. */
import { existsSync, mkdtempSync, readdirSync, renameSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { expect } from "vitest";
import type { Driven } from "./hands.ts";
import { deskPath } from "./open-desk.ts";

const firefox = ["/usr/bin/firefox-esr", "/usr/bin/firefox"].find((path) => existsSync(path));
export const noFirefox = firefox === undefined;
if (noFirefox) process.stderr.write("\n*** No Firefox found: the desk is not tried in it. ***\n");

const fieldOfFiles = (name: string): string => `input[type=file][aria-label="${name}"]`;

/** @param folder for what is saved */
export function drivenChromium(page: Page, folder: string): Driven {
  let files = 0;
  return {
    evaluate: <Ask, Gives>(doing: (ask: Ask) => Gives, ask: Ask) =>
      page.evaluate(doing as (ask: unknown) => Gives, ask) as Promise<Awaited<Gives>>,
    click: (x, y) => page.mouse.click(x, y),
    key: (name) => page.keyboard.press(name),
    type: (text) => page.keyboard.type(text),
    resize: (width, height) => page.setViewportSize({ width, height }),
    reload: () => page.reload(),
    give: (field, path) => page.locator(fieldOfFiles(field)).setInputFiles(path),
    async saved(doing) {
      const [download] = await Promise.all([page.waitForEvent("download"), doing()]);
      const path = join(folder, `${++files}-${download.suggestedFilename()}`);
      await download.saveAs(path);
      return path;
    },
  };
}

export interface OpenedFirefox {
  driven: Driven;
  complaints: string[];
  close(): Promise<void>;
}

/** Firefox without a window, as strict as it is installed. */
export async function launchedFirefox(
  preferences: Record<string, unknown> = {},
): Promise<import("puppeteer-core").Browser> {
  const { launch } = await import("puppeteer-core");
  return launch({
    browser: "firefox",
    executablePath: firefox!,
    headless: true,
    // The driver lets pages of the disk read each other, which no installed Firefox does.
    extraPrefsFirefox: { "security.fileuri.strict_origin_policy": true, ...preferences },
  });
}

/** @param folder for what is saved */
export async function openedFirefox(folder: string): Promise<OpenedFirefox> {
  const downloads = mkdtempSync(join(folder, "downloads-"));
  const browser = await launchedFirefox({
    "browser.download.folderList": 2,
    "browser.download.dir": downloads,
    "browser.download.useDownloadDir": true,
    // The list of downloads would take the keyboard from the page.
    "browser.download.alwaysOpenPanel": false,
    "browser.download.always_ask_before_handling_new_types": false,
  });
  const page = await browser.newPage();
  const complaints: string[] = [];
  page.on("pageerror", (error) => complaints.push(String(error)));
  await page.goto(`file://${deskPath}`);
  let files = 0;
  return {
    complaints,
    close: () => browser.close(),
    driven: {
      evaluate: <Ask, Gives>(doing: (ask: Ask) => Gives, ask: Ask) =>
        page.evaluate(doing as (ask: unknown) => Gives, ask) as Promise<Awaited<Gives>>,
      click: (x, y) => page.mouse.click(x, y),
      key: (name) => page.keyboard.press(name),
      type: (text) => page.keyboard.type(text),
      resize: (width, height) => page.setViewport({ width, height }),
      reload: () => page.reload(),
      async give(field, path) {
        const input = await page.$(fieldOfFiles(field));
        await (input as import("puppeteer-core").ElementHandle<HTMLInputElement>).uploadFile(path);
      },
      async saved(doing) {
        await doing();
        // Firefox writes beside the file, under a name that ends in .part, until all of it is there.
        await expect
          .poll(() => readdirSync(downloads).map((name) => name.endsWith(".part")), { timeout: 60_000 })
          .toEqual([false]);
        const [name] = readdirSync(downloads) as [string];
        const path = join(folder, `${++files}-${name}`);
        renameSync(join(downloads, name), path);
        return path;
      },
    },
  };
}
