/** A browser that is kept busy, or finds no pause, is not waited for longer [ms]. */
const longest = 500;

/** Runs in a pause of the browser, or soon where it does not tell its pauses. */
export const whenIdle = (view: Window, act: () => void): void => {
  if ("requestIdleCallback" in view) view.requestIdleCallback(act, { timeout: longest });
  else setTimeout(act, 50);
};
