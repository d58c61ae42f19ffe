/** Puts into a report that is shown what it was shown without. */
import { partMark } from "../tell/html/parts-later.ts";

/** Parts of one report as they come, by the numbers of their marks. */
export class ReportParts {
  readonly #made = new Map<number, string>();
  readonly #filling = new WeakMap<Document, Promise<void>>();

  /** The next parts; a page that is open has them put in by `fill`. */
  take(numbers: readonly number[], parts: readonly string[]): void {
    numbers.forEach((number, i) => this.#made.set(number, parts[i]!));
  }

  /**
   * Puts into a page what is made and not in it yet, with a pause after each part.
   *
   * @param page  null or half read while the frame is not open: it is filled once it is
   * @returns once all that was made before is in it
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
    // The frame was closed meanwhile; it begins anew once it is open.
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
  // A script runs where it was made as an element, not where it was read with its page.
  for (const read of template.content.querySelectorAll("script")) {
    const script = mark.ownerDocument.createElement("script");
    for (const { name, value } of read.attributes) script.setAttribute(name, value);
    script.textContent = read.textContent;
    read.replaceWith(script);
  }
  mark.replaceWith(template.content);
}
