/** What is said beside the results: on standard error, never in a file of results. */
import { plainText } from "../tell/plain-text.ts";

/** A message of one or more lines, made harmless for the terminal. */
export function say(message: string): void {
  process.stderr.write(`${plainText(message)}\n`);
}

/** Whether a stream shows colours: a terminal that was not asked to do without (no-color.org). */
export const showsColour = (stream: NodeJS.WriteStream): boolean =>
  stream.isTTY === true && !process.env["NO_COLOR"] && process.env["TERM"] !== "dumb";

/** One line on a terminal that says what long work is at; silent elsewhere and with `--quiet`. */
export class Progress {
  readonly #shown: boolean;

  constructor(quiet: boolean) {
    this.#shown = !quiet && process.stderr.isTTY === true && process.env["TERM"] !== "dumb";
  }

  /** What begins now. */
  at(step: string): void {
    if (this.#shown) process.stderr.write(`\r\u001b[K${plainText(step)} …`);
  }

  /** Takes the line away again. */
  done(): void {
    if (this.#shown) process.stderr.write("\r\u001b[K");
  }
}
