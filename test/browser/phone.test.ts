/** The report on a phone 360 pixels wide, every part unfolded: what a person can read there. */
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import type { Result } from "../../src/vocabulary/result.ts";
import { demoResult } from "../fixtures/demo.ts";
import { openDetails } from "./faults.ts";
import {
  demoReport,
  noBrowser,
  reportBrowser,
  reportOf,
  settled,
  sharedReport,
  type OpenedReport,
} from "./open-report.ts";

const width = 360;
/** Small print on screens is set at 12 px and more: common practice, no source. */
const smallest = 12;

/** The demo with names of sixty letters and from right to left, and the longest that is said of what was known when. */
function withLongWords(): Result {
  const long = "Weatherproofintermediatewheatselectionnumberfourhundredtwelv";
  expect(long).toHaveLength(60);
  const named = JSON.parse(
    JSON.stringify(demoResult())
      .replaceAll("Brimsolt", long)
      .replaceAll("Telluwick", "ירוק דרומי")
      .replaceAll("Ostrindel", "كرم 5"),
  ) as Result;
  for (const { varieties } of named.learning)
    for (const one of varieties)
      if (one.economicOptimum.kind !== "none")
        one.economicOptimum = {
          kind: "at-edge",
          edge: "lowest",
          rateSeedsPerM2: one.economicOptimum.rateSeedsPerM2,
          reason: "never-pays",
        };
  return named;
}

/** Words in pictures: those too small to read, and those cut off at the edge of the screen or lying on the heading. */
function faultyWords(smallest: number): { words: number; small: string[]; hidden: string[] } {
  const small: string[] = [];
  const hidden: string[] = [];
  const words = [...document.querySelectorAll<SVGTextElement>("figure svg text")].filter(
    (word) => word.getBoundingClientRect().width > 0,
  );
  for (const word of words) {
    const { a, b } = word.getScreenCTM()!;
    const size = parseFloat(getComputedStyle(word).fontSize) * Math.hypot(a, b);
    const figure = word.closest("figure")!;
    const said = `${figure.id}: ${word.textContent} (${size.toFixed(1)} px)`;
    if (size < smallest) small.push(said);
    const { left, right, top } = word.getBoundingClientRect();
    const heading = figure.querySelector("figcaption")!.getBoundingClientRect();
    // A line of text has some room above and below its letters.
    if (left < 0 || right > document.documentElement.clientWidth || top < heading.bottom - 2)
      hidden.push(said);
  }
  return { words: words.length, small, hidden };
}

/** Tables of which a part is out of sight, or with headings of very many lines. */
function faultyTables(): string[] {
  return [...document.querySelectorAll("table")].flatMap((table) => {
    const frame = table.closest(".scroll") ?? table;
    const lines = [...table.querySelectorAll("thead th")].map((head) => {
      const { lineHeight, fontSize } = getComputedStyle(head);
      return head.getBoundingClientRect().height / (parseFloat(lineHeight) || 1.2 * parseFloat(fontSize));
    });
    const most = Math.max(...lines);
    return frame.scrollWidth > frame.clientWidth || most > 4.5
      ? [`${table.textContent.trim().slice(0, 60)}: ${frame.scrollWidth} px, ${most} lines`]
      : [];
  });
}

const sideways = (page: Page): Promise<number> => page.evaluate(() => document.documentElement.scrollWidth);

