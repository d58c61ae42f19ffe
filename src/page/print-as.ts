/** Prints one part of a page: while the page is marked, its style shows only that part. */

/** @param part  value of `data-print` on the root, which the style of print goes by */
export function printAs(page: Document, part: string): void {
  const view = page.defaultView!;
  page.documentElement.dataset["print"] = part;
  view.addEventListener("afterprint", () => delete page.documentElement.dataset["print"], { once: true });
  view.print();
}
