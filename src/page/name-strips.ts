/** Which strip a mark is: chosen from a list beside the chart's numbers, or by a press on the mark. */

export interface NamedMark {
  name: string;
  /** The list is in this order [person's unit]. */
  rate: number;
}

/** A press this near finds a mark [px]: half of what a thumb covers. */
const reach = 22;
const svgSpace = "http://www.w3.org/2000/svg";

/**
 * Adds the list to a drawn chart; nothing where marks and names do not match one by one.
 *
 * @param names in the order in which the marks were drawn
 */
export function nameStrips(figure: HTMLElement, label: string, names: readonly NamedMark[]): void {
  const page = figure.ownerDocument;
  const picture = figure.querySelector<HTMLElement>(".picture");
  const numbers = figure.querySelector<HTMLDetailsElement>("details.numbers");
  // Ends of the axes are marks of a group of their own, behind that of the strips.
  const marks = [...(picture?.querySelectorAll("g.mark-symbol.role-mark") ?? [])]
    .map((group) => [...group.querySelectorAll<SVGElement>(":scope > path")])
    .find(({ length }) => length === names.length);
  if (picture === null || numbers === null || marks === undefined || names.length === 0) return;

  const list = page.createElement("select");
  list.append(new Option(label, ""));
  names
    .map(({ name, rate }, index) => ({ name, rate, index }))
    .sort((a, b) => a.rate - b.rate || a.index - b.index)
    .forEach(({ name, index }) => list.append(new Option(name, String(index))));
  list.setAttribute("aria-label", label);
  list.className = "which-strip";
  numbers.querySelector("summary")?.after(list);

  const ring = page.createElementNS(svgSpace, "circle");
  ring.setAttribute("class", "which-strip");
  ring.setAttribute("r", "8");
  const show = (): void => {
    const mark = list.value === "" ? undefined : marks[Number(list.value)];
    if (mark === undefined) return ring.remove();
    ring.setAttribute("transform", mark.getAttribute("transform") ?? "");
    mark.parentNode!.append(ring);
  };
  list.addEventListener("change", show);
  picture.addEventListener("click", ({ clientX, clientY }) => {
    const far = marks.map((mark) => {
      const box = mark.getBoundingClientRect();
      return Math.hypot(box.x + box.width / 2 - clientX, box.y + box.height / 2 - clientY);
    });
    const nearest = far.indexOf(Math.min(...far));
    if (far[nearest]! > reach) return;
    numbers.open = true;
    list.value = String(nearest);
    show();
  });
}
