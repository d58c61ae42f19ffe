/** Drawn SVG made small without changing a pixel that anyone sees. */

interface Element {
  name: string;
  attributes: Map<string, string>;
  children: (Element | string)[];
}

/** Attributes that a group hands down to what is inside it (SVG 1.1, property index, "inherited: yes"). */
const inherited = [
  "fill",
  "fill-opacity",
  "font-family",
  "font-size",
  "font-weight",
  "stroke",
  "stroke-dasharray",
  "stroke-miterlimit",
  "stroke-opacity",
  "stroke-width",
  "text-anchor",
];

/** Words for assistive software, which reads the description beside the picture, and defaults that need no saying. */
const isNeedless = (key: string): boolean =>
  key === "class" || key === "role" || key === "pointer-events" || key.startsWith("aria-");
const defaults: Record<string, string> = { opacity: "1", y2: "0", x2: "0", "text-anchor": "start" };
/** Attributes that hold coordinates. */
const measured = new Set(["d", "transform", "x", "y", "x1", "x2", "y1", "y2", "stroke-width"]);

/**
 * The same drawing in fewer bytes: coordinates to a tenth of a pixel, no invisible shapes, what all members of a group
 * share said once on the group, and like symbols as the markers of one path.
 *
 * @param svg well-formed, as Vega writes it: double quotes, no comments
 * @param name of the drawing: markers have ids, which must be the only ones of their name on a page
 */
export function slimSvg(svg: string, name = ""): string {
  const root = parse(svg);
  let markers = 0;
  const nextId = (): string => `m${name}-${markers++}`;
  for (const child of elementsOf(root)) slim(child, nextId);
  unwrap(root);
  return written(root);
}

const elementsOf = (element: Element): Element[] =>
  element.children.filter((child): child is Element => typeof child !== "string");

function parse(svg: string): Element {
  const top: Element = { name: "", attributes: new Map(), children: [] };
  const open = [top];
  for (let at = 0; at < svg.length;) {
    const parent = open.at(-1)!;
    if (svg[at] !== "<") {
      const end = endOf(svg, "<", at);
      parent.children.push(svg.slice(at, end));
      at = end;
    } else if (svg[at + 1] === "/") {
      open.pop();
      at = endOf(svg, ">", at) + 1;
    } else {
      const { element, next, isEmpty } = parseTag(svg, at + 1);
      parent.children.push(element);
      if (!isEmpty) open.push(element);
      at = next;
    }
  }
  return elementsOf(top)[0] ?? top;
}

/** Where a character comes next; behind the last one where it comes no more. */
function endOf(svg: string, character: string, from: number): number {
  const at = svg.indexOf(character, from);
  return at < 0 ? svg.length : at;
}

/** An element's name, and the space before each of its attributes. */
const nameOfTag = /[a-zA-Z]+/y;
const attributeOfTag = /\s+([\w:-]+)="([^"]*)"/y;

/** @param from  behind the opening bracket */
function parseTag(svg: string, from: number): { element: Element; next: number; isEmpty: boolean } {
  nameOfTag.lastIndex = from;
  const name = nameOfTag.exec(svg)?.[0] ?? "";
  const attributes = new Map<string, string>();
  let at = from + name.length;
  for (;;) {
    attributeOfTag.lastIndex = at;
    const [, key, value] = attributeOfTag.exec(svg) ?? [];
    if (key === undefined || value === undefined) break;
    attributes.set(key, value);
    at = attributeOfTag.lastIndex;
  }
  const end = endOf(svg, ">", at);
  return { element: { name, attributes, children: [] }, next: end + 1, isEmpty: svg[end - 1] === "/" };
}

function slim(element: Element, nextId: () => string): void {
  const { attributes } = element;
  for (const [key, value] of attributes)
    if (isNeedless(key) || defaults[key] === value) attributes.delete(key);
    else if (measured.has(key)) attributes.set(key, toTenths(value, key === "stroke-width" ? 2 : 1));
  if (element.name === "path") asCircle(element);
  if (element.name === "line") asPath(element);
  if (element.name === "text") atItsPlace(element);
  if (element.children.length === 0) return;
  for (const child of element.children) if (typeof child !== "string") slim(child, nextId);
  element.children = element.children.filter((child) => typeof child === "string" || isVisible(child));
  unwrap(element);
  if (element.name === "g") {
    liftShared(element);
    element.children = inRuns(element.children, nextId);
  }
  unwrap(element);
}

