import type { Page } from "playwright-core";
import { beforeAll, describe, expect, it } from "vitest";
import { demoResult } from "../fixtures/demo.ts";
import { demoEarlier } from "../fixtures/earlier.ts";
import { openDetails, seriousFaults, thinOut } from "./faults.ts";
import {
  clientsOf,
  lessonOf,
  noBrowser,
  reportBrowser,
  reportOf,
  settled,
  type OpenedReport,
} from "./open-report.ts";
import { textOfPages } from "./pdf-pages.ts";

const now = demoResult();
const pages: [string, () => Promise<string>][] = [
  ["grower", () => reportOf(now, "grower", { earlier: demoEarlier(now) })],
  ["class", () => lessonOf(now)],
  ["agronomist with many clients", () => clientsOf(now)],
  // With every part that a report of one farm can have.
  [
    "agronomist with one client",
    () => reportOf(now, "farm", { everyCheck: true, earlier: demoEarlier(now) }),
  ],
];

/** Unfolds all that is folded, and all steps of a lesson. */
async function showAll(page: Page): Promise<void> {
  await openDetails(page);
  for (const button of await page.getByRole("button", { name: "All steps" }).all()) await button.click();
}

describe.skipIf(noBrowser).each(pages)("the page for the %s", (_, make) => {
  const browser = reportBrowser();
  let html = "";
  beforeAll(async () => {
    html = await make();
  });

  // One page for both: what a person could stumble over is looked for once nothing was said on the console.
  let opened: Promise<OpenedReport> | null = null;
  const shown = (): Promise<OpenedReport> =>
    (opened ??= browser.keep(html, { viewport: { width: 360, height: 740 }, colorScheme: "light" }));

  it("opens on a phone offline without a word on the console, asks for nothing, and needs no sideways scrolling", async () => {
    const { page, complaints } = await shown();
    await settled(page);
    expect(await page.locator("h1").isVisible()).toBe(true);
    await showAll(page);
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(360);
    await page.setViewportSize({ width: 1280, height: 720 });
    await page.emulateMedia({ colorScheme: "dark" });
    await settled(page);
    expect(complaints).toEqual([]);
  });

  it("has no serious fault by axe-core, in light and in dark", async () => {
    const { page } = await shown();
    await page.setViewportSize({ width: 1280, height: 720 });
    await page.emulateMedia({ colorScheme: "light" });
    await showAll(page);
    await settled(page);
    await thinOut(page);
    expect(await seriousFaults(page, "light"), "light").toEqual([]);
    // Nothing but the style sheet asks for the scheme: the page need not be opened anew.
    await page.emulateMedia({ colorScheme: "dark" });
    await settled(page);
    expect(await seriousFaults(page, "dark"), "dark").toEqual([]);
  });

  it("lets no script or style run but its own", async () => {
    // The policy and all scripts as they are; of what is read, nothing but what is not the page's own.
    const foreign = '<img src="x" onerror="document.title = 1"><script>document.title = 2</script>';
    const { page, complaints } = await browser.open(
      html.replace(/<main id="main">[^]*<\/main>/, `<main id="main">${foreign}</main>`),
    );
    await expect
      .poll(() => complaints.filter((text) => text.includes("Content Security Policy")).length)
      .toBeGreaterThan(1);
    expect(["1", "2"]).not.toContain(await page.title());
  });
});

describe.skipIf(noBrowser)("the grower's two pages", () => {
  const browser = reportBrowser();

  it("follow a moved price in the words of each variety", async () => {
    const { page, complaints } = await browser.open(await reportOf(now, "grower"));
    const zones = (): Promise<string[]> => page.locator("article.variety [data-part]").allInnerTexts();
    const before = await zones();
    await page.locator("#grain").fill("3");
    await expect.poll(zones).not.toEqual(before);
    expect(complaints).toEqual([]);
  });

  it("hold the answer, the drill and every variety with scripts off", async () => {
    const { page } = await browser.open(await reportOf(now, "grower"), { javaScriptEnabled: false });
    expect(await page.locator("table.next tbody tr").count()).toBe(4);
    expect(await page.locator(".drill-table tbody tr").count()).toBe(4);
    expect(await page.locator("article.variety figure svg").count()).toBe(8);
  });
});

