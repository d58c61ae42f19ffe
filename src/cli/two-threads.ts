/** A second thread for the analysis of one farm, where the command has a process to itself and the computer a core for it. */
import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";
import { analyzeFarm, analyzeFarmBeside, type AnalysisStep } from "../farm/analyze-farm.ts";
import type { Farm } from "../farm/farm.ts";
import { secondThreadAt, type SecondThread } from "../farm/second-thread.ts";
import type { Result } from "../vocabulary/result.ts";
import { hasOwnProcess } from "./own-process.ts";

export class TwoThreads {
  #worker: Worker | null = null;
  #second: SecondThread | null = null;

  /** Starts the thread ahead of the analysis, while files are read. */
  getReady(): void {
    if (this.#second !== null || !hasOwnProcess() || availableParallelism() < 2) return;
    const worker = new Worker(new URL("./stripcurve-second-thread.js", import.meta.url));
    // A command that ends without an analysis does not wait for it.
    worker.unref();
    this.#worker = worker;
    this.#second = secondThreadAt({
      send: (message) => worker.postMessage(message),
      listen: (heard) => void worker.on("message", heard),
    });
    worker.on("error", this.#second.giveUp);
  }

  /** As `analyzeFarm`, and sooner; the thread ends with it. */
  async analyze(farm: Farm, begin?: (step: AnalysisStep) => void): Promise<Result> {
    this.getReady();
    const [worker, second] = [this.#worker, this.#second];
    if (worker === null || second === null) return analyzeFarm(farm, begin);
    worker.ref();
    try {
      return await analyzeFarmBeside(second.steps, farm, begin);
    } finally {
      this.#worker = this.#second = null;
      await worker.terminate();
    }
  }
}
