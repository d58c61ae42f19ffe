/** Long works in two threads, where the command has a process to itself and the computer a core for it. */
import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";
import { analyzeFarm, analyzeFarmBeside, type AnalysisStep } from "../farm/analyze-farm.ts";
import type { Farm } from "../farm/farm.ts";
import {
  makeRegion,
  makeRegionBeside,
  type MadeRegion,
  type NamedEvidence,
  type RegionChoices,
} from "../farm/region.ts";
import { secondThreadAt, type SecondThread } from "../farm/second-thread.ts";
import type { Result } from "../vocabulary/result.ts";
import { hasOwnProcess } from "./own-process.ts";
import { worksApart } from "./works-apart.ts";

/** Fewer strips are analysed before a second thread has come to speed. */
const enoughStrips = 3000;
/** Fewer farms are compared before a second thread has come to speed. */
const enoughFarms = 200;

/** As `analyzeFarm`, and of many strips sooner. */
export async function analyzeInThreads(farm: Farm, begin?: (step: AnalysisStep) => void): Promise<Result> {
  if (farm.trial.strips.length < enoughStrips || !hasRoom()) return analyzeFarm(farm, begin);
  return withSecondThread(({ works, enough }) =>
    analyzeFarmBeside(works, farm, (step) => {
      // All is asked by then. What the second thread's memory holds will be wanted here.
      if (step === "observed") enough();
      begin?.(step);
    }),
  );
}

/** As `makeRegion`, and of many farms sooner. */
export async function makeRegionInThreads(
  evidence: readonly NamedEvidence[],
  choices: RegionChoices,
): Promise<MadeRegion> {
  return evidence.length >= enoughFarms && hasRoom()
    ? withSecondThread(({ works }) => makeRegionBeside(works, evidence, choices))
    : makeRegion(evidence, choices);
}

const hasRoom = (): boolean => availableParallelism() > 1 && hasOwnProcess();

async function withSecondThread<Made>(
  make: (second: SecondThread<typeof worksApart>) => Promise<Made>,
): Promise<Made> {
  const worker = new Worker(new URL("./stripcurve-second-thread.js", import.meta.url));
  const second = secondThreadAt(
    {
      send: (message) => worker.postMessage(message),
      listen: (heard) => void worker.on("message", heard),
    },
    worksApart,
  );
  worker.on("error", second.giveUp);
  worker.on("exit", second.giveUp);
  try {
    return await make(second);
  } finally {
    await worker.terminate();
  }
}
