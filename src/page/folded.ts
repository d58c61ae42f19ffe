/** True inside a part of the page that is folded away: what nobody sees is told and drawn when it is opened. */
export const isFolded = (element: Element): boolean => element.closest("details:not([open])") !== null;
