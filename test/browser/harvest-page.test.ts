import { beforeAll, describe, expect, it } from "vitest";
import { harvestStrips, reportHarvest } from "../../src/farm/harvest.ts";
import { simulateHarvest, simulatedStrips } from "../simulate-harvest.ts";
import { seriousFaults } from "./faults.ts";
import { builtFile, clippedTables, noBrowser, reportBrowser } from "./open-report.ts";

const file = (name: string, text: string) => ({ name, bytes: new TextEncoder().encode(text) });

async function makePage(): Promise<string> {
  const strips = simulatedStrips(11, 2, 1).map((strip) => ({ ...strip, variety: '<b onclick="1">Made' }));
  const made = simulateHarvest({ seed: 11, strips, lengthM: 250 });
  const harvest = await harvestStrips([file("y.csv", made.yieldCsv)], [file("s.csv", made.seededCsv)], null, {
    crop: "wheat",
    system: "us",
    currency: "$",
    season: 2026,
    farm: "Home",
    field: "North",
    delayS: null,
    combineWidthM: null,
    drillWidthM: null,
    off: [],
    eachStepOff: true,
  });
  return reportHarvest(harvest, { builtFile, date: "2026-12-01" }, ["y.csv", "s.csv"]);
}

describe.skipIf(noBrowser)("the page about a harvest's points", () => {
  const browser = reportBrowser();
  let html = "";
  beforeAll(async () => {
    html = await makePage();
  });

  it("opens offline without a word on the console, with maps, delay, table and every step", async () => {
    const { page, complaints } = await browser.turn(html);
    expect(await page.locator("#strips tbody tr").count()).toBe(8);
    expect(await page.locator("#maps svg").count()).toBe(3);
    expect(await page.locator("#delay svg").count()).toBe(1);
    expect(await page.locator("#steps tbody tr").count()).toBe(10);
    expect(await page.locator("#left-out tbody tr").count()).toBeGreaterThan(3);
    expect(await page.locator("#strips td").nth(1).innerText()).toContain("<b onclick");
    expect(complaints).toEqual([]);
  });

  it("needs no sideways scrolling on a phone, and keeps the words of its maps large enough to read", async () => {
    const { page } = await browser.turn(html, { viewport: { width: 360, height: 740 } });
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
    expect(await page.evaluate(clippedTables)).toEqual([]);
    const sizes = await page.locator(":is(#maps, #delay) svg").evaluateAll((all) =>
      all.flatMap((one) => {
        const svg = one as unknown as SVGSVGElement;
        const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
        return [...svg.querySelectorAll("text")].map(
          (text) => parseFloat(getComputedStyle(text).fontSize) * scale,
        );
      }),
    );
    expect(Math.min(...sizes)).toBeGreaterThanOrEqual(12);
  });

  it("numbers the strips on their map, no number upon another, light around each", async () => {
    const { page } = await browser.turn(html);
    const numbers = page.locator("#maps svg").first().locator("g text");
    expect(await numbers.allTextContents()).toEqual(["1", "2", "3", "4", "5", "6", "7", "8"]);
    const boxes = await numbers.evaluateAll((texts) =>
      texts
        .map((text) => text.getBoundingClientRect())
        .map(({ x, y, right, bottom }) => ({ x, y, right, bottom })),
    );
    const upon = boxes.flatMap((a, i) =>
      boxes
        .slice(i + 1)
        .filter((b) => a.x < b.right && b.x < a.right && a.y + 4 < b.bottom && b.y + 4 < a.bottom),
    );
    expect(upon).toEqual([]);
    expect(await numbers.first().getAttribute("paint-order")).toBe("stroke");
  });

  it.each(["light", "dark"] as const)("has no serious fault by axe-core, %s", async (colorScheme) => {
    const { page } = await browser.turn(html, { colorScheme, bypassCSP: true });
    for (const summary of await page.locator("summary").all()) await summary.click();
    expect(await seriousFaults(page, colorScheme)).toEqual([]);
  });
});