/** Takes away groups that say nothing, and keeps what is in them. */
function unwrap(element: Element): void {
  if (!element.children.some((child) => typeof child !== "string" && isBareGroup(child))) return;
  element.children = element.children.flatMap((child) =>
    typeof child !== "string" && isBareGroup(child) ? child.children : [child],
  );
}

/** Two half circles about a point that is moved to, as Vega draws round symbols. */
const roundSymbol = /^M([\d.]+),0A\1,\1,0,1,1,-\1,0A\1,\1,0,1,1,\1,0$/;
const movedTo = /^translate\((-?[\d.]+),(-?[\d.]+)\)$/;

/** How far a transform shifts; null where it turns as well. */
function shiftIn(transform: string): [x: string, y: string] | null {
  const [, x, y] = movedTo.exec(transform) ?? [];
  return x === undefined || y === undefined ? null : [x, y];
}

function asCircle(element: Element): void {
  const radius = roundSymbol.exec(element.attributes.get("d") ?? "")?.[1];
  const centre = shiftIn(element.attributes.get("transform") ?? "");
  if (radius === undefined || centre === null) return;
  element.name = "circle";
  element.attributes.delete("d");
  element.attributes.delete("transform");
  element.attributes.set("cx", centre[0]);
  element.attributes.set("cy", centre[1]);
  element.attributes.set("r", radius);
}

const toTenths = (value: string, digits = 1): string =>
  (value.includes(".") ? value.replace(/-?\d+\.\d{2,}/g, (number) => rounded(Number(number), digits)) : value)
    .replaceAll("translate(0,0)", "")
    .trim();

/** As `toFixed` rounds, without zeros at the end; the text of each number would take most of the time of a drawing. */
function rounded(value: number, digits: number): string {
  const times = 10 ** digits;
  const whole = Math.round(value * times);
  const isHalfway = Math.abs(Math.abs(value * times - whole) - 0.5) < 1e-6;
  return String(isHalfway ? Number(value.toFixed(digits)) : whole / times);
}

/** Where a shape is that is only shifted; null for one that is turned as well. */
function placeOf({ attributes }: Element): [x: string, y: string] | null {
  const transform = attributes.get("transform");
  return transform === undefined
    ? [attributes.get("cx") ?? "0", attributes.get("cy") ?? "0"]
    : shiftIn(transform);
}

/** A level or upright line as the path of one step, which can share its element with others. */
function asPath(element: Element): void {
  const { attributes } = element;
  const place = placeOf(element);
  const [x2, y2] = [attributes.get("x2") ?? "0", attributes.get("y2") ?? "0"];
  if (place === null || attributes.has("x1") || attributes.has("y1") || (x2 !== "0" && y2 !== "0")) return;
  element.name = "path";
  for (const key of ["transform", "x2", "y2"]) attributes.delete(key);
  attributes.set("d", `M${place.join(",")}${y2 === "0" ? `h${x2}` : `v${y2}`}`);
}

/** A text that is only shifted says where it is by x and y. */
function atItsPlace(element: Element): void {
  const place = placeOf(element);
  if (place === null || element.attributes.has("x") || element.attributes.has("y")) return;
  const [x, y] = place;
  element.attributes.delete("transform");
  if (x !== "0") element.attributes.set("x", x);
  if (y !== "0") element.attributes.set("y", y);
}

/** A path of one step along an axis. */
const oneStep = /^M-?[\d.]+,-?[\d.]+[hv]-?[\d.]+$/;
/** A marker and its path need as many bytes as a few symbols. */
const fewestMarked = 4;
const positions = ["cx", "cy", "transform"];

/** Shapes that follow each other and differ in their places alone; null for a shape that is drawn as none of these. */
function kindOf(shape: Element): string | null {
  if (shape.children.length > 0) return null;
  const { name, attributes } = shape;
  const d = attributes.get("d") ?? "";
  const rest = (but: readonly string[]): string => {
    let text = "";
    for (const [key, value] of attributes) if (!but.includes(key)) text += ` ${key}="${value}"`;
    return text;
  };
  // Where they cross, two see-through lines are darker than one path.
  if (oneStep.test(d) && !attributes.has("opacity") && !attributes.has("transform"))
    return `step ${/[hv]/.exec(d)![0]} ${rest(["d"])}`;
  const isSymbol = name === "circle" || (name === "path" && attributes.has("transform"));
  return isSymbol && placeOf(shape) !== null ? `symbol ${name} ${rest(positions)}` : null;
}

type Run = [Element, ...Element[]];

