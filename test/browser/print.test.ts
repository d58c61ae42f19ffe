import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { demoResult } from "../fixtures/demo.ts";
import { demoEarlier } from "../fixtures/earlier.ts";
import { demoReport, lessonOf, noBrowser, reportBrowser, reportOf, settled } from "./open-report.ts";
import { pagesOf, textOfPages } from "./pdf-pages.ts";

describe.skipIf(noBrowser)("the printed page", () => {
  const browser = reportBrowser();
  const now = demoResult();
  // With scripts on; the two others are laid out alike by the same style, for a tenth of the work.
  const alive = {
    grower: () => reportOf(now, "grower"),
    lesson: () => lessonOf(now),
  };
  const still = {
    "client with every part": () => reportOf(now, "farm", { everyCheck: true, earlier: demoEarlier(now) }),
    "grower with what changed": () => reportOf(now, "grower", { earlier: demoEarlier(now) }),
  };
  const opened = new Map<string, Promise<Page>>();
  /** One page for each report: a test says which medium and window it needs. */
  async function pageOf(
    report: "farm" | keyof typeof alive | keyof typeof still,
    media: "print" | null = null,
    viewport = { width: 1280, height: 720 },
  ): Promise<Page> {
    const open = async (): Promise<Page> => {
      if (report === "farm") return (await demoReport()).page;
      const javaScriptEnabled = report in alive;
      const { page } = await browser.keep(await { ...alive, ...still }[report](), { javaScriptEnabled });
      if (javaScriptEnabled) await settled(page);
      return page;
    };
    // The farm's report is shared with other files, and put back each time.
    const known = (report === "farm" ? undefined : opened.get(report)) ?? open();
    opened.set(report, known);
    const page = await known;
    await page.setViewportSize(viewport);
    await page.emulateMedia({ media });
    return page;
  }

  it.each(["Letter", "A4"] as const)("prints on %s in a sensible number of pages", async (format) => {
    const pages = pagesOf(await (await pageOf("farm")).pdf({ format }));
    expect(pages).toBeGreaterThanOrEqual(4);
    expect(pages).toBeLessThanOrEqual(10);
  });

  it.each(["Letter", "A4"] as const)("is two pages for the grower on %s", async (format) => {
    expect(pagesOf(await (await pageOf("grower")).pdf({ format }))).toBe(2);
  });

  it.each(["Letter", "A4"] as const)("is two pages on %s with what changed, too", async (format) => {
    const page = await pageOf("grower with what changed");
    expect(pagesOf(await page.pdf({ format }))).toBe(2);
    expect(await page.locator(".since").count()).toBe(5);
  });

  it("shows the prices used, and not the form that moves them", async () => {
    const page = await pageOf("farm", "print");
    expect(await page.locator(".used").isVisible()).toBe(true);
    expect(await page.locator("#what-if").isVisible()).toBe(false);
  });

  // What a sheet holds between margins of 12 mm, at 96 pixels an inch.
  it.each([
    { paper: "Letter", width: 725, height: 964 },
    { paper: "A4", width: 703, height: 1032 },
  ])("tells answer, prices, drill and late seeding on one sheet of $paper", async ({ width, height }) => {
    const page = await pageOf("farm", "print", { width, height });
    const end = await page.locator("#drill").evaluate((drill) => drill.getBoundingClientRect().bottom);
    expect(end).toBeGreaterThan(height / 2);
    expect(end).toBeLessThan(height);
  });

  it.each([
    { paper: "Letter", width: 725, height: 964 },
    { paper: "A4", width: 703, height: 1032 },
  ])("cuts no table of the lesson off on $paper", async ({ width, height }) => {
    const page = await pageOf("lesson", "print", { width, height });
    expect(await page.locator("table.next").isVisible()).toBe(true);
    const cut = await page
      .locator(".scroll:visible")
      .evaluateAll((all) =>
        all
          .filter(({ scrollWidth, clientWidth }) => scrollWidth > clientWidth + 1)
          .map((one) => one.getAttribute("aria-label")),
      );
    expect(cut).toEqual([]);
  });

  it("has the varieties in one order on both of the grower's pages", async () => {
    const page = await pageOf("grower", "print");
    const [answer, drill, below] = await Promise.all(
      ["table.next tbody th bdi", ".drill-table tbody th bdi", "article.variety > h2"].map((place) =>
        page.locator(place).allInnerTexts(),
      ),
    );
    expect(answer).toHaveLength(demoResult().next.length);
    expect(drill).toEqual(answer);
    expect(below).toEqual(answer);
  });

  it.each([
    { paper: "Letter", width: 725, half: 964 / 2 },
    { paper: "A4", width: 703, half: 1032 / 2 },
  ])("has every card whole on half a sheet of $paper, its pounds at 24 pt", async ({ width, half }) => {
    const page = await pageOf("farm", "print", { width, height: 900 });
    const cards = await page.locator(".drill-card").evaluateAll((all) =>
      all.map((card) => ({
        height: card.getBoundingClientRect().height,
        cut: card.scrollHeight - card.clientHeight,
        wider: card.scrollWidth - card.clientWidth,
        pounds: parseFloat(getComputedStyle(card.querySelector(".card-rate b")!).fontSize),
      })),
    );
    for (const { height, cut, wider, pounds } of cards) {
      expect(height).toBeLessThan(half);
      expect([cut, wider]).toEqual([0, 0]);
      // 24 points of 1/72 inch, at 96 pixels an inch.
      expect(pounds).toBeCloseTo(32, 5);
    }
    expect(cards).toHaveLength(demoResult().next.length);
  });

  it.each(["farm", "grower"] as const)(
    "puts a name of sixty letters over its row at the drill, so that headings stay short: %s",
    async (kind) => {
      const long = "Weatherproof intermediate wheat selection number four hundred";
      const named = JSON.parse(JSON.stringify(now).replaceAll("Brimsolt", long)) as typeof now;
      const { page } = await browser.open(await reportOf(named, kind), {
        viewport: { width: 725, height: 964 },
        javaScriptEnabled: false,
      });
      await page.emulateMedia({ media: "print" });
      const lines = await page.locator("#drill thead th").evaluateAll((heads) =>
        heads.map((head) => {
          const words = document.createRange();
          words.selectNodeContents(head);
          return new Set([...words.getClientRects()].map(({ top }) => Math.round(top))).size;
        }),
      );
      expect(lines.length).toBeGreaterThan(5);
      expect(Math.max(...lines)).toBeLessThanOrEqual(3);
      const row = page.locator(".drill-table tbody", { hasText: long });
      const [name, pounds] = await Promise.all(
        ["th", "td"].map((cell) => row.locator(cell).first().boundingBox()),
      );
      expect(name!.y + name!.height).toBeLessThanOrEqual(pounds!.y + 1);
      expect(await row.locator("bdi").evaluate((one) => one.getClientRects().length)).toBe(1);
    },
  );

  it.each(["Letter", "A4"] as const)("leaves no page of a client nearly empty on %s", async (format) => {
    const page = await pageOf("client with every part");
    const words = textOfPages(await page.pdf({ format })).map((text) => text.trim().split(" ").length);
    expect(words.length).toBeGreaterThan(8);
    expect(Math.min(...words)).toBeGreaterThan(60);
  });

  it("keeps the charts of a variety with its heading", async () => {
    const page = await pageOf("farm", "print");
    const breaks = await page
      .locator("article.variety")
      .evaluateAll((all) => all.map((one) => getComputedStyle(one).breakInside));
    expect(new Set(breaks)).toEqual(new Set(["avoid"]));
  });

  it("prints the cards alone, two on a sheet", async () => {
    const page = await pageOf("farm");
    await page.evaluate(() => (window.print = () => undefined));
    await page.locator("#cards summary").first().click();
    for (const format of ["Letter", "A4"] as const) {
      await page.getByRole("button", { name: "Print the cards alone" }).click();
      expect(pagesOf(await page.pdf({ format })), format).toBe(now.next.length / 2);
      await page.evaluate(() => dispatchEvent(new Event("afterprint")));
      expect(await page.evaluate(() => document.documentElement.dataset.print)).toBeUndefined();
    }
  });
});
