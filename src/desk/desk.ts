/** The desk as its steps see it. */
import type { Book } from "./book.ts";
import type { Answered } from "./errands.ts";
import type { Engine } from "./engine.ts";
import type { HarvestSheet } from "./harvest-sheet.ts";
import type { Packed } from "./packed.ts";
import type { Memory } from "./store.ts";

export interface Desk {
  book: Book;
  engine: Engine;
  packed: Packed;
  memory: Memory;
  /** The field sheet on which harvest notes are taken; null while none is open. */
  sheet: HarvestSheet | null;
  /** The latest answer; null while there are no strips, or none is known yet. */
  answer: Answered | null;
  /** Whether the answer belongs to what is on the desk now. */
  isFresh: boolean;
  /** Nothing is being worked out or about to be. */
  readonly isQuiet: boolean;
  /** Runs something long and shows its steps; failures are shown, a stop is not one. */
  work<Gives>(doing: (step: (text: string) => void) => Promise<Gives>): Promise<Gives | null>;
  /** Says something to the person, read out loud by a screen reader. */
  say(text: string, isProblem?: boolean): void;
  go(step: string): void;
}

/** One step of the work: a part of the page that is built when it is first shown. */
export interface Step {
  name: string;
  title: string;
  /** For a step that is not always needed: whether it is now. */
  isNeeded?(desk: Desk): boolean;
  build(desk: Desk): HTMLElement;
  /** Something on the desk, or the answer, has changed. */
  update?(desk: Desk): void;
}
