/** The desk as a grower works with it: opened from the disk, its buttons pressed, what it saves read. */
import { mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import type { Page } from "playwright-core";
import { afterAll, beforeAll } from "vitest";
import { runHere } from "../cli/run.ts";

export const root = fileURLToPath(new URL("../../", import.meta.url));
export const deskPath = join(root, "dist/desk.html");
export const desk = readFileSync(deskPath, "utf8");

/** A folder for what the tests of a file save; it is gone after them. */
export function savedFiles(): { saved(page: Page, name: string): Promise<string> } {
  let folder = "";
  beforeAll(() => void (folder = mkdtempSync(join(tmpdir(), "stripcurve-desk-"))));
  afterAll(() => rmSync(folder, { recursive: true, force: true }));
  return {
    /** Where a file lies that the press of a button saves. */
    async saved(page, name) {
      const [download] = await Promise.all([page.waitForEvent("download"), pressed(page, name)]);
      const path = join(folder, download.suggestedFilename());
      await download.saveAs(path);
      return path;
    },
  };
}

/** Presses a button of the step that is shown. */
export const pressed = (page: Page, name: string): Promise<void> =>
  page.locator("main").getByRole("button", { name, exact: true }).click();

/** Goes to a step by its name in the row of steps. */
export const stepTo = (page: Page, title: string): Promise<void> =>
  page.locator("nav").getByRole("button", { name: title, exact: true }).click();

export interface HandedFile {
  name: string;
  content: string | Uint8Array;
}

/** Hands files over as the chooser of files does. */
export async function hand(page: Page, label: string, ...files: HandedFile[]): Promise<void> {
  await page
    .getByLabel(label, { exact: true })
    .and(page.locator("input[type=file]"))
    .setInputFiles(
      files.map(({ name, content }) => ({
        name,
        mimeType: "application/octet-stream",
        buffer: Buffer.from(content as string),
      })),
    );
}

/** Waits until nothing is being worked out. To ask at every frame would keep the page drawing frames meanwhile. */
export const quiet = (page: Page): Promise<void> =>
  page.evaluate(
    () =>
      new Promise((isQuiet) => {
        const root = document.documentElement;
        const look = (): void => {
          if (root.dataset["state"] !== "quiet") return;
          watch.disconnect();
          isQuiet();
        };
        const watch = new MutationObserver(look);
        watch.observe(root, { attributes: true });
        look();
      }),
  );

/** The words of the report in its frame, its charts apart, once it is of what lies on the desk. */
export async function answerShown(page: Page): Promise<string> {
  await quiet(page);
  await page.waitForFunction(
    () => !document.querySelector("iframe.report")?.matches("[hidden], .stale, [aria-busy]"),
  );
  return page
    .frameLocator("iframe.report")
    .locator("main")
    .evaluate((main) => {
      const words = main.cloneNode(true) as HTMLElement;
      words.querySelectorAll("svg, canvas, .which-strip").forEach((chart) => chart.remove());
      return words.textContent ?? "";
    });
}

/** What the command writes to standard output, run in a folder. */
export async function command(folder: string, ...args: string[]): Promise<string> {
  const { code, out, err } = await runHere(args, { cwd: folder });
  if (code !== 0) throw new Error(`stripcurve ${args.join(" ")} ended with ${code}: ${err}`);
  return out;
}

/** Of a blob that the page made itself nothing is fetched. */
export const foreign = (complaints: readonly string[]): string[] =>
  complaints.filter((complaint) => !complaint.startsWith("asks for blob:"));

/** Where two texts first differ, for people. */
export function firstDifference(here: string, there: string): string {
  const [ours, others] = [here.split("\n"), there.split("\n")];
  const line = ours.findIndex((text, index) => text !== others[index]);
  return `line ${line + 1}: ${ours[line]?.slice(0, 200)} | ${others[line]?.slice(0, 200)}`;
}
