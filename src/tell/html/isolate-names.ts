/** Names that are written from right to left, kept from turning round the words beside them. */

/** A letter of Hebrew, Arabic and the scripts that are encoded beside them. */
const letter = "[\\u0590-\\u08ff\\ufb1d-\\ufdff\\ufe70-\\ufefc]";
/** Words of such letters, with a number that belongs to the name. */
const name = `${letter}+(?:[ '’-]+(?:${letter}+|\\d{1,3}(?![\\d.,%])))*`;
/** What is no text that a person reads here, or is isolated already; any tag; a name. */
const pieces = new RegExp(`<(svg|script|style|title|textarea|bdi)\\b[^]*?</\\1>|<[^>]*>|${name}`, "g");

/**
 * Puts each such name into a `bdi` element (HTML Living Standard, 4.5.24), in whatever sentence it is.
 *
 * @param html as `markup` gives it, no `>` within its attributes
 */
export const isolateNames = (html: string): string =>
  new RegExp(letter).test(html)
    ? html.replace(pieces, (piece) => (piece.startsWith("<") ? piece : `<bdi>${piece}</bdi>`))
    : html;