describe.skipIf(noBrowser)("the summary of many clients", () => {
  const browser = reportBrowser();

  it("prints all columns beside a client whose name has sixty letters without a space", async () => {
    const long = "Weatherproofintermediatewheatfarmnumberfourhundredandtwelved";
    expect(long).toHaveLength(60);
    const html = (await clientsOf(now)).replaceAll(">Aspen<", `>${long}<`);
    // What a sheet holds between margins of 12 mm, at 96 pixels an inch.
    const sheet = Math.floor((8.5 - 24 / 25.4) * 96);
    const { page } = await browser.open(html, { viewport: { width: sheet, height: 960 } });
    await page.emulateMedia({ media: "print" });
    const rights = await page.evaluate(() =>
      [...document.querySelectorAll("tr > *")]
        .filter((cell) => cell.checkVisibility())
        .map((cell) => cell.getBoundingClientRect().right),
    );
    expect(rights.length).toBeGreaterThan(20);
    expect(Math.max(...rights)).toBeLessThanOrEqual(sheet);
  });

  it("repeats the headings of a table on every printed page with rows of it", async () => {
    const names = Array.from({ length: 60 }, (_, index) => `Farm${index + 101}`);
    const { page } = await browser.open(await clientsOf(now, names));
    await settled(page);
    const heads = await page.locator("table.sortable thead th").allTextContents();
    expect(heads).toContain("Most profitable");
    for (const format of ["Letter", "A4"] as const) {
      const printed = textOfPages(await page.pdf({ format }));
      const row = new RegExp(`Farm\\d{3} ?${now.next[0]!.variety}`);
      const withRows = printed.filter((text) => row.test(text));
      expect(withRows.length, format).toBeGreaterThan(2);
      for (const text of withRows) for (const head of heads) expect(text.slice(0, 900)).toContain(head);
    }
  });
});

describe.skipIf(noBrowser)("the grower's two pages", () => {
  const browser = reportBrowser();

  it("keep the reasons on the sheet however long a variety is called", async () => {
    const { variety } = now.next[0]!;
    const long = "ALongNameWithoutAnyPlaceToBreak".repeat(3);
    const html = await reportOf(now, "grower");
    const sheet = Math.floor((8.5 - 24 / 25.4) * 96);
    const widthOf = async (text: string): Promise<number> => {
      const { page } = await browser.open(text, { viewport: { width: sheet, height: 960 } });
      await page.emulateMedia({ media: "print" });
      return page.evaluate(() => document.querySelector("table.next")!.getBoundingClientRect().width);
    };
    // Somewhat more than a sheet is printed smaller; twice as much is cut off.
    expect(await widthOf(html.replaceAll(`>${variety}<`, `>${long}<`))).toBeLessThanOrEqual(
      1.02 * (await widthOf(html)),
    );
  });
});

