import type { Page } from "playwright-core";
import { describe, expect, it, onTestFinished } from "vitest";
import { demoReport, noBrowser, settled } from "./open-report.ts";

const says = (page: Page): Promise<string> => page.locator("#what-if-says").innerText();

describe.skipIf(noBrowser)("a moved price", () => {
  it("says its effect in a bar that stays in view, and marks the cells that changed", async () => {
    const { page } = await demoReport();
    await page.locator("#grain").fill("12");
    await expect.poll(() => says(page)).toMatch(/^At grain price \$12\/bu: .* would go up to 1\.\d+/);
    await expect.poll(() => page.locator("table.next td.move.changed").count()).toBeGreaterThan(0);
    await page.evaluate(() => scrollTo(0, 3000));
    const bar = await page.locator("#what-if-bar").boundingBox();
    expect(bar!.y + bar!.height).toBeLessThanOrEqual(page.viewportSize()!.height + 1);
  });

  it("can be taken back one by one, and by the browser's Back", async () => {
    const { page } = await demoReport();
    const answer = (): Promise<string> => page.locator("table.next").innerText();
    const before = await answer();
    await page.locator("#grain").fill("12");
    await page.locator("#grain").blur();
    await page.locator("#step").fill("20");
    await page.locator("#step").blur();
    await expect.poll(() => page.locator("#what-if-bar button").allInnerTexts()).toHaveLength(3);
    await page.goBack();
    await expect.poll(() => page.locator("#step").inputValue()).toBe("10");
    await expect.poll(() => page.locator("#grain").inputValue()).toBe("12");
    await page.locator("[data-undo=grain]").click();
    await expect.poll(answer).toBe(before);
    await expect.poll(() => page.locator("#what-if-bar").isVisible()).toBe(false);
    await expect.poll(() => page.locator("td.changed").count()).toBe(0);
  });

  it.each(["-3", "1e9", "", "dear"])("refuses %j aloud and keeps the last good value", async (typed) => {
    const { page } = await demoReport();
    await page.locator("#what-if").waitFor();
    const before = await page.locator("table.next").innerText();
    await page.locator("#grain").fill(typed);
    await expect.poll(() => page.locator("#grain").getAttribute("aria-invalid")).toBe("true");
    await expect.poll(() => page.locator("#grain-wrong").innerText()).toContain("2.5 to 12.5");
    expect(await page.locator("table.next").innerText()).toBe(before);
  });

  it("is followed by the text and the cards for the drill, which say that it was moved", async () => {
    const { page } = await demoReport();
    await page.evaluate(() => {
      const write = (text: string): Promise<void> => {
        document.body.dataset.copied = text;
        return Promise.resolve();
      };
      Object.defineProperty(navigator, "clipboard", { configurable: true, value: { writeText: write } });
    });
    await page.locator("#cards summary").click();
    const copied = async (): Promise<string> => {
      await page.getByRole("button", { name: "Copy as text" }).click();
      await expect.poll(() => page.locator("#copied").innerText()).toBe("Copied.");
      return (await page.locator("body").getAttribute("data-copied"))!;
    };
    const before = await copied();
    const pounds = /Ostrindel: (\d+ lb\/ac)/.exec(before)![1]!;
    expect(await page.locator(".card-rate").first().innerText()).toContain(pounds);
    await page.locator("#step").fill("20");
    await expect.poll(() => page.locator(".card-rate").first().innerText()).not.toContain(pounds);
    const after = await copied();
    expect(after).toContain("20%");
    expect(/Ostrindel: (\d+ lb\/ac)/.exec(after)![1]).not.toBe(pounds);
    expect(await page.locator(".drill-card .moved-note").first().innerText()).toContain("20%");
  });

  it("leaves the text selected where the browser lets no page copy", async () => {
    const { page, complaints } = await demoReport();
    await page.evaluate(() => {
      const refuse = (): Promise<void> => Promise.reject(new DOMException("Refused", "NotAllowedError"));
      Object.defineProperty(navigator, "clipboard", { configurable: true, value: { writeText: refuse } });
    });
    await page.locator("#cards summary").click();
    await page.getByRole("button", { name: "Copy as text" }).click();
    await expect.poll(() => page.locator("#copied").innerText()).toContain("Ctrl+C");
    expect(await page.evaluate(() => getSelection()?.toString())).toMatch(/^Seed to sow in 2027/);
    expect(complaints).toEqual([]);
  });

  it("takes a comma before the decimals", async () => {
    const { page } = await demoReport();
    await page.locator("#grain").fill("7,5");
    await expect.poll(() => page.locator(".used").innerText()).toContain("$7.50/bu");
    expect(await page.locator("#grain").getAttribute("inputmode")).toBe("decimal");
  });

  it("follows 150 moves of the slider in a browser that refuses to write so many addresses", async () => {
    const { page, complaints } = await demoReport();
    onTestFinished(() =>
      page.evaluate(() => {
        // What the browser has of its own lies under what is put on top here.
        for (const name of ["pushState", "replaceState"] as const) Reflect.deleteProperty(history, name);
      }),
    );
    await page.evaluate(() => {
      let left = 100;
      for (const name of ["pushState", "replaceState"] as const) {
        const real = history[name].bind(history);
        history[name] = (...given) => {
          if (left-- <= 0) throw new DOMException("Too many calls", "SecurityError");
          real(...given);
        };
      }
      const slider = document.querySelector<HTMLInputElement>('input[type=range][data-key="grain"]')!;
      for (let move = 0; move <= 150; move += 1) {
        slider.value = String(4 + move * 0.04);
        slider.dispatchEvent(new Event("input", { bubbles: true }));
        slider.dispatchEvent(new Event("change", { bubbles: true }));
      }
    });
    await expect.poll(() => page.locator(".used").innerText()).toContain("$10/bu");
    await expect.poll(() => page.locator("#grain").inputValue()).toBe("10");
    expect(complaints).toEqual([]);
  });

  it("acts for a lot's germination, and for the days that seeding is late", async () => {
    const { page } = await demoReport();
    await page.locator("#what-if summary").click();
    const pounds = (): Promise<string> => page.locator(".drill-table").innerText();
    const before = await pounds();
    await page.locator("#germination-1").fill("70");
    await expect.poll(pounds).not.toBe(before);
    await page.locator("#late").fill("10");
    await expect.poll(() => page.locator(".late th.planned").textContent()).toContain("10 days");
  });

  it("is said on paper: this is not the report itself", async () => {
    const { page } = await demoReport();
    await page.emulateMedia({ media: "print" });
    expect(await page.locator("#moved-note").isVisible()).toBe(false);
    await page.emulateMedia({ media: "screen" });
    await page.locator("#grain").fill("9");
    await expect.poll(() => says(page)).toContain("$9/bu");
    await page.emulateMedia({ media: "print" });
    await expect
      .poll(() => page.locator("#moved-note").innerText())
      .toContain("grain price $9/bu (report $6.25/bu)");
    expect(await page.locator("#what-if-bar").isVisible()).toBe(false);
  });

  it("is kept when a reader jumps to a part of the page", async () => {
    const { page } = await demoReport();
    await page.locator("#grain").fill("12");
    await page.locator("#grain").blur();
    await expect.poll(() => says(page)).toContain("$12/bu");
    await page.locator('.contents a[href="#method"]').click();
    await expect.poll(() => page.locator("#method details").getAttribute("open")).toBe("");
    expect(await says(page)).toContain("$12/bu");
  });
});

