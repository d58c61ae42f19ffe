/** The desk listens while it is worked with: no task of the page's thread takes long, by its processor time. */
import type { CDPSession, Page } from "playwright-core";
import { describe, expect, it } from "vitest";
import { desk, hand, quiet, stepTo } from "./open-desk.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";

interface TraceEvent {
  name: string;
  ph: string;
  pid: number;
  tid: number;
  /** Processor time of the thread [µs]: what else the machine does meanwhile is not in it. */
  tdur?: number;
}

const deskMark = "the desk's thread";

/** The longest task of the page's own thread while something is done, in processor time [ms], and how many there were. */
async function longestTask(page: Page, work: () => Promise<void>): Promise<{ ms: number; tasks: number }> {
  const session: CDPSession = await page.context().newCDPSession(page);
  const events: TraceEvent[] = [];
  session.on("Tracing.dataCollected", ({ value }) => events.push(...(value as unknown as TraceEvent[])));
  await session.send("Tracing.start", {
    transferMode: "ReportEvents",
    traceConfig: {
      includedCategories: [
        "disabled-by-default-devtools.timeline",
        "devtools.timeline",
        "toplevel",
        "blink.user_timing",
      ],
    },
  });
  await page.evaluate((mark) => void performance.mark(mark), deskMark);
  await work();
  const over = new Promise((resolve) => session.once("Tracing.tracingComplete", resolve));
  await session.send("Tracing.end");
  await over;
  await session.detach();
  // A browser has several processes with such threads: the desk's is the one that set the mark.
  const own = events.find(({ name }) => name === deskMark)!;
  const tasks = events
    .filter(
      ({ name, ph, pid, tid }) => name === "RunTask" && ph === "X" && pid === own.pid && tid === own.tid,
    )
    .map(({ tdur }) => (tdur ?? 0) / 1000);
  return { ms: Math.max(0, ...tasks), tasks: tasks.length };
}

/** The bar: what a person feels as a jerk, and what browsers call a long task twice over [ms]. */
const longest = 100;

describe.skipIf(noBrowser)("the desk's own thread", () => {
  const browser = reportBrowser();

  it("shows a long task where there is one", async () => {
    const { page } = await browser.open(desk);
    const { ms } = await longestTask(page, async () => {
      await page.evaluate(() => {
        let sum = 0;
        for (let i = 0; i < 300_000_000; i++) sum += i % 7;
        return sum;
      });
    });
    expect(ms).toBeGreaterThan(longest);
  });

  it("listens while a table of 2,000 rows is edited", async () => {
    const { page } = await browser.open(desk);
    const rows = Array.from(
      { length: 2_000 },
      (_, r) =>
        `V${r % 4},${2020 + (r % 5)},F${r % 20},${1 + (r % 3)},${800_000 + 300_000 * (r % 5)},${50 + (r % 17)}`,
    );
    await hand(page, "Choose files", {
      name: "many.csv",
      content: ["variety,season,field,block,rate (seeds/ac),yield (bu/ac)", ...rows].join("\n"),
    });
    await quiet(page);
    await stepTo(page, "Mend");
    await quiet(page);
    const { ms, tasks } = await longestTask(page, async () => {
      const cell = page.locator("table input").nth(5);
      await cell.fill("61.5");
      await cell.press("Tab");
      await quiet(page);
      await page.locator("table input").nth(6).press("PageDown");
    });
    expect(tasks).toBeGreaterThan(5);
    expect(ms).toBeLessThanOrEqual(longest);
  });
});
