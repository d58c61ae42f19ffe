/** The desk for hands without a mouse, for eyes that need more, and for machines that are slow. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { demoFiles } from "../fixtures/demo.ts";
import { openDetails, seriousFaults } from "./faults.ts";
import { longestTask, mostMs } from "./longest-task.ts";
import {
  answerShown,
  command,
  desk,
  firstDifference,
  foreign,
  hand,
  pressed,
  quiet,
  root,
  savedFiles,
  stepTo,
} from "./open-desk.ts";
import { noBrowser, reportBrowser, type OpenedReport } from "./open-report.ts";
import { pagesOf } from "./pdf-pages.ts";
import { unclearStrips } from "./unclear-strips.ts";

const steps = [
  "Strips",
  "Mend",
  "Prices and seed",
  "Answer",
  "At the drill",
  "Next strips",
  "Harvest notes",
  "Keep",
];

interface OpenedDesk extends OpenedReport {
  /** The words of the report, and how long the page's own thread was busy at a stretch until it was open. */
  answer: string;
  /** The result as it is saved. */
  json: string;
  busy: { ms: number; tasks: number };
}

const sheet =
  "strip,variety,rate (seeds/ac),yield (bu/ac),moisture (%),note\n1,Lornwick,900000,,,\n2,Lornwick,1300000,,,\n";

/** How far a page reaches beyond its window to the side [px]; a table may be pushed within its own frame. */
const tooWide = (page: Page): Promise<number> =>
  page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);

/** What is chosen and wider than its field, beside the arrow that opens it. */
const cutOff = (page: Page): Promise<string[]> =>
  page.locator("main select:visible").evaluateAll((fields) =>
    (fields as HTMLSelectElement[]).flatMap((field) => {
      const style = getComputedStyle(field);
      const pen = document.createElement("canvas").getContext("2d")!;
      pen.font = style.font;
      const text = field.selectedOptions[0]?.text ?? "";
      const room = field.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight) - 20;
      return pen.measureText(text).width > room ? [text] : [];
    }),
  );

/** 1280 px at 200 % are 640 CSS pixels (WCAG 2.2, 1.4.4 and 1.4.10). */
async function holdsAtTwiceTheSize(page: Page): Promise<void> {
  await page.setViewportSize({ width: 640, height: 400 });
  await page.emulateMedia({ forcedColors: "active", reducedMotion: "reduce" });
  expect(await tooWide(page), "200 % zoom").toBeLessThanOrEqual(0);
  const seen = await page.evaluate(() => ({
    moving: document.getAnimations().filter(({ playState }) => playState === "running").length,
    border: getComputedStyle(document.querySelector("nav [aria-current]")!).borderTopWidth,
  }));
  expect(seen).toEqual({ moving: 0, border: "3px" });
  await page.emulateMedia({ forcedColors: null, reducedMotion: null });
}

/** Tabs to the first thing whose name begins so; wherever the cursor is there, it is seen. */
async function tabTo(page: Page, name: string): Promise<void> {
  for (let presses = 0; presses < 60; presses++) {
    await page.keyboard.press("Tab");
    const at = await page.evaluate(() => {
      const one = document.activeElement as HTMLElement;
      const label = (one as HTMLInputElement).labels?.[0]?.textContent;
      return one.getAttribute("aria-label") ?? label ?? one.textContent ?? "";
    });
    if (at.trim().startsWith(name)) {
      const outline = await page.evaluate(() => getComputedStyle(document.activeElement!).outlineStyle);
      expect(outline, `${name} shows where the cursor is`).not.toBe("none");
      return;
    }
  }
  throw new Error(`No way by keyboard to ${name}.`);
}

