/** Entry of a worker thread: one client after another is fitted and drawn, beside the others. */
import { parentPort, workerData } from "node:worker_threads";
import { analyzeFarm } from "../farm/analyze-farm.ts";
import { drawClient, type DrawnClient } from "../farm/report-clients.ts";
import type { Farm } from "../farm/farm.ts";
import type { Result } from "../vocabulary/result.ts";
import { TrialError } from "../vocabulary/trial.ts";
import { pageMaker } from "./page-maker.ts";

export interface CrewSettings {
  locale: string | undefined;
  /** ISO date of the pages: the same for all, though midnight pass. */
  date: string;
}

export interface Task {
  farm: Farm;
  wanted: keyof Done;
}

/** What a farm comes to: a client's page, or the result of all clients' strips together. */
export interface Done {
  page: DrawnClient;
  result: Result;
}

export type Answer = { gives: Done[keyof Done] } | { code: string; message: string } | { failure: unknown };

const { locale, date } = workerData as CrewSettings;
const maker = { ...pageMaker(locale), date };

parentPort!.on("message", ({ farm, wanted }: Task) => {
  const work = async () => (wanted === "page" ? drawClient(farm, maker) : analyzeFarm(farm));
  work().then(
    (gives) => parentPort!.postMessage({ gives } satisfies Answer),
    (error: unknown) =>
      parentPort!.postMessage(
        error instanceof TrialError
          ? ({ code: error.code, message: error.message } satisfies Answer)
          : ({ failure: error } satisfies Answer),
      ),
  );
});
