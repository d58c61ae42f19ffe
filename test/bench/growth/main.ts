/**
 * Measures how the built command's work grows with what a farm or an adviser has more of: `npm run bench -- growth`.
 *
 * Processor time grows as the number to the printed exponent, from the first row of a table to its last; 1 is linear. With
 * `--quick` the largest of each is left out.
 */
import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { putAtMost } from "../bars.ts";
import { ownFolder, runCommand, usageCells, type Usage } from "../command/run-command.ts";
import { writeNetwork, type Shape } from "../scale/write-network.ts";
import { table } from "../table.ts";

const folder = ownFolder();
const quick = process.argv.includes("--quick");
const farm: Shape = { name: "one farm", varieties: 4, blocks: 3, ownRates: false, farms: 1 };
const evenRates = (count: number): number[] =>
  Array.from({ length: count }, (_, i) => Math.round(800_000 + (1_000_000 * i) / (count - 1)));

/** Strips of three seasons of one farm, in a file of their own. */
function stripsOf(name: string, more: Partial<Shape>): string {
  const shape = { ...farm, ...more };
  const path = join(folder, `${name}.csv`);
  writeNetwork([path], 3 * shape.varieties * shape.blocks! * (shape.rates ?? evenRates(6)).length, shape);
  return path;
}

function clientsOf(count: number): string {
  const all = join(folder, `clients-${count}`);
  for (let i = 0; i < count; i++) {
    const own = join(all, `client ${i}`);
    mkdirSync(own, { recursive: true });
    writeNetwork([join(own, "strips.csv")], 3 * 3 * 3 * 6, { ...farm, varieties: 3 });
  }
  return all;
}

const ground = "--field-length 1200ft --field-width 60000ft --drill-width 40ft --combine-width 35ft".split(
  " ",
);
const namesOf = (varieties: number): string[] => Array.from({ length: varieties }, (_, i) => `Variety ${i}`);
const to = (name: string): string[] => ["-o", join(folder, name), "--overwrite"];

/** What is there more of, in how many steps, and what is run on it; the last bars are those of the largest. */
const growths: {
  what: string;
  counts: number[];
  run: (count: number) => string[];
  bars?: { seconds: number; memoryMb?: number };
}[] = [
  {
    what: "report, varieties",
    counts: [25, 100, 200],
    run: (varieties) => ["report", stripsOf("varieties", { varieties }), ...to("report.html")],
    bars: { seconds: 60 },
  },
  {
    what: "plan, varieties",
    counts: [25, 50, 100],
    run: (varieties) => [
      "plan",
      stripsOf("varieties", { varieties }),
      ...ground,
      "--varieties",
      ...namesOf(varieties),
      ...to("plan"),
    ],
    bars: { seconds: 60 },
  },
  {
    what: "report, clients",
    counts: [50, 200, 2000],
    run: (clients) => ["report", clientsOf(clients), ...to("clients")],
    bars: { seconds: 300, memoryMb: 500 },
  },
  {
    what: "fit, blocks",
    counts: [3, 30, 300],
    run: (blocks) => ["fit", stripsOf("blocks", { blocks }), ...to("out")],
  },
  {
    what: "fit, rates",
    counts: [5, 50, 500],
    run: (rates) => ["fit", stripsOf("rates", { rates: evenRates(rates) }), ...to("out")],
  },
];

for (const { what, counts, run, bars } of growths) {
  const used = (quick ? counts.slice(0, -1) : counts).map((count) => ({
    count,
    usage: runCommand(run(count), 1),
  }));
  const [first, last] = [used[0]!, used.at(-1)!];
  table(
    [what, "wall s", "cpu s", "peak MB"],
    used.map(({ count, usage }) => [count.toLocaleString("en"), ...usageCells(usage)]),
  );
  const name = `${what}: ${last.count.toLocaleString("en")}`;
  if (!quick && bars !== undefined) {
    putAtMost(name, last.usage.wallSeconds, "s", bars.seconds);
    if (bars.memoryMb !== undefined) putAtMost(`${name}, memory`, last.usage.peakMb, "MB", bars.memoryMb);
  }
  putAtMost(`${what}: growth from ${first.count}, exponent`, exponent(first, last), "", 1.2);
}

function exponent(first: { count: number; usage: Usage }, last: { count: number; usage: Usage }): number {
  return Math.log(last.usage.cpuSeconds / first.usage.cpuSeconds) / Math.log(last.count / first.count);
}
