/** HTML as tagged templates: every value that is put in is escaped unless it is markup already. */

/** Text that is markup already. */
export interface Markup {
  readonly text: string;
}

type Piece = Markup | string | number | null | undefined | false | Piece[];

const isMarkup = (value: object): value is Markup => "text" in value;

/** Templates as written, and without the indents that only their readers need. */
const tight = new WeakMap<TemplateStringsArray, string[]>();

function withoutIndents(parts: TemplateStringsArray): string[] {
  const known = tight.get(parts) ?? parts.map((part) => part.replace(/\n\s+/g, "\n"));
  tight.set(parts, known);
  return known;
}

/**
 * Markup with escaped values: lists are joined, null and false give nothing. Indents of the template are left out, those
 * of values are kept.
 *
 * @example markup`<b>${"a < b"}</b>`.text // "<b>a &lt; b</b>"
 */
export const markup = (parts: TemplateStringsArray, ...values: Piece[]): Markup => ({
  text: withoutIndents(parts).reduce((text, part, index) => text + pieceText(values[index - 1]) + part),
});

/** Text known to be safe markup, such as a drawn chart. */
export const raw = (text: string): Markup => ({ text });

function pieceText(value: Piece): string {
  if (value === null || value === undefined || value === false) return "";
  if (Array.isArray(value)) return value.map(pieceText).join("");
  if (typeof value === "object") return isMarkup(value) ? value.text : "";
  return escapeHtml(String(value));
}

/** Control characters, which HTML and SVG do not allow, as �. */
export const withoutControls = (text: string): string =>
  text.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f]/g, "\ufffd");

/** Text for an element or a quoted attribute. */
export const escapeHtml = (text: string): string =>
  withoutControls(text)
    .replaceAll("&", "&amp;")
    .replaceAll("<", "&lt;")
    .replaceAll(">", "&gt;")
    .replaceAll('"', "&quot;")
    .replaceAll("'", "&#39;");

/**
 * An id from a name: letters and digits of the name, and its place in a list to keep ids apart.
 *
 * @example idOf("variety", "Ostrindel 5", 0) // "variety-1-ostrindel-5"
 */
export const idOf = (prefix: string, name: string, index: number): string =>
  [prefix, index + 1, ...(name.toLowerCase().match(/[a-z0-9]+/g) ?? [])].join("-");
