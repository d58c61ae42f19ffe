/** A report opened in a browser, from the disk and without a network, and the times that a reader waits. */
import { chromium, type Browser, type Page } from "playwright-core";

/** Milliseconds, each the median over the openings; those from the start of the navigation first. */
export interface PageTimes {
  firstPaint: number;
  firstPaintScriptsOff: number;
  /** The whole file is read and its elements stand. */
  read: number;
  /** The form of prices is there and acts. */
  alive: number;
  /** From a moved price to the decision; until table, words and the charts in sight have followed; until every open chart has; and until the frame after. */
  decided: number;
  inSight: number;
  redrawn: number;
  shown: number;
  /** From opening the first folded part until its pictures stand. */
  unfolded: number;
}

/** Prices of grain that are moved to, one after another; within the range that the form of either report allows. */
const prices = [5.1, 5.5, 5.9, 6.4, 6.8, 7.2, 7.6, 5.3, 6.1, 7.4];

export async function measurePage(browserPath: string, file: string, openings: number): Promise<PageTimes> {
  const browser = await chromium.launch({
    executablePath: browserPath,
    args: [...(process.getuid?.() === 0 ? ["--no-sandbox"] : []), "--disable-gpu"],
  });
  try {
    const all: PageTimes[] = [];
    for (let i = 0; i < openings; i++) all.push(await openOnce(browser, `file://${file}`));
    const middle = (name: keyof PageTimes): number => median(all.map((times) => times[name]));
    return {
      firstPaint: middle("firstPaint"),
      firstPaintScriptsOff: middle("firstPaintScriptsOff"),
      read: middle("read"),
      alive: middle("alive"),
      decided: middle("decided"),
      inSight: middle("inSight"),
      redrawn: middle("redrawn"),
      shown: middle("shown"),
      unfolded: middle("unfolded"),
    };
  } finally {
    await browser.close();
  }
}

const median = (numbers: number[]): number =>
  [...numbers].sort((a, b) => a - b)[Math.floor(numbers.length / 2)]!;

async function openOnce(browser: Browser, address: string): Promise<PageTimes> {
  const still = await browser.newContext({ offline: true, javaScriptEnabled: false });
  const stillPage = await still.newPage();
  await stillPage.goto(address);
  const firstPaintScriptsOff = await firstPaintOf(stillPage);
  await still.close();

  const context = await browser.newContext({ offline: true });
  try {
    const page = await context.newPage();
    await page.goto(address);
    await page.locator("#what-if").waitFor();
    const alive = await page.evaluate(() => performance.now());
    const firstPaint = await firstPaintOf(page);
    const read = await page.evaluate(() => {
      const [navigation] = performance.getEntriesByType("navigation");
      return (navigation as PerformanceNavigationTiming).domContentLoadedEventEnd;
    });
    // Views are made in pauses after the opening: a reader moves a price when some seconds have gone.
    await page.waitForTimeout(3000);
    const moves: Awaited<ReturnType<typeof movePrice>>[] = [];
    for (const price of prices) {
      moves.push(await page.evaluate(movePrice, price));
      await page.waitForTimeout(200);
    }
    const unfolded = await page.evaluate(async () => {
      const part = document.querySelector<HTMLDetailsElement>("details.closer")!;
      const start = performance.now();
      part.open = true;
      const waits = (): boolean => part.querySelector(".undrawn") !== null;
      do await new Promise(requestAnimationFrame);
      while (waits());
      return performance.now() - start;
    });
    const [decided, inSight, redrawn, shown] = (["decided", "inSight", "redrawn", "shown"] as const).map(
      (name) => median(moves.map((move) => move[name])),
    ) as [number, number, number, number];
    return { firstPaint, firstPaintScriptsOff, read, alive, decided, inSight, redrawn, shown, unfolded };
  } finally {
    await context.close();
  }
}

/** Runs in the page: types a price of grain and waits for the frame that shows what follows from it. */
async function movePrice(
  price: number,
): Promise<Pick<PageTimes, "decided" | "inSight" | "redrawn" | "shown">> {
  performance.clearMeasures();
  const told = (name: string): PerformanceEntry | undefined => performance.getEntriesByName(name)[0];
  const input = document.querySelector<HTMLInputElement>("#grain")!;
  input.value = String(price);
  input.dispatchEvent(new Event("input", { bubbles: true }));
  while (told("what-if: all") === undefined) await new Promise((next) => setTimeout(next, 1));
  await new Promise(requestAnimationFrame);
  const all = told("what-if: all")!;
  return {
    decided: told("what-if: decide")!.duration,
    inSight: told("what-if: in sight")!.duration,
    redrawn: all.duration,
    shown: performance.now() - all.startTime,
  };
}

/** Asked from outside: a page with its scripts off runs no timer. */
async function firstPaintOf(page: Page): Promise<number> {
  for (;;) {
    const time = await page.evaluate(
      () => performance.getEntriesByName("first-contentful-paint")[0]?.startTime,
    );
    if (time !== undefined) return time;
    await page.waitForTimeout(20);
  }
}
