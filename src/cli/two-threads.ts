/** The analysis of a large trial in two threads, where the command has a process to itself and the computer a core for it. */
import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";
import { analyzeFarm, analyzeFarmBeside, type AnalysisStep } from "../farm/analyze-farm.ts";
import type { Farm } from "../farm/farm.ts";
import { secondThreadAt } from "../farm/second-thread.ts";
import type { Result } from "../vocabulary/result.ts";
import { hasOwnProcess } from "./own-process.ts";

/** Fewer strips are analysed before a second thread has come to speed; of more, a second thread takes memory that the first needs. */
const enoughStrips = 3000;
const mostStrips = 300_000;

/** As `analyzeFarm`, and of many strips sooner. */
export async function analyzeInThreads(farm: Farm, begin?: (step: AnalysisStep) => void): Promise<Result> {
  const strips = farm.trial.strips.length;
  const paysOff =
    strips >= enoughStrips && strips <= mostStrips && availableParallelism() > 1 && hasOwnProcess();
  if (!paysOff) return analyzeFarm(farm, begin);
  const worker = new Worker(new URL("./stripcurve-second-thread.js", import.meta.url));
  const second = secondThreadAt({
    send: (message) => worker.postMessage(message),
    listen: (heard) => void worker.on("message", heard),
  });
  worker.on("error", second.giveUp);
  try {
    return await analyzeFarmBeside(second.steps, farm, begin);
  } finally {
    await worker.terminate();
  }
}
