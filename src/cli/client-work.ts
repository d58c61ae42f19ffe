/** Entry of a worker thread: one client after another is fitted and drawn, beside the others. */
import { parentPort, workerData } from "node:worker_threads";
import { analyzeFarm } from "../farm/analyze-farm.ts";
import { drawClient } from "../farm/report-clients.ts";
import { TrialError } from "../vocabulary/trial.ts";
import { Inbox, type Ahead, type Answer, type Task } from "./client-messages.ts";
import { pageMaker } from "./page-maker.ts";

export interface CrewSettings {
  locale: string | undefined;
  /** ISO date of the pages: the same for all, though midnight pass. */
  date: string;
}

const { locale, date } = workerData as CrewSettings;
const maker = { ...pageMaker(locale), date };
const inbox = new Inbox();
const answer = (word: Answer): void => parentPort!.postMessage(word);

parentPort!.on("message", (message: Task | Ahead) => {
  const task = inbox.take(message);
  if (task === null) return answer("more");
  const { farm, wanted } = task;
  const work = async () => (wanted === "page" ? drawClient(farm, maker) : analyzeFarm(farm));
  work().then(
    (gives) => answer({ gives }),
    (error: unknown) =>
      answer(error instanceof TrialError ? { code: error.code, message: error.message } : { failure: error }),
  );
});
