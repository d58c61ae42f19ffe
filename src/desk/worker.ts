/** Entry of the worker, and of the page's own thread where a browser refuses workers: errands in, words out. */
import { TrialError } from "../vocabulary/trial.ts";
import { errandWork } from "./errand-work.ts";
import type { Order, Provisions, Word } from "./errands.ts";

interface Counter {
  listen(take: (message: Provisions | Order) => void): void;
  say(word: Word): void;
}

declare const deskCounter: Counter | undefined;

const counter: Counter =
  typeof deskCounter === "undefined"
    ? {
        listen: (take) => self.addEventListener("message", ({ data }) => take(data as Order)),
        say: (word) => self.postMessage(word),
      }
    : deskCounter;

/** Today where the person is, as an ISO date. */
const today = (): string => {
  const now = new Date();
  return new Date(now.getTime() - now.getTimezoneOffset() * 60_000).toISOString().slice(0, 10);
};

let work: ReturnType<typeof errandWork> | null = null;
/** One errand after the other. */
let queue: Promise<void> = Promise.resolve();

counter.listen((message) => {
  if ("built" in message) work = errandWork(message, today);
  else queue = queue.then(() => run(message));
});

async function run({ id, name, ask }: Order): Promise<void> {
  try {
    const begin = (step: string): void => counter.say({ id, step });
    const gives = await (work![name] as (ask: unknown, begin: (step: string) => void) => unknown)(ask, begin);
    counter.say({ id, gives });
  } catch (error) {
    const code = error instanceof TrialError ? error.code : "";
    const failed = error instanceof Error ? error.message : String(error);
    counter.say({ id, failed, code });
  }
}
