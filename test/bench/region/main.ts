/**
 * Measures `stripcurve region` on the evidence of 100 to 10,000 farms of three varieties: `npm run bench -- region`.
 *
 * Each farm is a file of its own, as `stripcurve share` writes it, from one season of simulated strips; the region has 60
 * varieties. Time grows as farms to the printed exponent; 1 is linear.
 */
import { mkdirSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import type { EvidenceFile } from "../../../src/vocabulary/region.ts";
import { regionFamilies } from "../../calibration/region/simulate-region.ts";
import { evidenceOfRegion } from "../../fixtures/region-evidence.ts";
import { putAtMost } from "../bars.ts";
import { ownFolder, runCommand, usageCells, type Usage } from "../command/run-command.ts";
import { table } from "../table.ts";

const most = 10_000;
const quick = process.argv.includes("--quick");
const sizes = [100, 1000, ...(quick ? [] : [most])];
const folder = ownFolder();

const used = sizes.map(useOf);
const exponents = used.map((one, i) =>
  i === 0 ? null : Math.log10(one.cpuSeconds / used[i - 1]!.cpuSeconds),
);
table(
  ["region", "wall s", "cpu s", "peak MB", "grows as farms to the"],
  used.map((one, i) => [farmsTold(sizes[i]!), ...usageCells(one), exponents[i]?.toFixed(2) ?? ""]),
);
if (!quick) {
  const { wallSeconds, peakMb } = used.at(-1)!;
  putAtMost(`region of ${farmsTold(most)} × 3 varieties`, wallSeconds, "s", 120);
  putAtMost(`region of ${farmsTold(most)} × 3 varieties, memory`, peakMb, "MB", 1500);
  putAtMost(`region, growth from 1,000 to ${farmsTold(most)}, exponent`, exponents.at(-1)!, "", 1.1);
}

function useOf(farms: number): Usage {
  const evidence = join(folder, `evidence-${farms}`);
  mkdirSync(evidence);
  evidenceOfRegion({ ...regionFamilies[0]!, farms, varieties: 60 }).forEach((farm, f) => {
    const file: EvidenceFile = { schema: "stripcurve-evidence-1", crop: "wheat", farms: [farm] };
    writeFileSync(join(evidence, `${f}.json`), JSON.stringify(file));
  });
  const found = runCommand(["region", evidence, "-o", join(folder, "region.json"), "--overwrite"], 1);
  rmSync(evidence, { recursive: true });
  return found;
}

function farmsTold(farms: number): string {
  return `${farms.toLocaleString("en")} farms`;
}
