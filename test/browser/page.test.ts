import type { Page } from "playwright-core";
import { beforeAll, describe, expect, it } from "vitest";
import type { Result, StripPoint } from "../../src/vocabulary/result.ts";
import { demoResult } from "../fixtures/demo.ts";
import { seriousFaults, thinOut } from "./faults.ts";
import { demoReport, noBrowser, reportBrowser, reportOf, settled, type OpenedReport } from "./open-report.ts";

/** Moves a field of the what-if form as a hand would, and waits until the page has followed. */
async function move(page: Page, key: string, value: number): Promise<void> {
  await page.locator(`#${key}`).fill(String(value));
  await page.waitForFunction(
    () => document.querySelector<HTMLElement>("#what-if")?.dataset.state === "moved",
  );
}

/** A pattern of what a strip is called. */
function stripWords({ environment, block, file, row, note }: StripPoint): string {
  const place = demoResult().environments.find(({ id }) => id === environment)!;
  const noted = note === "" ? "" : `, noted: ${note}`;
  return `: ${place.season} ${place.field}, block ${block}, .* bu/ac \\(${file}, row ${row}\\)${noted}`;
}

const withNote = (strip: StripPoint): StripPoint => ({ ...strip, note: strip.row % 2 === 0 ? "hail" : "" });

const nextRates = (page: Page): Promise<string[]> => page.locator("table.next .move b").allInnerTexts();

