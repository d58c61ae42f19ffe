/**
 * Measures the built command on networks of 10,000 to 1,000,000 strips: `npm run bench -- scale`.
 *
 * Time grows as strips to the printed exponent; 1 is linear.
 */
import { rmSync } from "node:fs";
import { join } from "node:path";
import { putAtMost } from "../bars.ts";
import { ownFolder, runCommand, usageCells, type Usage } from "../command/run-command.ts";
import { table } from "../table.ts";
import { writeNetwork } from "./write-network.ts";

const folder = ownFolder();
const sizes = [10_000, 100_000, ...(process.argv.includes("--quick") ? [] : [1_000_000])];

for (const command of ["check", "fit"]) {
  const used = sizes.map((strips) => useOf(command, strips));
  const exponents = used.map((one, i) =>
    i === 0 ? null : Math.log10(one.cpuSeconds / used[i - 1]!.cpuSeconds),
  );
  table(
    [command, "wall s", "cpu s", "peak MB", "grows as strips to the"],
    used.map((one, i) => [
      `${sizes[i]!.toLocaleString("en")} strips`,
      ...usageCells(one),
      exponents[i]?.toFixed(2) ?? "",
    ]),
  );
  if (sizes.at(-1) !== 1_000_000) continue;
  const barred = command === "fit";
  const { wallSeconds, peakMb } = used.at(-1)!;
  putAtMost(`${command}, 1,000,000 strips`, wallSeconds, "s", barred ? 60 : null);
  putAtMost(`${command}, 1,000,000 strips, memory`, peakMb, "MB", barred ? 1500 : null);
  putAtMost(`${command}, growth from 100,000 to 1,000,000 strips, exponent`, exponents.at(-1)!, "", 1.1);
}

function useOf(command: string, strips: number): Usage {
  const path = join(folder, `${strips}.csv`);
  writeNetwork([path], strips);
  const used = runCommand([command, path, "-o", join(folder, "out")], strips > 1e5 ? 1 : 3);
  rmSync(path);
  return used;
}
