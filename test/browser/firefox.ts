/** Firefox as it is installed, and the desk opened in it from the disk for a person's hands. */
import { existsSync, mkdirSync, readdirSync, renameSync } from "node:fs";
import { join } from "node:path";
import type { Browser, ElementHandle } from "puppeteer-core";
import { expect } from "vitest";
import type { Driven } from "./hands.ts";
import { deskPath } from "./open-desk.ts";
import { withoutRehearsal } from "./rehearsal.ts";

const firefox = ["/usr/bin/firefox-esr", "/usr/bin/firefox"].find((path) => existsSync(path));
export const noFirefox = firefox === undefined;
if (noFirefox) process.stderr.write("\n*** No Firefox found: report and desk are not tried in it. ***\n");

/** Where Firefox puts what a page saves. */
const downloadsIn = (folder: string): string => join(folder, "downloads");

/**
 * Firefox without a window, as strict as it is installed.
 *
 * @param folder for what is saved
 */
export async function launchedFirefox(folder: string): Promise<Browser> {
  const { launch } = await import("puppeteer-core");
  mkdirSync(downloadsIn(folder));
  return launch({
    browser: "firefox",
    executablePath: firefox!,
    headless: true,
    extraPrefsFirefox: {
      // The driver lets pages of the disk read each other, which no installed Firefox does.
      "security.fileuri.strict_origin_policy": true,
      "browser.download.folderList": 2,
      "browser.download.dir": downloadsIn(folder),
      "browser.download.useDownloadDir": true,
      // The list of downloads would take the keyboard from the page.
      "browser.download.alwaysOpenPanel": false,
      "browser.download.always_ask_before_handling_new_types": false,
    },
  });
}

/** @param folder that Firefox was launched with */
export async function openedDesk(
  browser: Browser,
  folder: string,
): Promise<{ driven: Driven; complaints: string[] }> {
  const downloads = downloadsIn(folder);
  const page = await browser.newPage();
  const complaints: string[] = [];
  page.on("pageerror", (error) => complaints.push(String(error)));
  await page.evaluateOnNewDocument(withoutRehearsal);
  await page.goto(`file://${deskPath}`);
  let files = 0;
  return {
    complaints,
    driven: {
      evaluate: <Ask, Gives>(doing: (ask: Ask) => Gives, ask: Ask) =>
        page.evaluate(doing as (ask: unknown) => Gives, ask) as Promise<Awaited<Gives>>,
      click: (x, y) => page.mouse.click(x, y),
      key: (name) => page.keyboard.press(name),
      type: (text) => page.keyboard.type(text),
      resize: (width, height) => page.setViewport({ width, height }),
      reload: () => page.reload(),
      async give(field, path) {
        const input = await page.$(`input[type=file][aria-label="${field}"]`);
        await (input as ElementHandle<HTMLInputElement>).uploadFile(path);
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
