/** A second thread for the analysis of one farm, where the computer has a core for it. */
import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";
import { analyzeFarm, analyzeFarmBeside, type AnalysisStep } from "../farm/analyze-farm.ts";
import type { Farm } from "../farm/farm.ts";
import { handsAt } from "../farm/other-hands.ts";
import type { Result } from "../vocabulary/result.ts";

/** As `analyzeFarm`, and sooner. */
export type Analyze = (farm: Farm, begin?: (step: AnalysisStep) => void) => Promise<Result>;

/** Called before files are read, so that the thread is there once they are. */
export function analyzeInTwoThreads(): Analyze {
  if (availableParallelism() < 2) return async (farm, begin) => analyzeFarm(farm, begin);
  const worker = new Worker(new URL("./stripcurve-second-thread-work.js", import.meta.url));
  // A command that ends without an analysis does not wait for it.
  worker.unref();
  const second = handsAt({
    send: (message) => worker.postMessage(message),
    listen: (heard) => void worker.on("message", heard),
  });
  worker.on("error", second.giveUp);
  return async (farm, begin) => {
    worker.ref();
    try {
      return await analyzeFarmBeside(second.hands, farm, begin);
    } finally {
      await worker.terminate();
    }
  };
}
