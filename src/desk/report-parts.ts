/** Fills in the parts that a report was first shown without. */
import { partMark } from "../tell/html/parts-later.ts";

/** One part by the number of its mark. */
export interface NumberedPart {
  number: number;
  part: string;
}

/** Parts of one report as they arrive, by the numbers of their marks. */
export class ReportParts {
  readonly #made = new Map<number, string>();
  readonly #filling = new WeakMap<Document, Promise<void>>();

  /** Takes the next parts; `fill` puts them into an open page. */
  take(parts: readonly NumberedPart[]): void {
    for (const { number, part } of parts) this.#made.set(number, part);
  }

  /**
   * Puts the parts that have arrived into a page, with a pause after each.
   *
   * @param page  null or half loaded while the frame is not open: it is filled later
   * @returns once every part taken before is in it
   */
  async fill(page: Document | null): Promise<void> {
    if (page === null || page.readyState !== "complete") return;
    const filled = (this.#filling.get(page) ?? Promise.resolve()).then(() => this.#putAll(page));
    this.#filling.set(page, filled);
    await filled;
  }

  async #putAll(page: Document): Promise<void> {
    for (let next = this.#next(page); next !== null; next = this.#next(page)) {
      putIn(next.mark, next.part);
      await new Promise((goOn) => setTimeout(goOn, 0));
    }
  }

  #next(page: Document): { mark: Comment; part: string } | null {
    // The frame was closed meanwhile; it starts again once it is open.
    if (page.defaultView === null) return null;
    const comments = page.createTreeWalker(page, NodeFilter.SHOW_COMMENT);
    while (comments.nextNode() !== null) {
      const mark = comments.currentNode as Comment;
      const number = partMark.exec(mark.data)?.[1];
      const part = number === undefined ? undefined : this.#made.get(Number(number));
      if (part !== undefined) return { mark, part };
    }
    return null;
  }
}

function putIn(mark: Comment, part: string): void {
  const template = mark.ownerDocument.createElement("template");
  template.innerHTML = part;
  // A script runs when it is made as an element, not when it is parsed from text.
  for (const read of template.content.querySelectorAll("script")) {
    const script = mark.ownerDocument.createElement("script");
    for (const { name, value } of read.attributes) script.setAttribute(name, value);
    script.textContent = read.textContent;
    read.replaceWith(script);
  }
  mark.replaceWith(template.content);
}
