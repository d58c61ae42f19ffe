/** What a client's farm is sent as to the thread that works on it, and what comes back. */
import type { Farm } from "../farm/farm.ts";
import type { DrawnClient } from "../farm/report-clients.ts";
import type { Result } from "../vocabulary/result.ts";
import type { Strip } from "../vocabulary/trial.ts";

/** What a farm comes to: a client's page, or the result of all clients' strips together. */
export interface Done {
  page: DrawnClient;
  result: Result;
}

export interface Task {
  farm: Farm;
  wanted: keyof Done;
}

/** The first strips of the farm of the task that follows. */
export interface Ahead {
  ahead: readonly Strip[];
}

export type Answer =
  /** Ready for what follows strips sent ahead. */
  "more" | { gives: Done[keyof Done] } | { code: string; message: string } | { failure: unknown };

/** A message holds strips a second time, in more room than they need: so many are sent at once. */
export const stripsAtOnce = 5_000;

/** A task as messages, the next of which is made when the one before it was taken. */
export function* messagesOf({ wanted, farm }: Task): Generator<Task | Ahead, undefined> {
  const { strips } = farm.trial;
  let sent = 0;
  for (; strips.length - sent > stripsAtOnce; sent += stripsAtOnce)
    yield { ahead: strips.slice(sent, sent + stripsAtOnce) };
  yield { wanted, farm: withStrips(farm, strips.slice(sent)) };
}

/** Puts the messages of a task together again. */
export class Inbox {
  #ahead: Strip[] = [];

  /** @returns the task; null while more of it is to come */
  take(message: Task | Ahead): Task | null {
    if ("ahead" in message) {
      for (const strip of message.ahead) this.#ahead.push(strip);
      return null;
    }
    const { farm, wanted } = message;
    const strips = [...this.#ahead, ...farm.trial.strips];
    this.#ahead = [];
    return { wanted, farm: withStrips(farm, strips) };
  }
}

const withStrips = (farm: Farm, strips: Strip[]): Farm => ({ ...farm, trial: { ...farm.trial, strips } });
