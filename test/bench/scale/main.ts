/**
 * Measures the built command on networks of 10,000 to 1,000,000 strips: `npm run bench -- scale`.
 *
 * Time grows as strips to the printed exponent; 1 is linear.
 */
import { rmSync } from "node:fs";
import { join } from "node:path";
import { putAtMost, putRow } from "../bars.ts";
import { ownFolder, runCommand, usageCells, type Usage } from "../command/run-command.ts";
import { table } from "../table.ts";
import { shapes, writeNetwork, type Shape } from "./write-network.ts";

const folder = ownFolder();
const million = 1_000_000;
const quick = process.argv.includes("--quick");
const sizes = [10_000, 100_000, ...(quick ? [] : [million])];
const head = ["wall s", "cpu s", "peak MB"];
const shapeOfBar = shapes[0]!;

for (const command of ["check", "fit"]) {
  const used = sizes.map((strips) => useOf(command, strips, 1, shapeOfBar));
  const exponents = used.map((one, i) =>
    i === 0 ? null : Math.log10(one.cpuSeconds / used[i - 1]!.cpuSeconds),
  );
  table(
    [command, ...head, "grows as strips to the"],
    used.map((one, i) => [strips(sizes[i]!), ...usageCells(one), exponents[i]?.toFixed(2) ?? ""]),
  );
  if (quick) continue;
  const barred = command === "fit";
  const { wallSeconds, peakMb } = used.at(-1)!;
  putAtMost(`${command}, ${strips(million)}`, wallSeconds, "s", barred ? 60 : null);
  putAtMost(`${command}, ${strips(million)}, memory`, peakMb, "MB", barred ? 1500 : null);
  putAtMost(`${command}, growth from 100,000 to ${strips(million)}, exponent`, exponents.at(-1)!, "", 1.1);
}

// Laid out otherwise: the same number of strips in a thousand files, in very many small trials, in a few large fields.
const others: [what: string, files: number, shape: Shape][] = [
  ["in 1,000 files", 1000, shapeOfBar],
  ...shapes.slice(1).map((shape): [string, number, Shape] => [`in ${shape.name}`, 1, shape]),
];
const size = quick ? 100_000 : million;
table(
  [`fit, ${strips(size)}`, ...head],
  others.map(([what, files, shape]) => {
    const used = useOf("fit", size, files, shape);
    if (!quick)
      putRow(
        `fit, ${strips(size)} ${what}`,
        `${used.wallSeconds.toFixed(0)} s, ${used.peakMb.toFixed(0)} MB`,
      );
    return [what, ...usageCells(used)];
  }),
);

function useOf(command: string, count: number, files: number, shape: Shape): Usage {
  const paths = Array.from({ length: files }, (_, i) => join(folder, `strips-${i}.csv`));
  writeNetwork(paths, count, shape);
  const used = runCommand([command, ...paths, "-o", join(folder, "out")], count > 1e5 ? 1 : 3);
  for (const path of paths) rmSync(path);
  return used;
}

function strips(count: number): string {
  return `${count.toLocaleString("en")} strips`;
}
