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
const needless = /^(?:class|role|aria-.*|pointer-events)$/;
const defaults: Record<string, string> = { opacity: "1", y2: "0", x2: "0", "text-anchor": "start" };

/**
 * The same drawing in fewer bytes: coordinates to a tenth of a pixel, no invisible shapes, and what all members of a
 * group share said once on the group.
 *
 * @param svg well-formed, as Vega writes it: double quotes, no comments
 */
export function slimSvg(svg: string): string {
  const root = parse(svg);
  for (const child of elementsOf(root)) slim(child);
  unwrap(root);
  return written(root);
}

const elementsOf = (element: Element): Element[] =>
  element.children.filter((child): child is Element => typeof child !== "string");

function parse(svg: string): Element {
  const top: Element = { name: "", attributes: new Map(), children: [] };
  const open = [top];
  for (const [, closing, name, attributes = "", empty, text] of svg.matchAll(
    /<(\/?)([a-zA-Z]+)((?:\s+[\w:-]+="[^"]*")*)\s*(\/?)>|([^<]+)/g,
  )) {
    const parent = open.at(-1)!;
    if (text !== undefined) parent.children.push(text);
    else if (closing === "/") open.pop();
    else {
      const element: Element = {
        name: name!,
        attributes: new Map(
          [...attributes.matchAll(/([\w:-]+)="([^"]*)"/g)].map(([, key, value]) => [key!, value!]),
        ),
        children: [],
      };
      parent.children.push(element);
      if (empty !== "/") open.push(element);
    }
  }
  return elementsOf(top)[0] ?? top;
}

function slim(element: Element): void {
  const { attributes } = element;
  for (const [key, value] of attributes)
    if (needless.test(key) || defaults[key] === value) attributes.delete(key);
    else if (/^(?:d|transform|x|y|x1|x2|y1|y2)$/.test(key)) attributes.set(key, toTenths(value));
  if (element.name === "path") asCircle(element);
  for (const child of elementsOf(element)) slim(child);
  element.children = element.children.filter((child) => typeof child === "string" || isVisible(child));
  unwrap(element);
  if (element.name === "g") liftShared(element);
  unwrap(element);
}

/** Takes away groups that say nothing, and keeps what is in them. */
function unwrap(element: Element): void {
  element.children = element.children.flatMap((child) =>
    typeof child !== "string" && isBareGroup(child) ? child.children : [child],
  );
}

/** Two half circles about a point that is moved to, as Vega draws round symbols. */
const roundSymbol = /^M([\d.]+),0A\1,\1,0,1,1,-\1,0A\1,\1,0,1,1,\1,0$/;
const movedTo = /^translate\((-?[\d.]+),(-?[\d.]+)\)$/;

function asCircle(element: Element): void {
  const radius = roundSymbol.exec(element.attributes.get("d") ?? "")?.[1];
  const centre = movedTo.exec(element.attributes.get("transform") ?? "");
  if (radius === undefined || centre === null) return;
  element.name = "circle";
  element.attributes.delete("d");
  element.attributes.delete("transform");
  element.attributes.set("cx", centre[1]!);
  element.attributes.set("cy", centre[2]!);
  element.attributes.set("r", radius);
}

const toTenths = (value: string): string =>
  value
    .replace(/-?\d+\.\d{2,}/g, (number) => String(Number(Number(number).toFixed(1))))
    .replace(/translate\(0,0\)/g, "")
    .trim();

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
  if (members.length === 0 || members.length !== group.children.length) return;
  for (const key of inherited) {
    const value = members[0]!.attributes.get(key);
    if (value === undefined || group.attributes.has(key)) continue;
    if (!members.every((member) => member.attributes.get(key) === value)) continue;
    group.attributes.set(key, value);
    for (const member of members) member.attributes.delete(key);
  }
}

const written = ({ name, attributes, children }: Element): string => {
  const start = `<${name}${[...attributes]
    .filter(([, value]) => value !== "")
    .map(([key, value]) => ` ${key}="${value}"`)
    .join("")}`;
  return children.length === 0
    ? `${start}/>`
    : `${start}>${children.map((child) => (typeof child === "string" ? child : written(child))).join("")}</${name}>`;
};
