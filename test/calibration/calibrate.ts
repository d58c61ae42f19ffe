/**
 * `npm run calibrate [-- FARMS]`: decides many simulated farms and writes `test/calibration/results.md`.
 *
 * Work is shared among the processors; the order of the scores, and so the table, does not depend on how many there are.
 * `--workers N` says how many; `--scores FILE` writes each farm's scores there, one a line, instead of the table;
 * `--family NAME` takes one family of truths alone, of which there are scores but no table.
 */
import { writeFileSync } from "node:fs";
import { availableParallelism } from "node:os";
import { isMainThread, parentPort, Worker, workerData } from "node:worker_threads";
import { parseArgs } from "node:util";
import { tellScores } from "./results-table.ts";
import { scoreFarm, type Score } from "./score-farm.ts";
import { families } from "./truths.ts";

const { values: asked, positionals } = parseArgs({
  allowPositionals: true,
  options: { workers: { type: "string" }, scores: { type: "string" }, family: { type: "string" } },
});
const farmsPerCell = Number(positionals[0] ?? 24);
const chosen = families.filter(({ name }) => asked.family === undefined || name === asked.family);
if (chosen.length === 0) throw new Error(`There is no family "${asked.family!}".`);
const tasks = chosen.flatMap((family) =>
  [1, 2, 3, 6].flatMap((seasons) =>
    Array.from({ length: farmsPerCell }, (_, number) => ({ family, seasons, number })),
  ),
);

type Part = [task: number, scores: Score[]][];

function scorePart(first: number, step: number): Part {
  const part: Part = [];
  for (let task = first; task < tasks.length; task += step) {
    const { family, seasons, number } = tasks[task]!;
    part.push([task, scoreFarm(family, seasons, number)]);
  }
  return part;
}

const scoreInWorker = (first: number, step: number): Promise<Part> =>
  new Promise((resolve, reject) => {
    const worker = new Worker(process.argv[1]!, {
      workerData: { first, step },
      argv: process.argv.slice(2),
    });
    worker.once("message", resolve);
    worker.once("error", reject);
  });

async function calibrate(): Promise<void> {
  const workers = Number(asked.workers ?? availableParallelism());
  const parts = await Promise.all(
    Array.from({ length: workers }, (_, first) => scoreInWorker(first, workers)),
  );
  const scores = parts
    .flat()
    .sort(([a], [b]) => a - b)
    .flatMap(([, ofFarm]) => ofFarm);
  if (asked.scores !== undefined || asked.family !== undefined) {
    const lines = scores.map((score) => `${JSON.stringify(score)}\n`).join("");
    if (asked.scores === undefined) process.stdout.write(lines);
    else writeFileSync(asked.scores, lines);
    return;
  }
  const page = tellScores(scores, farmsPerCell);
  writeFileSync("test/calibration/results.md", page);
  process.stdout.write(page);
}

if (isMainThread) void calibrate();
else {
  const { first, step } = workerData as { first: number; step: number };
  parentPort!.postMessage(scorePart(first, step));
}
