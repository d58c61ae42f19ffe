/** Prints a page of which the style shows a part alone while the page is marked so. */

/** @param part  value of `data-print` on the root, which the style of print goes by */
export function printAs(page: Document, part: string): void {
  const view = page.defaultView!;
  page.documentElement.dataset["print"] = part;
  view.addEventListener("afterprint", () => delete page.documentElement.dataset["print"], { once: true });
  view.print();
}