describe.skipIf(noBrowser)("the finished page", () => {
  const browser = reportBrowser();
  let report = "";
  beforeAll(async () => {
    report = await reportOf(demoResult());
  });
  let still: Promise<OpenedReport> | null = null;
  const withoutScripts = (): Promise<OpenedReport> =>
    (still ??= browser.keep(report, { javaScriptEnabled: false }));

  it("opens from the disk, offline, without a word on the console, and asks for nothing", async () => {
    const { page, complaints } = await demoReport();
    await settled(page);
    expect(await page.locator("h1").innerText()).toContain("2027");
    await expect.poll(() => page.locator("#what-if").isVisible()).toBe(true);
    expect(complaints).toEqual([]);
  });

  it("takes at most 0.8 MB with every picture drawn, for a mail and a slow line", () => {
    expect(Buffer.byteLength(report)).toBeLessThanOrEqual(800_000);
    expect(report.match(/<svg/g)!.length).toBe(report.match(/<figure/g)!.length);
  });

  it("says which strip a mark is: by a list, and by a press on the mark", async () => {
    const { page } = await demoReport();
    await settled(page);
    const { strips, varieties } = demoResult();
    const own = strips.filter(({ variety }) => variety === varieties[0]);
    const figure = page.locator(`figure[data-chart="response"][data-subject="${varieties[0]}"]`);
    const marks = figure.locator("svg g.mark-symbol.role-mark").first().locator("> path");
    const list = figure.locator("select.which-strip");
    expect(await marks.count()).toBe(own.length);
    const named = (index: number): RegExp => new RegExp(stripWords(own[index]!));
    // Marks lie upon one another: the one farthest from its neighbours is pressed.
    const alone = await marks.evaluateAll((all) => {
      const places = all.map((one) => one.getBoundingClientRect());
      const room = places.map((at) =>
        Math.min(...places.map((of) => (of === at ? Infinity : Math.hypot(of.x - at.x, of.y - at.y)))),
      );
      return room.indexOf(Math.max(...room));
    });
    await marks.nth(alone).click({ force: true });
    const shown = (): Promise<string> =>
      list.evaluate((one) => (one as HTMLSelectElement).selectedOptions[0]!.text);
    expect(await shown()).toMatch(named(alone));
    expect(await figure.locator("p.which-strip").innerText()).toMatch(named(alone));

    await figure.locator("details.numbers > summary").click();
    const names = await list.locator("option").allTextContents();
    await list.selectOption({ index: names.findIndex((name) => named(0).test(name)) });
    expect(await shown()).toMatch(named(0));
    const ring = figure.locator("svg circle.which-strip");
    expect(await ring.getAttribute("transform")).toBe(await marks.first().getAttribute("transform"));
    await list.selectOption({ index: 0 });
    expect(await ring.count()).toBe(0);
  });

  // One page for what is noted and for names that a careless page would run.
  const hostile = `</script><script>document.title="broken"</script>"><img src=x onerror='document.title="broken"'>`;
  let noted: Promise<OpenedReport> | null = null;
  const withNotes = (): Promise<OpenedReport> =>
    (noted ??= (async () => {
      // The second is no markup, and a name that every object of JavaScript has already.
      const named = JSON.stringify(demoResult())
        .replaceAll("Brimsolt", JSON.stringify(hostile).slice(1, -1))
        .replaceAll("Telluwick", "__proto__");
      const { strips, ...rest } = JSON.parse(named) as Result;
      const one = await browser.keep(await reportOf({ ...rest, strips: strips.map(withNote) }));
      await settled(one.page);
      return one;
    })());

  it("shows hostile names as text", async () => {
    const { page, complaints } = await withNotes();
    await move(page, "grain", 5);
    await settled(page);
    expect(await page.title()).toContain("Seeding rates");
    const shown = (await page.locator("table.next tbody th").allInnerTexts()).join(" ");
    expect(shown).toContain("</script>");
    expect(shown).toContain("__proto__");
    expect(complaints).toEqual([]);
  });

  it("names every strip in every chart of strips, reached with the keys alone, with what was noted", async () => {
    const { page, complaints } = await withNotes();
    const variety = "Ostrindel";
    const own = demoResult()
      .strips.map(withNote)
      .filter((strip) => strip.variety === variety);
    const ofFirst = page.locator(`article.variety figure[data-subject="${variety}"]`);
    await page.evaluate((subject) => {
      const folded = `article.variety:has(figure[data-subject="${subject}"]) details`;
      for (const one of document.querySelectorAll<HTMLDetailsElement>(folded)) one.open = true;
    }, variety);
    const patterns = own.map((strip) => new RegExp(`${stripWords(strip)}$`));
    for (const chart of ["response", "lodging", "stand", "seasons", "residuals", "influence"]) {
      const figure = ofFirst.and(page.locator(`[data-chart="${chart}"]`));
      const marks = figure.locator(".picture svg [role=img]");
      await expect.poll(() => marks.count(), { timeout: 30_000 }).toBe(own.length);
      const names = await marks.evaluateAll((all) => all.map((one) => one.getAttribute("aria-label")!));
      for (const words of patterns)
        expect(
          names.filter((name) => words.test(name)),
          chart,
        ).toHaveLength(1);
      // One stop of the Tab key a chart, at its lowest rate; arrow keys go on from there.
      const stop = figure.locator("[tabindex='0']").and(marks);
      expect(await stop.count()).toBe(1);
      await stop.focus();
      const said = figure.locator("p.which-strip");
      const first = await said.innerText();
      expect(names).toContain(first);
      await page.keyboard.press("ArrowRight");
      expect(await said.innerText()).not.toBe(first);
      await page.keyboard.press("End");
      const rate = (name: string): number => parseFloat(name);
      expect(rate(await said.innerText())).toBe(Math.max(...names.map(rate)));
      await page.keyboard.press("Home");
      expect(await said.innerText()).toBe(first);
      await page.keyboard.press("Escape");
      expect(await said.isVisible()).toBe(false);
    }
    // A moved price draws flags anew, and marks stay what they were.
    await move(page, "grain", 3);
    // The whole page is gone over for each of its readers; of charts of strips one has flags, the other none.
    const charts = `figure[data-subject="${variety}"]:is([data-chart="response"], [data-chart="influence"])`;
    await page.evaluate(
      (kept) => document.querySelectorAll("figure").forEach((one) => one.matches(kept) || one.remove()),
      charts,
    );
    await thinOut(page);
    expect(await seriousFaults(page, "light", charts)).toEqual([]);
    expect(complaints).toEqual([]);
  });

  it("follows a moved grain price: table, curves, flat zone and the prices that are printed", async () => {
    const { page, complaints } = await demoReport();
    const zone = page.locator('figure[data-chart="net-return"]').first();
    const before = {
      picture: await zone.locator("svg").innerHTML(),
      used: await page.locator(".used").innerText(),
    };
    await move(page, "grain", 3);
    await expect.poll(() => page.locator(".used").innerText()).toContain("$3/bu");
    expect(before.used).toContain("$6.25/bu");
    await expect.poll(() => zone.locator("svg").innerHTML()).not.toBe(before.picture);
    await expect.poll(() => page.locator("#what-if-says").innerText()).toContain("At grain price $3/bu");
    expect(complaints).toEqual([]);
  });

  it("lets today's rate, the step and the seed price of a variety be moved", async () => {
    const { page } = await demoReport();
    const before = await nextRates(page);
    await page.locator("#what-if summary").click();
    await move(page, "step", 0);
    await expect.poll(() => nextRates(page)).not.toEqual(before);
    await move(page, "step", 30);
    await move(page, "seed-1", 45);
    await expect.poll(() => page.locator(".used").innerText()).toContain("30");
  });

  it("goes back to the report's own words and numbers", async () => {
    const { page } = await demoReport();
    const words = (): Promise<string> => page.locator("#next [data-part=next]").innerText();
    const before = await words();
    await move(page, "grain", 2.5);
    await expect.poll(words).not.toBe(before);
    await page.locator("#what-if-bar [data-undo=grain]").click();
    await expect.poll(words).toBe(before);
    await expect.poll(() => new URL(page.url()).hash).toBe("");
  });

  it("tells folded tables at the moved prices, when they are opened", async () => {
    const { page } = await demoReport();
    const tables = ["fits", "pooled"].map((part) => page.locator(`[data-part="${part}"]`).first());
    const texts = (): Promise<(string | null)[]> => Promise.all(tables.map((one) => one.textContent()));
    const [fits, pooled] = await texts();
    await move(page, "grain", 3);
    expect(await texts()).toEqual([fits, pooled]);
    await page.evaluate(() => document.querySelectorAll("details").forEach((one) => (one.open = true)));
    await expect.poll(async () => (await texts())[0]).not.toBe(fits);
    await expect.poll(async () => (await texts())[1]).not.toBe(pooled);
  });

  it("keeps what was moved in the address, and takes it from there", async () => {
    const { page } = await demoReport();
    await move(page, "grain", 3.5);
    // The address is written once a value is settled on.
    await page.locator("#grain").blur();
    await expect.poll(() => new URL(page.url()).hash).toBe("#grain=3.5");
    const rates = await nextRates(page);
    const shared = await browser.open(report, {}, "#grain=3.5&nonsense=1&step=9999");
    await settled(shared.page);
    await expect.poll(() => nextRates(shared.page)).toEqual(rates);
    await expect.poll(() => shared.page.locator("#grain").inputValue()).toBe("3.5");
    expect(shared.complaints).toEqual([]);
  });

  it("draws live what it drew beforehand", async () => {
    const { page } = await demoReport();
    const { page: drawnBefore } = await withoutScripts();
    const labels = async (of: Page): Promise<string[]> =>
      (await of.locator('figure[data-chart="response"] svg text').allTextContents()).sort();
    await settled(page);
    expect(await labels(page)).toEqual(await labels(drawnBefore));
  });

  it("is whole with scripts off", async () => {
    const { page, complaints } = await withoutScripts();
    expect(await page.locator("table.next tbody tr").count()).toBe(4);
    expect(await page.locator("figure svg").count()).toBeGreaterThan(12);
    expect(await page.locator("#what-if").isVisible()).toBe(false);
    expect(complaints).toEqual([]);
  });

  it("can be worked by keyboard alone", async () => {
    const { page } = await demoReport();
    await page.keyboard.press("Tab");
    await expect.poll(() => page.evaluate(() => document.activeElement?.textContent)).toContain("Skip");
    await page.locator("#what-if").waitFor();
    await page.locator('input[type="range"][data-key="grain"]').focus();
    await page.keyboard.press("ArrowRight");
    await expect.poll(() => new URL(page.url()).hash).toContain("grain=");
  });
});