describe.skipIf(noBrowser)("the report on a phone", () => {
  const browser = reportBrowser();
  const open = async (result: Result): Promise<OpenedReport> => {
    const one = await browser.keep(await reportOf(result), { viewport: { width, height: 740 } });
    await settled(one.page);
    await openDetails(one.page);
    return one;
  };
  // Unfolded once: what is folded on opening stays open from test to test.
  const untouched = sharedReport(() => open(demoResult()));
  const theDemo = async (): Promise<Page> => (await untouched()).page;
  /** The same in a wider window. A page that grows or shrinks past a phone's width lays out every chart anew. */
  const onWider = async (): Promise<Page> => {
    const { page } = await demoReport();
    await openDetails(page);
    return page;
  };

  it("has words of 12 px and more in every picture, none of them cut off, at moved prices as well", async () => {
    const page = await theDemo();
    const drawn = await page.evaluate(faultyWords, smallest);
    expect(drawn.words).toBeGreaterThan(300);
    expect([drawn.small, drawn.hidden]).toEqual([[], []]);
    await page.locator("#grain").fill("4");
    await page.waitForFunction(
      () => document.querySelector<HTMLElement>("#what-if")?.dataset.state === "moved",
    );
    const moved = await page.evaluate(faultyWords, smallest);
    expect([moved.small, moved.hidden]).toEqual([[], []]);
  });

  it("lays charts out for its own width: fewer ticks, panels below each other, all of it alive", async () => {
    const page = await theDemo();
    const pictures = await page.locator("figure svg").evaluateAll((all) =>
      all
        .filter((svg) => svg.getBoundingClientRect().width > 0)
        .map((svg) => ({
          of: svg.closest("figure")!.dataset["chart"]!,
          scale: (svg as SVGSVGElement).getScreenCTM()!.a,
          high: svg.getBoundingClientRect().height / svg.getBoundingClientRect().width,
        })),
    );
    expect(pictures.length).toBeGreaterThan(30);
    expect(pictures.filter(({ scale }) => scale < 0.99 || scale > 1.15)).toEqual([]);
    const flat = pictures.filter(({ of, high }) => !["rates", "season-optima"].includes(of) && high < 0.75);
    expect(flat).toEqual([]);
    const seasons = pictures.filter(({ of }) => of === "seasons");
    expect(seasons.every(({ high }) => high > 2)).toBe(true);
    const marks = page.locator('figure[data-chart="response"]').first().locator('path[role="img"]');
    expect(await marks.first().getAttribute("aria-label")).toMatch(/, block /);
    // Turned to a wide window and back, the strips have their names once: what is folded need not be laid out as well.
    await page.evaluate(() => document.querySelectorAll("details").forEach((one) => (one.open = false)));
    const phones = page.locator(".picture.for-phone:visible");
    const inSight = await phones.count();
    expect(inSight).toBeGreaterThan(5);
    await page.setViewportSize({ width: 1280, height: 740 });
    await expect.poll(() => phones.count()).toBe(0);
    await page.setViewportSize({ width, height: 740 });
    await expect.poll(() => phones.count()).toBe(inSight);
    expect(await page.locator('figure[data-chart="response"]').first().locator("select").count()).toBe(1);
  });

  it("stacks tables instead of clipping them", async () => {
    const page = await theDemo();
    expect(await page.evaluate(faultyTables)).toEqual([]);
    const row = page.locator(".drill-table tbody tr").first();
    const [first, second] = await Promise.all(
      [0, 1].map((index) => row.locator("td").nth(index).boundingBox()),
    );
    expect(second!.y).toBeGreaterThanOrEqual(first!.y + first!.height);
    const label = (cell: Element): string => getComputedStyle(cell, "::before").content;
    expect(await row.locator("td").first().evaluate(label)).toContain("Seed, lb/ac");
  });

  it("breaks no name of a variety in two and needs no sideways scrolling, here and on wider screens", async () => {
    const wider = await onWider();
    for (const width of [360, 768, 820, 1024, 1280]) {
      const page = width === 360 ? await theDemo() : wider;
      await page.setViewportSize({ width, height: 800 });
      expect(await sideways(page), `at ${width} px`).toBeLessThanOrEqual(width);
      const broken = await page.evaluate(() =>
        [...document.querySelectorAll("bdi")].flatMap((name) =>
          name.getClientRects().length > 1 ? [name.textContent] : [],
        ),
      );
      expect(broken, `at ${width} px`).toEqual([]);
    }
  });

  it("lays the answer of a variety out in columns where it is wider, and shows all four at once on a tablet", async () => {
    const page = await onWider();
    for (const width of [640, 820]) {
      await page.setViewportSize({ width, height: 1180 });
      const rows = page.locator("table.next tbody tr");
      const lefts = await rows
        .first()
        .evaluate((row) => [
          ...new Set([...row.children].map((cell) => Math.round(cell.getBoundingClientRect().left))),
        ]);
      expect(lefts, `at ${width} px`).toHaveLength(3);
      const bottom = await rows.last().evaluate((row) => row.getBoundingClientRect().bottom + scrollY);
      expect(bottom, `at ${width} px`).toBeLessThan(1180);
      expect(await sideways(page)).toBeLessThanOrEqual(width);
    }
  });

  it("needs no sideways scrolling with text twice as large", async () => {
    const twiceAsLarge = (page: Page): Promise<string> =>
      page.evaluate(() => (document.documentElement.style.fontSize = "200%"));
    const page = await theDemo();
    await twiceAsLarge(page);
    expect(await sideways(page)).toBeLessThanOrEqual(width);
    // Nor does a desktop, whose window does not change with its text.
    const wide = await onWider();
    await twiceAsLarge(wide);
    await wide.setViewportSize({ width: 1280, height: 800 });
    expect(await sideways(wide)).toBeLessThanOrEqual(1280);
  });

  // One page for all words that are long.
  let ofLongWords: Promise<OpenedReport> | null = null;
  const openedLong = async (): Promise<Page> => (await (ofLongWords ??= open(withLongWords()))).page;

  it("ends every label inside its chart, however long what was known after the last season is", async () => {
    const page = await openedLong();
    const beyond = await page.evaluate(() =>
      [...document.querySelectorAll('figure[data-chart="learning"] svg text')].flatMap((word) => {
        const { left, right, width } = word.getBoundingClientRect();
        const chart = word.closest("svg")!.getBoundingClientRect();
        return width > 0 && (left < chart.left || right > chart.right)
          ? [`${word.textContent}: ${(right - chart.right).toFixed(1)} px`]
          : [];
      }),
    );
    const words = await page.locator('figure[data-chart="learning"] svg').allTextContents();
    expect(words.join(" ")).toContain("or less");
    expect(beyond).toEqual([]);
  });

  it("takes names of sixty letters, and isolates those written from right to left", async () => {
    const page = await openedLong();
    expect(await sideways(page)).toBeLessThanOrEqual(width);
    expect((await page.evaluate(faultyWords, smallest)).hidden).toEqual([]);
    const bare = await page.evaluate(() => {
      const words = document.createTreeWalker(document.querySelector("body")!, NodeFilter.SHOW_TEXT);
      const found: string[] = [];
      while (words.nextNode() !== null) {
        const { parentElement, textContent } = words.currentNode;
        if (
          /[\u0590-\u08ff]/.test(textContent ?? "") &&
          !parentElement!.closest("bdi, svg, script, textarea")
        )
          found.push(textContent!.trim());
      }
      return found;
    });
    expect(bare).toEqual([]);
    // A larger phone.
    await page.setViewportSize({ width: 414, height: 740 });
    expect(await sideways(page)).toBeLessThanOrEqual(414);
  });
});
