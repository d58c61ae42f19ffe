/** Elements with their attributes and children; text is never read as HTML. */

type Child = Node | string | null | false | undefined;
type Happening = (event: Event) => void;

/**
 * @param attributes  `on…` listens; `true` sets an attribute without a value, `null` and `false` leave it out; `value`,
 *   `checked` and `disabled` are set as properties
 */
export function element<Name extends keyof HTMLElementTagNameMap>(
  name: Name,
  attributes: Record<string, string | boolean | number | null | Happening> = {},
  ...children: Child[]
): HTMLElementTagNameMap[Name] {
  const made = document.createElement(name);
  for (const [key, value] of Object.entries(attributes)) {
    if (typeof value === "function") made.addEventListener(key.slice(2), value);
    else if (key === "value") (made as unknown as { value: string }).value = String(value);
    else if (value === true) made.setAttribute(key, "");
    else if (value !== null && value !== false) made.setAttribute(key, String(value));
  }
  made.append(...children.filter((child) => child !== null && child !== false && child !== undefined));
  return made;
}

export const button = (text: string, press: () => void, kind = ""): HTMLButtonElement =>
  element("button", { type: "button", class: kind, onclick: press }, text);

let labels = 0;

/** A field with its label, and a hint that is read out with it. */
export function labelled(text: string, field: HTMLElement, hint = ""): HTMLElement {
  const id = `field-${++labels}`;
  field.id = id;
  if (hint !== "") field.setAttribute("aria-describedby", `${id}-hint`);
  return element(
    "div",
    { class: "field" },
    element("label", { for: id }, text),
    field,
    hint !== "" && element("span", { class: "hint", id: `${id}-hint` }, hint),
  );
}

/** Hands a file over to the person. */
export function save(name: string, content: string | Uint8Array, type: string): void {
  const url = URL.createObjectURL(new Blob([content as BlobPart], { type }));
  const link = element("a", { href: url, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 60_000);
}
