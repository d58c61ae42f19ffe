/** Worker threads that fit and draw clients, one for each core. */
import { availableParallelism } from "node:os";
import { Worker } from "node:worker_threads";
import type { Farm } from "../farm/farm.ts";
import type { Hands } from "../farm/report-clients.ts";
import type { Result } from "../vocabulary/result.ts";
import { TrialError } from "../vocabulary/trial.ts";
import type { Answer, CrewSettings, Done, Task } from "./client-work.ts";

export interface Crew extends Hands<Uint8Array> {
  /** The result of all clients' strips together. */
  analyze(farm: Farm): Promise<Result>;
  /** Ends the threads. */
  leave(): Promise<unknown>;
}

/** A task that no thread has taken yet, and whoever waits for it. */
interface Waiting {
  task: Task;
  resolve: (done: Done[keyof Done]) => void;
  reject: (error: unknown) => void;
}

/** @param most threads at the most: no more than there is work */
export function callCrew(settings: CrewSettings, most: number): Crew {
  const count = Math.max(1, Math.min(availableParallelism(), most));
  const queue: Waiting[] = [];
  const idle: Worker[] = [];
  const busy = new Map<Worker, Waiting>();
  const handOut = (): void => {
    while (idle.length > 0 && queue.length > 0) {
      const [worker, waiting] = [idle.pop()!, queue.shift()!];
      busy.set(worker, waiting);
      worker.ref();
      worker.postMessage(waiting.task);
    }
  };
  const workers = Array.from({ length: count }, () => {
    const worker = new Worker(new URL("./stripcurve-client-work.js", import.meta.url), {
      workerData: settings,
      // A farm's page leaves much behind that is soon let go of: less room for it costs little time.
      resourceLimits: { maxYoungGenerationSizeMb: 12 },
    });
    const free = (): Waiting | undefined => {
      const waiting = busy.get(worker);
      busy.delete(worker);
      return waiting;
    };
    worker.on("message", (answer: Answer) => {
      const waiting = free();
      idle.push(worker);
      worker.unref();
      if ("gives" in answer) waiting?.resolve(answer.gives);
      else
        waiting?.reject(
          "code" in answer ? new TrialError(answer.code, answer.message) : (answer.failure as Error),
        );
      handOut();
    });
    // A thread fails as a whole for want of memory: the others would as well.
    worker.on("error", (error) => {
      for (const waiting of [...busy.values(), ...queue.splice(0)]) waiting.reject(error);
    });
    worker.unref();
    idle.push(worker);
    return worker;
  });
  const ask = <Wanted extends keyof Done>(wanted: Wanted, farm: Farm): Promise<Done[Wanted]> =>
    new Promise((resolve, reject) => {
      queue.push({ task: { wanted, farm }, resolve: resolve as Waiting["resolve"], reject });
      handOut();
    });
  return {
    atOnce: count + 1,
    draw: (farm) => ask("page", farm),
    analyze: (farm) => ask("result", farm),
    leave: () => Promise.all(workers.map((worker) => worker.terminate())),
  };
}