/** Like shapes that follow each other as one: steps as one path, symbols as a path's markers. */
function inRuns(children: Element["children"], nextId: () => string): Element["children"] {
  const runs: ({ kind: null; child: Element | string } | { kind: string; run: Run })[] = [];
  for (const child of children) {
    const kind = typeof child === "string" ? null : kindOf(child);
    const last = runs.at(-1);
    if (typeof child === "string" || kind === null) runs.push({ kind: null, child });
    else if (last !== undefined && last.kind !== null && last.kind === kind) last.run.push(child);
    else runs.push({ kind, run: [child] });
  }
  return runs.flatMap((one) => {
    if (one.kind === null) return [one.child];
    if (one.kind.startsWith("step")) return [asOnePath(one.run)];
    return one.run.length >= fewestMarked ? asMarkers(one.run, nextId()) : one.run;
  });
}

function asOnePath(steps: Run): Element {
  const [first] = steps;
  const d = steps.map(({ attributes }) => attributes.get("d")!).join("");
  return { ...first, attributes: new Map([...first.attributes, ["d", d]]) };
}

/**
 * The symbol once, and a path that nobody sees with the symbol at each of its corners (SVG 1.1, 11.6): it is painted anew
 * at each, so those that are see-through darken each other as they did. It inherits what its group says.
 */
function asMarkers(symbols: Run, id: string): Element[] {
  const [first] = symbols;
  const shape: Element = { ...first, attributes: new Map(first.attributes) };
  for (const key of positions) shape.attributes.delete(key);
  const corners = symbols.map((symbol) => placeOf(symbol)!.join(",")).join(" ");
  const at = ["start", "mid", "end"].map((where): [string, string] => [`marker-${where}`, `url(#${id})`]);
  return [
    {
      name: "marker",
      attributes: new Map([
        ["id", id],
        ["markerUnits", "userSpaceOnUse"],
        ["overflow", "visible"],
      ]),
      children: [shape],
    },
    {
      name: "path",
      attributes: new Map([["d", `M${corners}`], ["fill", "none"], ["stroke", "none"], ...at]),
      children: [],
    },
  ];
}

/** A path of straight lines from corner to corner, by steps in tenths of a pixel where that is shorter. */
function bySteps(d: string): string {
  const [, corners, end = ""] = /^M([-\d.,L]+)(Z?)$/.exec(d) ?? [];
  const places = corners
    ?.split("L")
    .map((corner) => corner.split(",").map((at) => Math.round(10 * Number(at))));
  if (
    places === undefined ||
    places.length < 3 ||
    places.some((at) => at.length !== 2 || at.some(Number.isNaN))
  )
    return d;
  const tenths = (value: number): string => String(value / 10).replace(/^(-?)0\./, "$1.");
  const pair = ([x = 0, y = 0]: number[]): string => `${tenths(x)}${y < 0 ? "" : ","}${tenths(y)}`;
  return (
    places.reduce((text, [x = 0, y = 0], index) => {
      if (index === 0) return `M${pair([x, y])}`;
      const [fromX = 0, fromY = 0] = places[index - 1]!;
      const step = pair([x - fromX, y - fromY]);
      return `${text}${index === 1 ? "l" : step.startsWith("-") ? "" : " "}${step}`;
    }, "") + end
  );
}

function isVisible({ name, attributes, children }: Element): boolean {
  if (attributes.get("display") === "none") return false;
  if (name === "g") return children.length > 0;
  // A shape without paint of its own lies in groups that have none: Vega's frames of groups.
  if (name === "path" || name === "circle") return attributes.has("fill") || attributes.has("stroke");
  return true;
}

const isBareGroup = ({ name, attributes }: Element): boolean =>
  name === "g" && [...attributes.values()].every((value) => value === "");

/** Moves to the group what all its members say alike and what they would inherit from it. */
function liftShared(group: Element): void {
  const members = elementsOf(group);
  const [first] = members;
  if (first === undefined || members.length !== group.children.length) return;
  for (const key of inherited) {
    const value = first.attributes.get(key);
    if (value === undefined || group.attributes.has(key)) continue;
    if (!members.every((member) => member.attributes.get(key) === value)) continue;
    group.attributes.set(key, value);
    for (const member of members) member.attributes.delete(key);
  }
}

const written = ({ name, attributes, children }: Element): string => {
  const start = `<${name}${[...attributes]
    .filter(([, value]) => value !== "")
    .map(([key, value]) => ` ${key}="${key === "d" ? bySteps(value) : value}"`)
    .join("")}`;
  return children.length === 0
    ? `${start}/>`
    : `${start}>${children.map((child) => (typeof child === "string" ? child : written(child))).join("")}</${name}>`;
};
