/** Which strip a mark is: by a press on it, by the keys from mark to mark, or from a list beside the chart's numbers. */

export interface NamedMark {
  name: string;
  /** Keys and list go in this order [person's unit]. */
  rate: number;
}

/** A press this near finds a mark [px]: half of what a thumb covers. */
const reach = 22;
const svgSpace = "http://www.w3.org/2000/svg";

/** From the place of a mark in the order of rates to that of the mark that a key goes to. */
const keys: Record<string, (at: number, last: number) => number> = {
  ArrowRight: (at) => at + 1,
  ArrowDown: (at) => at + 1,
  ArrowLeft: (at) => at - 1,
  ArrowUp: (at) => at - 1,
  Home: () => 0,
  End: (_, last) => last,
};

/**
 * Makes the marks of a drawn chart known by name; nothing where marks and names do not match one by one.
 *
 * @param names in the order in which the marks were drawn
 */
export function nameStrips(
  figure: HTMLElement,
  words: { which: string; how: string },
  names: readonly NamedMark[],
): void {
  const page = figure.ownerDocument;
  const picture = figure.querySelector<HTMLElement>(".picture");
  const numbers = figure.querySelector<HTMLDetailsElement>("details.numbers");
  if (picture === null || numbers === null || names.length === 0) return;
  const marks = marksOf(picture, names.length);
  if (marks === null) return;
  for (const old of figure.querySelectorAll(".which-strip")) old.remove();
  const order = names
    .map((named, index) => ({ ...named, index }))
    .sort((a, b) => a.rate - b.rate || a.index - b.index)
    .map(({ index }) => index);

  const list = listOf(page, words.which, order, names);
  numbers.querySelector("summary")?.after(list);
  const said = page.createElement("p");
  said.className = "which-strip";
  said.hidden = true;
  picture.after(said);
  const ring = ringOn(page);

  /** The mark that the Tab key goes to. */
  let current = order[0]!;
  const show = (index: number | null): void => {
    list.value = index === null ? "" : String(index);
    said.hidden = index === null;
    if (index === null) return ring.remove();
    said.textContent = names[index]!.name;
    ring.setAttribute("transform", marks[index]!.getAttribute("transform") ?? "");
    marks[index]!.parentNode!.append(ring);
    marks[current]!.setAttribute("tabindex", "-1");
    marks[index]!.setAttribute("tabindex", "0");
    current = index;
  };
  marks.forEach((mark, index) => {
    mark.setAttribute("role", "img");
    mark.setAttribute("aria-label", names[index]!.name);
    mark.setAttribute("tabindex", index === current ? "0" : "-1");
    mark.addEventListener("focus", () => show(index));
  });
  leaveToReaders(picture, marks);
  picture.setAttribute("role", "group");
  picture.title = words.how;

  picture.addEventListener("keydown", (event) => {
    if (event.key === "Escape") return show(null);
    const next = keys[event.key]?.(order.indexOf(current), order.length - 1);
    if (next === undefined) return;
    event.preventDefault();
    marks[order[Math.max(0, Math.min(order.length - 1, next))]!]!.focus();
  });
  list.addEventListener("change", () => show(list.value === "" ? null : Number(list.value)));
  picture.addEventListener("click", ({ clientX, clientY }) => {
    show(nearestMark(marks, clientX, clientY));
  });
}

/** All names to choose from, by rate. */
function listOf(
  page: Document,
  which: string,
  order: readonly number[],
  names: readonly NamedMark[],
): HTMLSelectElement {
  const list = page.createElement("select");
  list.append(new Option(which, ""));
  for (const index of order) list.append(new Option(names[index]!.name, String(index)));
  list.setAttribute("aria-label", which);
  list.className = "which-strip";
  return list;
}

/** What is drawn around the mark that is named. */
function ringOn(page: Document): SVGElement {
  const ring = page.createElementNS(svgSpace, "circle");
  ring.setAttribute("class", "which-strip");
  ring.setAttribute("r", "8");
  return ring;
}

/** The mark nearest to a press, by its place in the order drawn; null where none is within reach. */
function nearestMark(marks: readonly SVGElement[], x: number, y: number): number | null {
  const far = marks.map((mark) => {
    const box = mark.getBoundingClientRect();
    return Math.hypot(box.x + box.width / 2 - x, box.y + box.height / 2 - y);
  });
  const nearest = far.indexOf(Math.min(...far));
  return far[nearest]! > reach ? null : nearest;
}

/** As many marks as there are names: one group of the drawing, or all groups, a panel of the picture each. */
function marksOf(picture: HTMLElement, count: number): SVGElement[] | null {
  const groups = [...picture.querySelectorAll("g.mark-symbol.role-mark")].map((group) => [
    ...group.querySelectorAll<SVGElement>(":scope > path"),
  ]);
  // Ends of the axes and strips far out are marks of groups of their own, behind that of the strips.
  return [...groups, groups.flat()].find(({ length }) => length === count) ?? null;
}

/** Lets those who do not see the picture meet its marks and nothing else of it. */
function leaveToReaders(picture: HTMLElement, marks: readonly SVGElement[]): void {
  const open = new Set<Element>(marks);
  for (const mark of marks)
    for (let at = mark.parentElement; at !== null && at !== picture; at = at.parentElement) open.add(at);
  for (const element of open) {
    element.removeAttribute("aria-hidden");
    if (!marks.includes(element as SVGElement)) element.setAttribute("role", "presentation");
    element.removeAttribute("aria-roledescription");
    for (const beside of element.parentElement!.children)
      if (!open.has(beside)) beside.setAttribute("aria-hidden", "true");
  }
}
