/** Runs in a pause of the browser, or soon where it does not tell its pauses. */
export const whenIdle = (view: Window, act: () => void): void => {
  if ("requestIdleCallback" in view) view.requestIdleCallback(act);
  else setTimeout(act, 50);
};
