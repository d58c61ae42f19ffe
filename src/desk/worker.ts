/** Entry of the worker, or of the page's own thread where a browser refuses workers: errands in, words out. */
import { stepsApart, type StepsApart } from "../farm/analyze-farm.ts";
import { TrialError } from "../vocabulary/trial.ts";
import { errandWork } from "./errand-work.ts";
import { endOf, secondThreadAt, serve } from "../farm/second-thread.ts";
import { breathing, rehearse } from "./rehearsal.ts";
import type { Order, Provisions, Word } from "./errands.ts";

interface Counter {
  listen(take: (message: Provisions | Order) => void): void;
  say(word: Word): void;
}

declare const deskCounter: Counter | undefined;

const isWorker = typeof deskCounter === "undefined";
const counter: Counter = isWorker
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
let isAsked = false;
/** Errands run one after the other. */
let queue: Promise<void> = Promise.resolve();

counter.listen((message) => {
  if ("built" in message) {
    const second =
      message.port === undefined || message.helps === true
        ? null
        : secondThreadAt(endOf(message.port), stepsApart);
    const steps = (): StepsApart | null => (second?.isReady() === true ? second.works : null);
    // The rehearsal is each worker's own.
    const rehearsing = breathing(() => isAsked);
    work = errandWork(message, today, () => (isAsked ? steps() : rehearsing));
    // The page's own thread must stay free.
    if (isWorker)
      queue = rehearse(
        work,
        message,
        () => isAsked,
        () => performance.now(),
      );
    if (message.helps === true)
      serve(endOf(message.port!), stepsApart, (doing) => {
        isAsked = true;
        queue = queue.then(doing);
      });
  } else {
    isAsked = true;
    queue = queue.then(() => run(message));
  }
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
