/** Entry of a worker thread: one client after another is fitted and drawn, beside the others. */
import { parentPort, workerData } from "node:worker_threads";
import { analyzeFarm } from "../farm/analyze-farm.ts";
import type { Farm } from "../farm/farm.ts";
import { drawClient, type DrawnClient } from "../farm/report-clients.ts";
import type { Result } from "../vocabulary/result.ts";
import { TrialError } from "../vocabulary/trial.ts";
import { pageMaker } from "./page-maker.ts";

/** What a farm comes to: a client's page in UTF-8, or the result of all clients' strips together. */
export interface Done {
  page: DrawnClient<Uint8Array<ArrayBuffer>>;
  result: Result;
}

export interface Task {
  farm: Farm;
  wanted: keyof Done;
}

export type Answer = { gives: Done[keyof Done] } | { code: string; message: string } | { failure: unknown };

export interface CrewSettings {
  locale: string | undefined;
  /** ISO date of the pages: the same for all, though midnight pass. */
  date: string;
}

const { locale, date } = workerData as CrewSettings;
const maker = { ...pageMaker(locale), date };
const answer = (word: Answer, handedOver: ArrayBuffer[] = []): void =>
  parentPort!.postMessage(word, handedOver);

/** In bytes a page changes hands; as text, it would be copied, and stay until memory is cleared. */
async function drawInBytes(farm: Farm): Promise<Done["page"]> {
  const { result, content } = await drawClient(farm, maker);
  return { result, content: new TextEncoder().encode(content) };
}

parentPort!.on("message", ({ farm, wanted }: Task) => {
  const work = async (): Promise<void> => {
    if (wanted === "result") return answer({ gives: analyzeFarm(farm) });
    const drawn = await drawInBytes(farm);
    answer({ gives: drawn }, [drawn.content.buffer]);
  };
  work().catch((error: unknown) =>
    answer(error instanceof TrialError ? { code: error.code, message: error.message } : { failure: error }),
  );
});
