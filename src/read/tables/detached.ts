/** JavaScript engines keep a long piece of a text as a window on the whole; shorter ones are copied anyway. */
const shortestWindow = 13;

/** A copy that does not hold on to the text it was cut from: a name must not keep a file of a million rows alive. */
export const detached = (text: string): string =>
  text.length < shortestWindow ? text : Array.from(text).join("");
