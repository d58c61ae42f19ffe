/** How long a page's own thread is busy at a stretch, by its processor time. */
import type { CDPSession, Page } from "playwright-core";

/** The bar: what a person feels as a jerk, and what browsers call a long task twice over [ms]. */
export const mostMs = 100;

interface TraceEvent {
  name: string;
  ph: string;
  pid: number;
  tid: number;
  /** When it began [µs]. */
  ts: number;
  /** Processor time of the thread [µs]: what else the machine does meanwhile is not in it. */
  tdur?: number;
}

const threadMark = "the thread of this page";

/**
 * The longest task of the page's own thread while something is done, in processor time [ms], and how many there were.
 *
 * @param until  name of the page's last mark in its timeline: what begins later does not count
 */
export async function longestTask(
  page: Page,
  work: () => Promise<void>,
  until?: string,
): Promise<{ ms: number; tasks: number }> {
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
  await page.evaluate((mark) => void performance.mark(mark), threadMark);
  await work();
  const over = new Promise((resolve) => session.once("Tracing.tracingComplete", resolve));
  await session.send("Tracing.end");
  await over;
  await session.detach();
  // A browser has several processes with such threads: this page's is the one that set the mark.
  const own = events.find(({ name }) => name === threadMark)!;
  const end = until === undefined ? Infinity : events.findLast(({ name }) => name === until)!.ts;
  const tasks = events
    .filter(
      ({ name, ph, pid, tid, ts }) =>
        name === "RunTask" && ph === "X" && pid === own.pid && tid === own.tid && ts <= end,
    )
    .map(({ tdur }) => (tdur ?? 0) / 1000);
  return { ms: Math.max(0, ...tasks), tasks: tasks.length };
}