describe.skipIf(noBrowser)("the answer", () => {
  it.each([
    { width: 1280, height: 800, screens: 8 },
    { width: 360, height: 740, screens: 14 },
  ])("is read in $screens screens at $width px", async ({ width, height, screens }) => {
    const { page } = await demoReport();
    await page.setViewportSize({ width, height });
    await settled(page);
    const tall = await page.evaluate(() => document.documentElement.scrollHeight);
    expect(tall / height).toBeLessThanOrEqual(screens);
  });

  it("begins with the money, and puts the most money first", async () => {
    const { page } = await demoReport();
    expect(await page.locator(".lede").innerText()).toMatch(
      /^Sow less Ostrindel: about \$[\d,]+ on \d+ acres/,
    );
    expect(await page.locator("table.next tbody th").first().innerText()).toBe("Ostrindel");
    expect(await page.locator("table.next thead").innerText()).toContain("million viable seeds/ac");
    for (const link of await page.locator("table.next a, .contents a").all())
      expect(await page.locator((await link.getAttribute("href"))!).count()).toBe(1);
  });

  it("prints what is folded on the screen", async () => {
    const { page } = await demoReport();
    await page.emulateMedia({ media: "print" });
    const box = await page.locator("#method h3").boundingBox();
    expect(box!.height).toBeGreaterThan(0);
  });
});
