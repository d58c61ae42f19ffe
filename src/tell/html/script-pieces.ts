/**
 * A page's script in the pieces in which it runs: a browser compiles each on its own, and the page listens in between.
 */

/** Begins a line between two pieces; with it, the whole is a script as well. */
export const betweenPieces = "//# next piece\n";
/** Code that holds the words above has them within a line. */
const atLineStart = /^\/\/# next piece\n/m;

/** @example scriptPieces("a();\n//# next piece\nb();\n") // ["a();\n", "b();\n"] */
export const scriptPieces = (script: string): string[] => script.split(atLineStart);
