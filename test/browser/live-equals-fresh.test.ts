import { readFileSync } from "node:fs";
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { analyze } from "../../src/analyze.ts";
import { readLots } from "../../src/read/lots.ts";
import { readSeason } from "../../src/read/season-file/season.ts";
import { readTrial } from "../../src/read/trial-files.ts";
import type { Result } from "../../src/vocabulary/result.ts";
import { demoFiles } from "../fixtures/demo.ts";
import { openDetails } from "./faults.ts";
import { demoReport, noBrowser, reportBrowser, reportOf, settled } from "./open-report.ts";

const textOf = (name: string): string =>
  readFileSync(new URL(`../../data-demo/${name}`, import.meta.url), "utf8");
const input = (name: string, text: string) => ({ name, bytes: new TextEncoder().encode(text) });

/** What is moved: field of the page, what is typed there, and the same said in the farm's files. */
const moves = [
  { key: "grain", typed: "8.5", file: "season.yaml", from: "6.25 $/bu", to: "8.50 $/bu" },
  { key: "step", typed: "20", file: "season.yaml", from: "largest_step: 10 %", to: "largest_step: 20 %" },
  { key: "lodging", typed: "3", file: "season.yaml", from: "lodging_limit: 4", to: "lodging_limit: 3" },
  { key: "late", typed: "12", file: "season.yaml", from: "2027-04-24", to: "2027-05-02" },
  // The page moves the price with the treatment in it: 9.75 and 2.50.
  { key: "seed-1", typed: "12.25", file: "lots.csv", from: "12.75", to: "9.75" },
  { key: "germination-2", typed: "88", file: "lots.csv", from: "13400,96", to: "13400,88" },
  { key: "size-3", typed: "13200", file: "lots.csv", from: "15200", to: "13200" },
  { key: "now-4", typed: "1.5", file: "lots.csv", from: "Telluwick,1250000", to: "Telluwick,1500000" },
];

/** The demo analysed anew from files that say the moved values. */
function freshResult(): Result {
  const told = (file: string): string =>
    moves
      .filter((move) => move.file === file)
      .reduce((text, { from, to }) => {
        expect(text.split(from), from).toHaveLength(2);
        return text.replace(from, to);
      }, textOf(file));
  const { settings: season, units } = readSeason(input("season.yaml", told("season.yaml")), []);
  const { lots } = readLots(input("lots.csv", told("lots.csv")), season, units);
  const settings = { ...season, lots };
  const strips = demoFiles.map((name) => input(name, textOf(name)));
  return analyze(readTrial(strips, settings, units), settings, units);
}

/** Every cell of every table, and every part that is told again, folded ones opened. */
async function told(page: Page): Promise<Record<string, string>> {
  await openDetails(page);
  await settled(page);
  return page.evaluate(() => {
    const words = (element: Element): string => (element.textContent ?? "").replace(/\s+/g, " ").trim();
    const all: Record<string, string> = {};
    for (const [t, table] of [...document.querySelectorAll("table")].entries()) {
      // What was known after each season says itself that it is at the prices in the files.
      if (/at the prices in the files/.test(table.caption?.textContent ?? "")) continue;
      const name = `${t} ${words(table.caption ?? table)}`.slice(0, 60);
      for (const [r, row] of [...table.rows].entries())
        for (const [c, cell] of [...row.cells].entries()) all[`${name} | row ${r}, cell ${c}`] = words(cell);
    }
    for (const [p, part] of [...document.querySelectorAll("p, dd, li, figcaption, [data-part]")].entries())
      // The advice on strips says itself that it is at the prices in the files.
      if (part.closest("#prices, #strips-next, table, footer") === null || part.classList.contains("used"))
        all[`words ${p}`] = words(part);
    return all;
  });
}

const differences = (one: Record<string, string>, other: Record<string, string>): string[] =>
  [...new Set([...Object.keys(one), ...Object.keys(other)])]
    .filter((at) => one[at] !== other[at])
    .map((at) => `${at}: ${one[at]} | ${other[at]}`);

describe.skipIf(noBrowser)("a page whose controls were moved", () => {
  const browser = reportBrowser();
  const move = async (page: Page, values: { key: string; typed: string }[]): Promise<void> => {
    for (const { key, typed } of values) await page.locator(`#${key}`).fill(typed);
    await page.evaluate(
      () => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))),
    );
  };
  const openAll = async (): Promise<Page> => {
    const { page } = await demoReport();
    await openDetails(page);
    return page;
  };

  it("tells every number as it was when each control was moved there and back", async () => {
    const page = await openAll();
    const before = await told(page);
    for (const { key, typed } of moves) {
      const was = await page.locator(`#${key}`).inputValue();
      await move(page, [{ key, typed }]);
      await expect.poll(() => page.locator("#what-if-bar").isVisible()).toBe(true);
      await move(page, [{ key, typed: was }]);
      await expect.poll(() => page.locator("#what-if-bar").isVisible()).toBe(false);
    }
    expect(differences(before, await told(page))).toEqual([]);
  });

  it("tells in every cell what a report freshly written with these values tells", async () => {
    const live = await openAll();
    await move(live, moves);
    await expect.poll(() => live.locator("#what-if-bar button").count()).toBe(moves.length + 1);
    const { page: fresh } = await browser.open(await reportOf(freshResult()));
    await settled(fresh);
    const [one, other] = [await told(live), await told(fresh)];
    expect(Object.keys(other).length).toBeGreaterThan(500);
    const moved = (at: string): boolean => !/What-if, not the report itself/.test(one[at] ?? "");
    expect(differences(one, other).filter((line) => moved(line.split(": ")[0]!))).toEqual([]);
  });
});
