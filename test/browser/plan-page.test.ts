import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import axe from "axe-core";
import { beforeAll, describe, expect, it } from "vitest";
import { knowVarieties } from "../../src/plan/know-varieties.ts";
import { planStrips } from "../../src/plan/plan-strips.ts";
import { defaultSettings } from "../../src/vocabulary/settings.ts";
import { tellPlanPage } from "../../src/tell/html/plan-page.ts";
import { request } from "../unit/plan/requests.ts";
import { clippedTables, noBrowser, reportBrowser } from "./open-report.ts";

const style = ["page.css", "plan.css"]
  .map((name) => readFileSync(new URL(`../../src/page/${name}`, import.meta.url), "utf8"))
  .join("\n");

describe.skipIf(noBrowser)("the page of a plan", () => {
  const browser = reportBrowser();
  let html = "";
  beforeAll(async () => {
    const asked = request({
      farm: "Windlass Farm",
      varieties: ["Ostrindel", "Quavenby", "Brimsolt"],
      expectedYieldKgPerHa: 4500,
      blocks: 3,
      ratesPerVariety: 4,
    });
    const units = { system: "us", currency: "$" } as const;
    const nothing = { beliefs: [], next: [], protein: [], lodgingModels: [] };
    const known = knowVarieties(asked, nothing, defaultSettings);
    const plan = { ...planStrips(asked, known, defaultSettings, units), outcomes: [], advice: [] };
    html = await tellPlanPage(plan, {
      style,
      run: { date: "2026-12-01", files: [] },
      sha256: (text) => createHash("sha256").update(text).digest("base64"),
    });
  });

  it("opens without a complaint, with its style let in", async () => {
    const { page, complaints } = await browser.turn(html);
    expect(complaints).toEqual([]);
    expect(await page.locator("h1").evaluate((one) => getComputedStyle(one).lineHeight)).not.toBe("normal");
  });

  it.each([
    { width: 1200, height: 900 },
    { width: 360, height: 700 },
  ])("has nothing wider than the screen at $width px, but what scrolls by itself", async (viewport) => {
    const { page } = await browser.turn(html, { viewport });
    const wider = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    expect(wider).toBeLessThanOrEqual(0);
  });

  it("stacks its tables on a phone instead of clipping them", async () => {
    const { page } = await browser.turn(html, { viewport: { width: 360, height: 700 } });
    expect(await page.evaluate(clippedTables)).toEqual([]);
  });

  it("shows every rate on a phone whose letters are twice as large", async () => {
    const { page } = await browser.turn(html, { viewport: { width: 360, height: 700 } });
    await page.evaluate(() => (document.documentElement.style.fontSize = "200%"));
    const cut = await page
      .locator(".ladder")
      .evaluateAll((all) => all.map((one) => one.getBoundingClientRect().right - innerWidth));
    expect(cut).toHaveLength(3);
    expect(Math.max(...cut)).toBeLessThanOrEqual(0);
  });

  it.each([360, 820, 1280])("has a map whose words are 12 pixels at least at %i px", async (width) => {
    const { page } = await browser.turn(html, { viewport: { width, height: 700 } });
    const sizes = await page.locator(".field-map").evaluate((map) => {
      const svg = map as unknown as SVGSVGElement;
      const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
      return [...svg.querySelectorAll("text")].map(
        (text) => parseFloat(getComputedStyle(text).fontSize) * scale,
      );
    });
    expect(Math.min(...sizes)).toBeGreaterThanOrEqual(12 - 0.01);
    expect(await page.locator(".field-map").textContent()).toContain("Rates in million viable seeds/ac");
  });

  it("passes the rules of accessibility (WCAG 2.1 A and AA)", async () => {
    const { page } = await browser.turn(html, { bypassCSP: true });
    await page.evaluate(axe.source);
    const violations = await page.evaluate(async () => {
      const run = (window as unknown as { axe: typeof axe }).axe.run;
      const found = await run({ runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa"] });
      return found.violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html).join(" ")}`);
    });
    expect(violations).toEqual([]);
  });

  it("prints the sheet within the paper", async () => {
    const { page } = await browser.turn(html, { viewport: { width: 720, height: 930 } });
    await page.emulateMedia({ media: "print" });
    const wider = await page.evaluate(() =>
      [...document.querySelectorAll("#sheet table, #map svg")].map(
        (part) => part.getBoundingClientRect().right - innerWidth,
      ),
    );
    expect(wider).toHaveLength(4);
    expect(Math.max(...wider)).toBeLessThanOrEqual(0);
  });

  it("prints one block a page, with rows to write in and every other one shaded", async () => {
    const { page } = await browser.turn(html, { viewport: { width: 720, height: 930 } });
    await page.emulateMedia({ media: "print" });
    const blocks = await page.locator(".sheet-block").evaluateAll((all) =>
      all.map((one) => ({
        breaks: getComputedStyle(one).breakBefore,
        height: one.getBoundingClientRect().height,
        rows: [...one.querySelectorAll("tbody tr")].map((row) => row.getBoundingClientRect().height),
        shades: [...one.querySelectorAll("tbody tr")]
          .slice(0, 2)
          .map((row) => getComputedStyle(row).backgroundColor),
        caption: one.querySelector("caption")!.innerText.replace(/\s+/g, " "),
      })),
    );
    expect(blocks.map(({ breaks }) => breaks)).toEqual(["auto", "page", "page"]);
    for (const { height, rows, shades, caption } of blocks) {
      expect(height).toBeLessThan(930);
      // 8 mm at 96 pixels an inch.
      expect(Math.min(...rows)).toBeGreaterThanOrEqual((8 * 96) / 25.4);
      expect(shades[0]).not.toBe(shades[1]);
      expect(caption).toMatch(
        /^Block \d · rates in million viable seeds\/ac · strips 40 ft wide and 580 ft long; cut 30 ft wide$/,
      );
    }
    const head = await page.locator("table.sheet thead").first().innerText();
    for (const unit of ["plants/ft²", "heads/ft²", "Weight, lb", "Moisture, %"]) expect(head).toContain(unit);
  });
});
