/** Charts that follow a moved price: those in sight first, then the others in turn. */
import * as vega from "vega";
import type { Result } from "../vocabulary/result.ts";
import type { PageData } from "../tell/html/page-data.ts";
import type { Measures } from "../numbers/measures.ts";
import { FigureViews, tellNumbers, type LiveFigure } from "./figure-views.ts";
import { keepEqualExtents } from "./steady-extents.ts";
import { whenIdle } from "./when-idle.ts";

const { textMetrics } = vega as unknown as { textMetrics: { canvas(allowed: boolean): void } };

/** Charts out of sight are drawn no longer than this at one go, so that no task is felt [ms]. */
const longestMs = 40;

export interface LiveCharts {
  /** Draws the charts in sight that a moved price changes: those that are folded away when their part is opened. */
  redraw(result: Result): Promise<void>;
  /** Draws those out of sight as well, one after another, unless they are scrolled to before. */
  follow(): Promise<void>;
  /**
   * Makes the views one after another, with pauses, so that the first moved price finds them ready; then the page's
   * timeline holds the mark `charts: alive`.
   */
  warm(): void;
}

/** @param report  what the page shows as it stands */
export function liveCharts(page: Document, data: PageData, measures: Measures, report: Result): LiveCharts {
  textMetrics.canvas(false);
  keepEqualExtents();
  return new ChartsInTurn(page, new FigureViews(page, data, measures, report), report);
}

class ChartsInTurn implements LiveCharts {
  readonly #window: Window;
  readonly #views: FigureViews;
  readonly #report: Result;
  #latest: Result;
  /** In a frame as high as its page, too, an observer knows what is on the screen. */
  readonly #inSight = new Set<Element>();
  #following: Promise<void> | null = null;

  constructor(page: Document, views: FigureViews, report: Result) {
    this.#window = page.defaultView!;
    this.#views = views;
    this.#report = report;
    this.#latest = report;
    this.#watchWhatIsInSight(page.defaultView!);
    page.addEventListener("toggle", () => void this.#bringAll(), { capture: true });
    this.#window.addEventListener("resize", () => void this.#bringAll());
  }

  async redraw(result: Result): Promise<void> {
    this.#latest = result;
    this.#views.figures.forEach(tellNumbers);
    await this.#bringThoseInSight();
  }

  follow(): Promise<void> {
    return (this.#following ??= this.#bringOthers().finally(() => (this.#following = null)));
  }

  warm(): void {
    const next = this.#views.figures.find((one) => this.#views.isCold(one));
    if (next === undefined) {
      this.#window.performance.mark("charts: alive");
      return;
    }
    void this.#views.bring(next, this.#latest).then(() => whenIdle(this.#window, () => this.warm()));
  }

  #watchWhatIsInSight({ IntersectionObserver }: Window & typeof globalThis): void {
    const observer = new IntersectionObserver((seen) => {
      for (const { target, isIntersecting } of seen)
        if (isIntersecting) this.#inSight.add(target);
        else this.#inSight.delete(target);
      if (this.#latest !== this.#report) void this.#bringThoseInSight();
    });
    for (const { figure } of this.#views.figures) observer.observe(figure);
  }

  async #bringAll(): Promise<void> {
    this.#views.figures.forEach(tellNumbers);
    for (const live of this.#views.figures)
      if (this.#isWaiting(live)) await this.#views.bring(live, this.#latest);
  }

  async #bringThoseInSight(): Promise<void> {
    for (const live of this.#views.figures)
      if (this.#inSight.has(live.figure) && this.#isWaiting(live))
        await this.#views.bring(live, this.#latest);
  }

  async #bringOthers(): Promise<void> {
    let drawn: Result;
    do {
      drawn = this.#latest;
      let since = performance.now();
      for (const live of this.#views.figures.filter((one) => this.#isWaiting(one))) {
        if (performance.now() - since > longestMs) {
          // A task of its own: a slider that moves on is heard first.
          await new Promise((goOn) => setTimeout(goOn, 0));
          since = performance.now();
        }
        if (this.#isWaiting(live)) await this.#views.bring(live, this.#latest);
      }
    } while (drawn !== this.#latest);
  }

  #isWaiting(live: LiveFigure): boolean {
    return this.#views.isWaiting(live, this.#latest);
  }
}
