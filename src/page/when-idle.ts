/** A browser that is kept busy, or finds no pause, is not waited for longer [ms]. */
const longest = 500;

/** Runs in a pause of the browser, or soon where it does not tell its pauses. */
export const whenIdle = (view: Window, act: () => void): void => {
  if ("requestIdleCallback" in view) view.requestIdleCallback(act, { timeout: longest });
  else setTimeout(act, 50);
};

/** Goes through steps, each in a pause of the browser of its own. */
export const stepWhenIdle = <Gives>(view: Window, steps: Generator<undefined, Gives>): Promise<Gives> =>
  new Promise((gives, fails) => {
    const next = (): void => {
      try {
        const { done, value } = steps.next();
        if (done === true) gives(value);
        else whenIdle(view, next);
      } catch (error) {
        fails(error as Error);
      }
    };
    whenIdle(view, next);
  });
