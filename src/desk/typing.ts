/** Cells and fields that are redrawn while somebody types: the text being typed stays, and so does the cursor. */
import { element } from "./element.ts";

let isRedrawing = false;
/** For each field, whether it holds text not handed on yet, and how to hand it on. */
const handOn = new WeakMap<Element, { isTyped(): boolean; hand(): void }>();

/**
 * A field that hands its text on when it is left, or at Enter.
 *
 * @param key  the same after a redraw
 */
export function typedField(
  key: string,
  text: string,
  write: (text: string) => void,
  attributes: Parameters<typeof element>[1] = {},
): HTMLInputElement {
  let known = text;
  const isTyped = (): boolean => input.value !== known && !input.readOnly;
  const hand = (): void => {
    if (isRedrawing || !isTyped()) return;
    known = input.value;
    write(known);
  };
  const input: HTMLInputElement = element("input", {
    type: "text",
    autocomplete: "off",
    spellcheck: "false",
    ...attributes,
    "data-key": key,
    value: text,
    onchange: hand,
    onblur: hand,
  });
  handOn.set(input, { isTyped, hand });
  return input;
}

/** Whether a field holds text that was not handed on yet. */
export const isBeingTyped = (target: EventTarget | null): boolean =>
  target instanceof Element && handOn.get(target)?.isTyped() === true;

/** Redraws a place. Text being typed in it stays under the cursor; if its field is gone, the text is handed on. */
export function redraw(place: HTMLElement, draw: () => void): void {
  const active = document.activeElement;
  const before = active instanceof HTMLElement && place.contains(active) ? active : null;
  const typed = before instanceof HTMLInputElement ? before : null;
  const [start, end] = [typed?.selectionStart ?? null, typed?.selectionEnd ?? null];
  isRedrawing = true;
  try {
    draw();
    const key = before?.dataset["key"];
    const after =
      key === undefined ? null : place.querySelector<HTMLElement>(`[data-key="${CSS.escape(key)}"]`);
    if (before === null || after === before) return;
    after?.focus({ preventScroll: true });
    if (typed !== null && after instanceof HTMLInputElement) {
      if (isBeingTyped(typed)) after.value = typed.value;
      if (start !== null) after.setSelectionRange(start, end);
      return;
    }
  } finally {
    isRedrawing = false;
  }
  if (typed !== null) handOn.get(typed)?.hand();
}