describe.skipIf(noBrowser)("the desk", () => {
  const browser = reportBrowser();
  const shipped = reportBrowser({ asShipped: true });
  const { saved } = savedFiles();
  // One page for all, with the demo farm on it, analyzed in two workers, and a field sheet open.
  let opened: Promise<OpenedDesk> | null = null;
  const openedDesk = (): Promise<OpenedDesk> =>
    (opened ??= (async () => {
      const { page, complaints } = await shipped.keep(desk);
      await tabTo(page, "Try the demo farm");
      let answer = "";
      const work = async (): Promise<void> => {
        await page.keyboard.press("Enter");
        await page.locator("nav [aria-current]", { hasText: "Answer" }).waitFor();
        answer = await answerShown(page);
      };
      const busy = await longestTask(page, work, "desk: answer opened");
      const json = readFileSync(await saved(page, "Save the result as JSON"), "utf8");
      await stepTo(page, "Harvest notes");
      await hand(page, "Field sheet", { name: "field-sheet.csv", content: sheet });
      return { page, complaints, answer, json, busy };
    })());

  it("listens while the demo farm is analyzed, until its answer is open", async () => {
    const { complaints, answer, busy } = await openedDesk();
    // It answers, and asks for nothing outside itself.
    expect(answer).toContain("Ostrindel");
    expect(foreign(complaints)).toEqual([]);
    expect(busy.tasks).toBeGreaterThan(5);
    expect(busy.ms).toBeLessThanOrEqual(mostMs);
  });

  it("gives the demo farm the command's result, byte for byte, though two workers share the work", async () => {
    const { json: here } = await openedDesk();
    const beside = ["--lots", "lots.csv", "--season", "season.yaml"];
    const there = await command(join(root, "data-demo"), "fit", ...demoFiles, ...beside, "--json");
    expect(here === there, firstDifference(here, there)).toBe(true);
  });

  const widths = [360, 820, 1280];
  // Styles differ below 640 px and above. In the dark the colours alone are others: a wide window shows them all.
  const looks = [
    { width: 360, colorScheme: "light" },
    { width: 1280, colorScheme: "light" },
    { width: 1280, colorScheme: "dark" },
  ] as const;

  // One visit for each: the report is drawn anew by every visit to the answer, and by every turn from a wide window to a
  // phone, so that the narrowest window comes last.
  it.each(steps)(
    "has no serious fault in “%s”, is no wider than its window, and holds at 200 % zoom in forced colours, where nothing moves",
    async (step) => {
      const { page } = await openedDesk();
      await page.setViewportSize({ width: 1280, height: 800 });
      await page.emulateMedia({ colorScheme: "light", forcedColors: null, reducedMotion: null });
      await stepTo(page, step);
      await quiet(page);
      await openDetails(page);
      const faultsIn = async ({ width, colorScheme }: (typeof looks)[number]): Promise<void> => {
        await page.setViewportSize({ width, height: 800 });
        await page.emulateMedia({ colorScheme });
        // The report within its frame is held to the same by tests of its own.
        expect(await seriousFaults(page, colorScheme), `${width} px, ${colorScheme}`).toEqual([]);
      };
      for (const look of looks.filter(({ width }) => width > 640)) await faultsIn(look);
      for (const width of [1280, 820]) {
        await page.setViewportSize({ width, height: 800 });
        expect(await tooWide(page), `${width} px`).toBeLessThanOrEqual(0);
      }
      await holdsAtTwiceTheSize(page);
      for (const look of looks.filter(({ width }) => width < 640)) await faultsIn(look);
      expect(await tooWide(page), "360 px").toBeLessThanOrEqual(0);
    },
  );

  it("has no serious fault where it asks what only the person knows", async () => {
    const { page } = await browser.open(desk);
    await hand(page, "Choose files", { name: "strips.csv", content: unclearStrips() });
    await quiet(page);
    await stepTo(page, "Mend");
    const open = page.getByRole("group", { name: /\?$|^How bad/ });
    await open.getByRole("button", { name: "Varietty", exact: true }).click();
    await quiet(page);
    // Two questions are open, and one is answered.
    await expect.poll(() => open.count()).toBe(2);
    await openDetails(page);
    for (const { width, colorScheme } of looks) {
      await page.setViewportSize({ width, height: 800 });
      await page.emulateMedia({ colorScheme });
      expect(await seriousFaults(page, colorScheme), `${width} px, ${colorScheme}`).toEqual([]);
    }
    for (const width of widths) {
      await page.setViewportSize({ width, height: 800 });
      expect(await tooWide(page), `${width} px`).toBeLessThanOrEqual(0);
    }
  });

  it("has targets for wet thumbs on a phone, and number pads", async () => {
    const { page } = await openedDesk();
    await page.setViewportSize({ width: 360, height: 740 });
    for (const step of ["Strips", "At the drill", "Harvest notes"]) {
      await stepTo(page, step);
      await quiet(page);
      const small = await page
        .locator("main :is(button, input:not([type=file]), select, summary)")
        .evaluateAll((all) =>
          all
            .filter((one) => one.checkVisibility())
            .map((one) => ({ one: one.outerHTML.slice(0, 80), box: one.getBoundingClientRect() }))
            // 44 px: WCAG 2.2, success criterion 2.5.5. A box to tick is pressed by its label, too.
            .filter(({ one, box }) => box.height < 44 && !one.includes("checkbox"))
            .map(({ one, box }) => `${one}: ${box.height}`),
        );
      expect(small, step).toEqual([]);
    }
    expect(await page.getByLabel(/^Yield \(/).getAttribute("inputmode")).toBe("decimal");
  });

  it("shows the whole words of whatever is chosen", async () => {
    const { page } = await openedDesk();
    for (const step of ["Prices and seed", "At the drill"]) {
      await stepTo(page, step);
      await quiet(page);
      for (const width of [360, 640, 820, 1280]) {
        await page.setViewportSize({ width, height: 800 });
        expect(await cutOff(page), `${step}, ${width} px`).toEqual([]);
      }
    }
  });

  // The last with this page: it leaves the report as the grower reads it.
  it("prints two pages for the grower, whoever reads the report on the screen", async () => {
    const { page } = await openedDesk();
    await stepTo(page, "Answer");
    await answerShown(page);
    // A printer is asked for by `print` of the frame's window; here it leaves a note on the desk instead.
    await page.evaluate(() => {
      const own = Object.getOwnPropertyDescriptor(HTMLIFrameElement.prototype, "contentWindow")!;
      Object.defineProperty(HTMLIFrameElement.prototype, "contentWindow", {
        configurable: true,
        get(this: HTMLIFrameElement): Window | null {
          const inside = own.get!.call(this) as Window | null;
          if (inside !== null)
            inside.print = () => void (document.documentElement.dataset["printed"] = this.srcdoc);
          return inside;
        },
      });
    });
    await pressed(page, "Print the grower’s two pages");
    await page.waitForFunction(() => document.documentElement.dataset["printed"] !== undefined);
    const html = await page.evaluate(() => document.documentElement.dataset["printed"]!);
    expect(await page.getByLabel("Who reads it").inputValue()).toBe("grower");
    const printed = await browser.open(html);
    expect(pagesOf(await printed.page.pdf({ format: "Letter" }))).toBe(2);
  });

  // The whole way by keys alone is gone in desk-by-keys; here what it passes by: the way past the head, arrows.
  it("shows where the keyboard is, and goes down the table with it", async () => {
    const { page } = await openedDesk();
    await page.locator("nav [aria-current]", { hasText: "Answer" }).waitFor();
    // Steps are reached from the top of the page.
    await page.evaluate(() => (document.activeElement as HTMLElement).blur());
    await page.keyboard.press("Control+Home");
    await page.evaluate(() => document.querySelector<HTMLElement>(".skip")!.focus());
    await tabTo(page, "Mend");
    await page.keyboard.press("Enter");
    await tabTo(page, "Rows of");
    await tabTo(page, "yield (bu/ac), row 2");
    await page.keyboard.type("70.5");
    await page.keyboard.press("ArrowDown");
    await expect
      .poll(() => page.evaluate(() => document.activeElement?.getAttribute("aria-label")))
      .toMatch(/, row 3/);
    expect(await page.getByLabel(/^yield \(bu\/ac\), row 2(,|$)/).inputValue()).toBe("70.5");
  });
});
