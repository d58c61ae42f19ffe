/** Which strip a mark is: by a press on it, by the keys from mark to mark, or from a list beside the chart's numbers. */

export interface NamedMark {
  name: string;
  /** Keys and list go in this order [person's unit]. */
  rate: number;
}

interface DrawnMark extends NamedMark {
  mark: SVGElement;
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
  if (picture === null || numbers === null) return;
  const marks = marksOf(picture, names);
  const byRate = [...marks].sort((a, b) => a.rate - b.rate);
  const [first] = byRate;
  if (first === undefined) return;
  for (const old of figure.querySelectorAll(".which-strip")) old.remove();

  const list = listOf(page, words.which, byRate);
  numbers.querySelector("summary")?.after(list);
  const said = lineOn(page);
  picture.after(said);
  const ring = ringOn(page);

  /** The mark that the Tab key goes to. */
  let current = first;
  const show = (one: DrawnMark | null): void => {
    list.selectedIndex = one === null ? 0 : 1 + byRate.indexOf(one);
    said.hidden = one === null;
    if (one === null) return ring.remove();
    const { name, mark } = one;
    said.textContent = name;
    ring.setAttribute("transform", mark.getAttribute("transform") ?? "");
    mark.parentNode!.append(ring);
    current.mark.setAttribute("tabindex", "-1");
    mark.setAttribute("tabindex", "0");
    current = one;
  };
  for (const one of marks) {
    const { mark, name } = one;
    mark.setAttribute("role", "img");
    mark.setAttribute("aria-label", name);
    mark.setAttribute("tabindex", one === current ? "0" : "-1");
    mark.addEventListener("focus", () => show(one));
  }
  leaveToReaders(picture, marks);
  picture.setAttribute("role", "group");
  picture.title = words.how;

  picture.addEventListener("keydown", (event) => {
    if (event.key === "Escape") return show(null);
    const next = keys[event.key]?.(byRate.indexOf(current), byRate.length - 1);
    if (next === undefined) return;
    event.preventDefault();
    byRate[Math.max(0, Math.min(byRate.length - 1, next))]?.mark.focus();
  });
  list.addEventListener("change", () => show(byRate[list.selectedIndex - 1] ?? null));
  picture.addEventListener("click", ({ clientX, clientY }) => {
    show(nearestMark(marks, clientX, clientY));
  });
}

/** All names to choose from, by rate. */
function listOf(page: Document, which: string, byRate: readonly DrawnMark[]): HTMLSelectElement {
  const list = page.createElement("select");
  list.append(...[which, ...byRate.map(({ name }) => name)].map((text) => new Option(text)));
  list.setAttribute("aria-label", which);
  list.className = "which-strip";
  return list;
}

/** The line that says which mark is named. */
function lineOn(page: Document): HTMLElement {
  const line = page.createElement("p");
  line.className = "which-strip";
  line.hidden = true;
  return line;
}

/** What is drawn around the mark that is named. */
function ringOn(page: Document): SVGElement {
  const ring = page.createElementNS(svgSpace, "circle");
  ring.setAttribute("class", "which-strip");
  ring.setAttribute("r", "8");
  return ring;
}

/** The mark nearest to a press; null where none is within reach. */
function nearestMark(marks: readonly DrawnMark[], x: number, y: number): DrawnMark | null {
  const measured = marks.map((one) => {
    const box = one.mark.getBoundingClientRect();
    return { one, far: Math.hypot(box.x + box.width / 2 - x, box.y + box.height / 2 - y) };
  });
  const nearest = measured.reduce((a, b) => (b.far < a.far ? b : a));
  return nearest.far > reach ? null : nearest.one;
}

/** The marks by their names, where there are as many: one group of the drawing, or all groups, a panel of the picture each. */
function marksOf(picture: HTMLElement, names: readonly NamedMark[]): DrawnMark[] {
  const groups = [...picture.querySelectorAll("g.mark-symbol.role-mark")].map((group) => [
    ...group.querySelectorAll<SVGElement>(":scope > path"),
  ]);
  // Ends of the axes and strips far out are marks of groups of their own, behind that of the strips.
  const marks = [...groups, groups.flat()].find(({ length }) => length === names.length) ?? [];
  return marks.map((mark, index) => ({ ...names[index]!, mark }));
}

/** Lets those who do not see the picture meet its marks and nothing else of it. */
function leaveToReaders(picture: HTMLElement, named: readonly DrawnMark[]): void {
  const marks = new Set<Element>(named.map(({ mark }) => mark));
  const open = new Set(marks);
  for (const mark of marks)
    for (let at = mark.parentElement; at !== null && at !== picture; at = at.parentElement) open.add(at);
  for (const element of open) {
    element.removeAttribute("aria-hidden");
    if (!marks.has(element)) element.setAttribute("role", "presentation");
    element.removeAttribute("aria-roledescription");
    for (const beside of element.parentElement!.children)
      if (!open.has(beside)) beside.setAttribute("aria-hidden", "true");
  }
}
