/** A link to a part of the page unfolds it, and leaves the address alone, where moved values stand. */
export function openWhatIsLinked(page: Document): void {
  page.addEventListener("click", (event) => {
    const link = (event.target as Element).closest<HTMLAnchorElement>('main a[href^="#"]');
    const part = link === null ? null : page.getElementById(link.getAttribute("href")!.slice(1));
    if (part === null) return;
    event.preventDefault();
    const folded = part.querySelector<HTMLDetailsElement>(":scope > details");
    if (folded !== null) folded.open = true;
    part.scrollIntoView();
    part.tabIndex = -1;
    part.focus({ preventScroll: true });
  });
}
