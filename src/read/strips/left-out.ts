/** Which strips a column says are to be left out: `exclude` with a reason, or `use` with yes and no. */
import { leftOutUnclear } from "../../messages/reading.ts";
import type { Finding } from "../../vocabulary/trial.ts";

/** What an `exclude` column may hold for a strip that is used. */
const keepsStrip = /^(?:no|n|0|false|falsch|faux|falso|nein|non|keep|use|used|ok|okay|good|none|-|–|—)$/i;
/** What a `use` column holds for a strip that is not used: a word for no, and perhaps a reason behind it. */
const dropsStrip =
  /^(?:(?:no|n|0|false|falsch|faux|falso|nein|non|not|don'?t|do not|toss|tossed|drop|dropped|skip|exclude|excluded|out|bad|hail|hailed)(?![\p{L}\d]).*)$/iu;

/** Headers of columns that say which strips are used. */
const saysUsed = /^(?:use|used|use it|use strip|keep|kept|include|included|in analysis|usable|valid|good)\b/i;

/** Reads the column of one file. */
export class LeftOut {
  readonly #file: string;
  readonly #header: string;
  readonly #isOfUsed: boolean;
  #empty = 0;
  #filled = 0;

  constructor(file: string, header: string) {
    this.#file = file;
    this.#header = header;
    this.#isOfUsed = saysUsed.test(header.trim());
  }

  /** Why a strip is left out; null for one that is used. */
  reasonIn(text: string): string | null {
    if (!this.#isOfUsed) return text === "" || keepsStrip.test(text) ? null : text;
    if (text === "") this.#empty++;
    else this.#filled++;
    return dropsStrip.test(text) ? `${this.#header.trim()}: ${text}` : null;
  }

  /** Says so where a `use` column is empty for some strips. */
  finish(): Finding[] {
    return this.#isOfUsed && this.#empty > 0 && this.#filled > 0
      ? [leftOutUnclear(this.#file, this.#header, this.#empty)]
      : [];
  }
}
