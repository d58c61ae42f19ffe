/**
 * `npm run calibrate [-- FARMS]`: decides many simulated farms and writes `test/calibration/results.md`.
 *
 * Work is shared among the processors; the order of the scores, and so the table, does not depend on how many there are.
 * `--workers N` says how many; `--scores FILE` keeps each farm's scores there, too, one a line, and `--from FILE` writes the
 * table from scores that were kept; `--family NAME` takes one family of truths alone, of which there are scores but no table.
 */
import { writeFileSync } from "node:fs";
import { availableParallelism } from "node:os";
import { isMainThread, parentPort, Worker, workerData } from "node:worker_threads";
import { parseArgs } from "node:util";
import { chosenFamilies, scoresOf, scoresOptions } from "./kept-scores.ts";
import { seasonsOfBias, tellScores, timesForBias } from "./results-table.ts";
import { scoreChain, type ChainScore } from "./score-chain.ts";
import { scoreFarm, type Score } from "./score-farm.ts";
import { families, type Family } from "./truths.ts";

const { values: asked, positionals } = parseArgs({
  allowPositionals: true,
  options: { workers: { type: "string" }, ...scoresOptions },
});
const farmsPerCell = Number(positionals[0] ?? 24);
const chosen = chosenFamilies(families, asked.family);

/** A farm of so many seasons decided at the end, or year by year. */
type Task = { family: Family; number: number; seasons: number | "year by year" };
type Scored = { score: Score } | { chain: ChainScore };

// A chain decides four times, so fewer farms go through it. Where the rate named lies on average is told by more of them.
const farmsOf = (seasons: Task["seasons"]): number =>
  seasons === "year by year"
    ? Math.ceil(farmsPerCell / 3)
    : seasons === seasonsOfBias
      ? timesForBias * farmsPerCell
      : farmsPerCell;
const tasks = chosen.flatMap((family) =>
  ([1, 2, 3, 6, "year by year"] as const).flatMap((seasons) =>
    Array.from({ length: farmsOf(seasons) }, (_, number): Task => ({ family, seasons, number })),
  ),
);

const scoreTask = ({ family, seasons, number }: Task): Scored[] =>
  seasons === "year by year"
    ? scoreChain(family, number).map((chain) => ({ chain }))
    : scoreFarm(family, seasons, number).map((score) => ({ score }));

type Part = [task: number, scored: Scored[]][];

function scorePart(first: number, step: number): Part {
  const part: Part = [];
  for (let task = first; task < tasks.length; task += step) part.push([task, scoreTask(tasks[task]!)]);
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

async function scoreAll(): Promise<Scored[]> {
  const workers = Number(asked.workers ?? availableParallelism());
  const parts = await Promise.all(
    Array.from({ length: workers }, (_, first) => scoreInWorker(first, workers)),
  );
  return parts
    .flat()
    .sort(([a], [b]) => a - b)
    .flatMap(([, ofTask]) => ofTask);
}

async function calibrate(): Promise<void> {
  const scored = await scoresOf(asked, scoreAll);
  if (scored === null) return;
  const page = tellScores(
    scored.flatMap((one) => ("score" in one ? one.score : [])),
    scored.flatMap((one) => ("chain" in one ? one.chain : [])),
    farmsPerCell,
  );
  writeFileSync("test/calibration/results.md", page);
  process.stdout.write(page);
}

if (isMainThread) void calibrate();
else {
  const { first, step } = workerData as { first: number; step: number };
  parentPort!.postMessage(scorePart(first, step));
}