describe.skipIf(noBrowser)("the lesson", () => {
  const browser = reportBrowser();
  let html = "";
  beforeAll(async () => {
    html = await lessonOf(now);
  });
  const shown = (page: Page): Promise<string[]> => page.locator(".step:visible h2").allInnerTexts();
  const count = (): number => html.match(/<section class="step"/g)!.length;

  it("reveals one step after another, by button, arrow key and presenter's remote", async () => {
    const { page, complaints } = await browser.turn(html);
    await expect.poll(() => shown(page)).toHaveLength(1);
    const first = await shown(page);
    const next = page.getByRole("button", { name: "Next" });
    const answer = page.locator("#step-1 .reveal > p");
    // A remote has one button: it opens the answer, and where that ends below the buttons, scrolls to its end first.
    await next.click();
    await expect.poll(() => answer.isVisible()).toBe(true);
    expect(await shown(page)).toEqual(first);
    const isHidden = await answer.evaluate(
      (end) =>
        end.getBoundingClientRect().bottom > document.querySelector("nav.steps")!.getBoundingClientRect().top,
    );
    await next.click();
    if (isHidden) {
      expect(await shown(page)).toEqual(first);
      await next.click();
    }
    await expect.poll(() => shown(page)).not.toEqual(first);
    const second = await shown(page);
    expect(second).toHaveLength(1);
    await page.keyboard.press("PageDown");
    await page.keyboard.press("PageDown");
    await expect.poll(() => shown(page)).not.toEqual(second);
    await page.keyboard.press("ArrowLeft");
    await expect.poll(() => shown(page)).toEqual(second);
    await page.keyboard.press("PageUp");
    await expect.poll(() => shown(page)).toEqual(first);
    await expect.poll(() => page.getByRole("button", { name: "Back" }).isDisabled()).toBe(true);
    for (let press = 0; press < 40; press++) await page.keyboard.press("ArrowRight");
    await expect.poll(() => new URL(page.url()).hash).toBe(`#step-${count()}`);
    await expect.poll(() => page.getByRole("button", { name: "Next" }).isDisabled()).toBe(true);
    await page.getByRole("button", { name: "All steps" }).click();
    await expect.poll(() => shown(page)).toHaveLength(count());
    await page.getByRole("button", { name: "Step by step" }).click();
    await expect.poll(() => shown(page)).toHaveLength(1);
    expect(complaints).toEqual([]);
  });

  it("has charts whose words are 12 pixels at least on a phone", async () => {
    const { page } = await browser.turn(html, { viewport: { width: 360, height: 740 } });
    await showAll(page);
    await settled(page);
    const sizes = await page.locator(".picture svg").evaluateAll((all) =>
      all.flatMap((one) => {
        const svg = one as unknown as SVGSVGElement;
        const { width, height } = svg.getBoundingClientRect();
        const { viewBox } = svg;
        const scale = Math.min(width / viewBox.baseVal.width, height / viewBox.baseVal.height);
        return [...svg.querySelectorAll("text")].map(
          (text) => parseFloat(getComputedStyle(text).fontSize) * scale,
        );
      }),
    );
    expect(sizes.length).toBeGreaterThan(50);
    expect(Math.min(...sizes)).toBeGreaterThanOrEqual(12);
  });

  it("opens with its title in sight", async () => {
    const { page } = await browser.turn(html);
    await expect.poll(() => shown(page)).toHaveLength(1);
    expect(await page.evaluate(() => scrollY)).toBe(0);
    expect((await page.locator("h1").boundingBox())!.y).toBeGreaterThanOrEqual(0);
  });

  it("goes on where the browser refuses to change the address", async () => {
    const { page, complaints } = await browser.turn(html);
    await expect.poll(() => shown(page)).toHaveLength(1);
    await page.evaluate(() => {
      history.replaceState = () => {
        throw new DOMException("too many calls", "SecurityError");
      };
    });
    for (let press = 0; press < 3; press++) await page.keyboard.press("PageDown");
    await expect.poll(() => page.locator(".step:visible").getAttribute("id")).toBe("step-2");
    expect(await page.getByRole("button", { name: "Back" }).isDisabled()).toBe(false);
    expect(complaints).toEqual([]);
  });

  it("opens at the step in its address", async () => {
    const { page } = await browser.turn(html, {}, "#step-3");
    await expect.poll(() => page.locator(".step:visible").getAttribute("id")).toBe("step-3");
  });

  it("hides each answer until it is asked for", async () => {
    const { page } = await browser.turn(html);
    const answer = page.locator("#step-1 .reveal > p");
    expect(await answer.isVisible()).toBe(false);
    await page.locator("#step-1 summary", { hasText: "Answer" }).click();
    await expect.poll(() => answer.isVisible()).toBe(true);
  });

  it("shows every step with scripts off, answers still folded", async () => {
    const { page, complaints } = await browser.turn(html, { javaScriptEnabled: false });
    await expect.poll(() => shown(page)).toHaveLength(count());
    expect(await page.locator("figure svg").count()).toBe(5);
    expect(await page.locator(".reveal > p:visible").count()).toBe(0);
    expect(complaints).toEqual([]);
  });

  it("prints every step, and none of its buttons", async () => {
    const { page } = await browser.turn(html);
    await page.emulateMedia({ media: "print" });
    await expect.poll(() => shown(page)).toHaveLength(count());
    expect(await page.getByRole("button").count()).toBe(0);
  });

  it("prints a key with every answer, and a sheet without any for students", async () => {
    const { page } = await browser.turn(html);
    await page.evaluate(() => (window.print = () => undefined));
    const answers = page.locator(".reveal > p:visible");
    await page.getByRole("button", { name: "Print for students, without answers" }).click();
    await page.emulateMedia({ media: "print" });
    expect(await answers.count()).toBe(0);
    expect(await page.locator(".step table.next:visible").count()).toBe(0);
    expect(await page.locator(".ask").count()).toBe(count());
    expect(await page.locator("#words").innerText()).not.toContain("because seed costs money");
    expect(await page.locator(".lines:visible").count()).toBe(await page.locator(".ask").count());
    await page.evaluate(() => dispatchEvent(new Event("afterprint")));
    expect(await answers.count()).toBe(await page.locator(".ask").count());
    expect(await page.locator(".lines:visible").count()).toBe(0);
  });

  it("has no words under 28 pixels on a screen of 1,080 lines", async () => {
    const { page } = await browser.turn(html, { viewport: { width: 1920, height: 1080 } });
    for (let step = 1; step <= count(); step++) {
      await page.evaluate((id) => (location.hash = id), `#step-${step}`);
      await page.locator(`#step-${step}`).waitFor();
      const small = await page.evaluate(
        (id) =>
          [...document.querySelectorAll(`${id} *, header *`)]
            .filter((element) =>
              [...element.childNodes].some((node) => /\S/.test(node.nodeType === 3 ? node.nodeValue! : "")),
            )
            .filter((element) => element.checkVisibility() && element.closest(".spoken, .numbers") === null)
            .map((element) => {
              const svg = element.closest("svg");
              // A picture of limited height leaves room beside it.
              const scale =
                svg === null
                  ? 1
                  : Math.min(
                      svg.getBoundingClientRect().width / svg.viewBox.baseVal.width,
                      svg.getBoundingClientRect().height / svg.viewBox.baseVal.height,
                    );
              return {
                text: element.textContent!.slice(0, 30),
                size: parseFloat(getComputedStyle(element).fontSize) * scale,
              };
            })
            .filter(({ size }) => size < 28),
        `#step-${step}`,
      );
      expect(small, `step ${step}`).toEqual([]);
    }
  });

  it.each([
    [1920, 1080],
    [1280, 720],
  ])(
    "shows all of each step above its buttons to a remote with one button, at %i × %i",
    async (width, height) => {
      const { page } = await browser.turn(html, { viewport: { width, height } });
      await expect.poll(() => shown(page)).toHaveLength(1);
      const seen = new Map<string, boolean>();
      for (let press = 0; press < 40; press++) {
        const told = await page.evaluate(() => {
          const step = document.querySelector(".step.current")!;
          const bar = document.querySelector("nav.steps")!.getBoundingClientRect().top;
          return [...step.querySelectorAll("h2, p, svg, tr")].flatMap((one, index) => {
            if (one.closest(".numbers, .spoken") !== null || !one.checkVisibility()) return [];
            const { top, bottom } = one.getBoundingClientRect();
            // The lowest lines of a picture are empty.
            const above = bottom <= bar + (one.tagName === "svg" ? 8 : 0);
            return [
              { name: `${step.id} ${index} ${one.textContent.trim().slice(0, 40)}`, seen: top >= 0 && above },
            ];
          });
        });
        for (const one of told) seen.set(one.name, seen.get(one.name) === true || one.seen);
        if (await page.getByRole("button", { name: "Next" }).isDisabled()) break;
        await page.keyboard.press("PageDown");
      }
      expect([...seen].filter(([, was]) => !was).map(([name]) => name)).toEqual([]);
      expect(new Set([...seen.keys()].map((name) => name.split(" ")[0])).size).toBe(count());
      await expect.poll(() => page.getByRole("button", { name: "Next" }).isDisabled()).toBe(true);
    },
  );

  it.each([
    [1920, 1080],
    [1280, 720],
  ])(
    "shows the first picture with its legend above the buttons before any press, at %i × %i",
    async (width, height) => {
      const { page } = await browser.turn(html, { viewport: { width, height } });
      await expect.poll(() => shown(page)).toHaveLength(1);
      await settled(page);
      const hidden = await page.evaluate(() => {
        const bar = document.querySelector("nav.steps")!.getBoundingClientRect().top;
        return [...document.querySelectorAll("#step-1 svg text")]
          .filter((word) => word.getBoundingClientRect().bottom > bar)
          .map((word) => word.textContent);
      });
      expect(await page.locator("#step-1 svg").textContent()).toContain("block 1");
      expect(hidden).toEqual([]);
      expect(await page.evaluate(() => scrollY)).toBe(0);
    },
  );

  it("marks two rates where it speaks of two", async () => {
    const { page } = await browser.turn(html, {}, "#step-4");
    const words = await page.locator("#step-4 svg").textContent();
    expect(words).toContain("most profitable");
    expect(words).toContain("highest yield");
    expect(words).not.toMatch(/now \d|next \d/);
  });

  it("is read from the last row: large words, and question and picture on one projected screen", async () => {
    const { page } = await browser.turn(html, { viewport: { width: 1280, height: 720 } }, "#step-2");
    const size = (of: string): Promise<number> =>
      page.locator(of).evaluate((element) => parseFloat(getComputedStyle(element).fontSize));
    expect(await size("#step-2 .ask")).toBeGreaterThanOrEqual(20);
    const [ask, picture] = [
      await page.locator("#step-2 .ask").boundingBox(),
      await page.locator("#step-2 .picture").boundingBox(),
    ];
    expect(picture!.width).toBeGreaterThan(600);
    expect(ask!.y).toBeGreaterThanOrEqual(0);
    expect(ask!.y + ask!.height).toBeLessThanOrEqual(720);
    expect(picture!.y + picture!.height).toBeLessThanOrEqual(720);
  });
});
