/** A person's hands on the desk, whatever drives the browser: what is pressed and typed is found by the name it is read out with. */
import { expect } from "vitest";

/** What the driver of a browser can do. */
export interface Driven {
  evaluate<Ask, Gives>(doing: (ask: Ask) => Gives, ask: Ask): Promise<Awaited<Gives>>;
  click(x: number, y: number): Promise<void>;
  key(name: "Tab" | "Enter"): Promise<void>;
  type(text: string): Promise<void>;
  resize(width: number, height: number): Promise<void>;
  reload(): Promise<unknown>;
  /** Gives a file to the field for files of that name. */
  give(field: string, path: string): Promise<void>;
  /** Where a file lies that is saved while something is done. */
  saved(doing: () => Promise<void>): Promise<string>;
}

/** Something on the page by its name; `starts`: by how its name begins; `group`: within the group of that name. */
export interface Named {
  name: string;
  starts?: boolean;
  group?: string;
}

/** A step may take so long on a machine that has other work [ms]. */
export const patience = { timeout: 90_000, interval: 100 };

const fields = "input:not([type=file]), select, textarea";
const buttons = "main button";

interface Asked extends Named {
  selector: string;
  /** What is done with it, or asked of it. */
  want: "place" | "focus" | "value" | { choose: string };
}

/** In the page, so it stands alone: the first of that name that is shown; null while there is none. */
function inPage({ selector, name, starts, group, want }: Asked): string | [x: number, y: number] | null {
  const nameOf = (one: Element): string => {
    const labels = (one as HTMLInputElement).labels;
    return (one.getAttribute("aria-label") ?? labels?.[0]?.textContent ?? one.textContent ?? "").trim();
  };
  const isIn = (one: Element): boolean =>
    group === undefined || one.closest("fieldset")?.querySelector("legend")?.textContent === group;
  const found = [...document.querySelectorAll<HTMLElement>(selector)].find(
    (one) =>
      (starts === true ? nameOf(one).startsWith(name) : nameOf(one) === name) &&
      isIn(one) &&
      one.checkVisibility() &&
      !(one as HTMLButtonElement).disabled,
  );
  if (found === undefined) return null;
  if (want === "value") return (found as HTMLInputElement).value;
  if (want === "focus") {
    found.focus();
    (found as HTMLInputElement).select();
    return document.activeElement === found ? "" : null;
  }
  if (typeof want === "object") {
    (found as HTMLSelectElement).value = want.choose;
    found.dispatchEvent(new Event("change", { bubbles: true }));
    return (found as HTMLSelectElement).value === want.choose ? "" : null;
  }
  found.scrollIntoView({ block: "center", behavior: "instant" });
  const { x, y, width, height } = found.getBoundingClientRect();
  const middle: [number, number] = [x + width / 2, y + height / 2];
  // What something else lies upon cannot be pressed.
  return found.contains(document.elementFromPoint(...middle)) ? middle : null;
}

export class Hands {
  readonly page: Driven;

  constructor(page: Driven) {
    this.page = page;
  }

  async #once(ask: Asked): Promise<string | [x: number, y: number]> {
    let found: string | [x: number, y: number] | null = null;
    await expect
      .poll(async () => (found = await this.page.evaluate(inPage, ask)) !== null, {
        ...patience,
        message: `“${ask.name}” is on the page`,
      })
      .toBe(true);
    return found!;
  }

  /** Presses a button of the step that is shown, once it stands still. */
  async press(name: string, selector = buttons): Promise<void> {
    let before: unknown = null;
    for (;;) {
      const place = (await this.#once({ selector, name, want: "place" })) as [number, number];
      if (String(place) === before) return this.page.click(...place);
      before = String(place);
      await this.#drawn();
    }
  }

  /** Waits until the page was drawn anew. */
  #drawn(): Promise<unknown> {
    return this.page.evaluate(
      () => new Promise((shown) => requestAnimationFrame(() => requestAnimationFrame(shown))),
      null,
    );
  }

  /** Makes the window so large. */
  async resize(width: number, height: number): Promise<void> {
    await this.page.resize(width, height);
    await expect.poll(() => this.page.evaluate(() => window.innerWidth, null), patience).toBe(width);
    await this.#drawn();
  }

  /** Goes to a step by its name in the row of steps. */
  async stepTo(title: string): Promise<void> {
    await this.press(title, "nav button");
    await this.quiet();
  }

  /** Types over what stands in a field. */
  async fill(field: Named | string, text: string): Promise<void> {
    await this.#once({ ...named(field), selector: fields, want: "focus" });
    await this.page.type(text);
    expect(await this.value(field)).toBe(text);
  }

  /** Types over what stands in the field that has the cursor. */
  async typeOver(text: string): Promise<void> {
    await this.page.evaluate(() => (document.activeElement as HTMLInputElement).select(), null);
    await this.page.type(text);
  }

  async choose(field: Named | string, value: string): Promise<void> {
    await this.#once({ ...named(field), selector: fields, want: { choose: value } });
  }

  async value(field: Named | string): Promise<string> {
    return (await this.#once({ ...named(field), selector: fields, want: "value" })) as string;
  }

  /** Name of what has the cursor. */
  focused(): Promise<string | null> {
    return this.page.evaluate(() => document.activeElement?.getAttribute("aria-label") ?? null, null);
  }

  /** Words of the part of the desk that is shown. */
  words(selector = "main"): Promise<string> {
    return this.page.evaluate((wanted) => document.querySelector(wanted)?.textContent ?? "", selector);
  }

  /** Waits until the desk says something. */
  async reads(words: string | RegExp, selector = "main"): Promise<void> {
    await expect.poll(() => this.words(selector), patience).toMatch(words);
  }

  /** Waits until nothing is being worked out. */
  async quiet(): Promise<void> {
    await expect
      .poll(() => this.page.evaluate(() => document.documentElement.dataset["state"], null), patience)
      .toBe("quiet");
  }

  /** The words of the report, its charts apart, once it is of what lies on the desk. */
  async answer(): Promise<string> {
    await this.quiet();
    let words: string | null = null;
    await expect
      .poll(
        async () =>
          (words = await this.page.evaluate(() => {
            const frame = document.querySelector<HTMLIFrameElement>(
              "iframe.report:not([hidden], .stale, [aria-busy])",
            );
            const main = frame?.contentDocument?.querySelector("main")?.cloneNode(true) as HTMLElement | null;
            main?.querySelectorAll("svg, canvas, .which-strip").forEach((chart) => chart.remove());
            return main?.textContent ?? null;
          }, null)) !== null,
        patience,
      )
      .toBe(true);
    return words!;
  }

  save(name: string): Promise<string> {
    return this.page.saved(() => this.press(name));
  }
}

const named = (field: Named | string): Named => (typeof field === "string" ? { name: field } : field);
