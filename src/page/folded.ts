/**
 * True inside a part of the page that is folded away on paper as well: what nobody sees is told and drawn when it is
 * opened.
 */
export const isFolded = (element: Element): boolean => element.closest("details:not([open], .fold)") !== null;
