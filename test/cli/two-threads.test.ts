import { cpSync, mkdirSync, symlinkSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { expect, it } from "vitest";
import { regionFamilies } from "../calibration/region/simulate-region.ts";
import { writeNetwork } from "../bench/scale/write-network.ts";
import { evidenceOfRegion } from "../fixtures/region-evidence.ts";
import { root, run, runHere, scratchFolder } from "./run.ts";

const folder = scratchFolder();
const strips = join(folder, "strips.csv");
// One variety on one farm, in four seasons of 125 blocks: enough for a second thread, and soon analysed.
writeNetwork([strips], 3000, { name: "many blocks", varieties: 1, blocks: 125, ownRates: false, farms: 1 });
const asked = ["fit", strips, "--json", "--quiet"];
/** What one thread says, asked once for both tests. */
let within: ReturnType<typeof runHere> | null = null;
const saidByOne = (): ReturnType<typeof runHere> => (within ??= runHere(asked));

it("a command with a process to itself says of many strips what one thread says, byte for byte", async () => {
  const [own, byOne] = await Promise.all([run(asked), saidByOne()]);
  expect(own).toMatchObject({ code: 0, err: "" });
  expect(own.out).toBe(byOne.out);
});

it("a second thread that ends is done without", async () => {
  const copy = join(folder, "copy");
  mkdirSync(copy);
  cpSync(join(root, "dist"), join(copy, "dist"), { recursive: true });
  cpSync(join(root, "package.json"), join(copy, "package.json"));
  symlinkSync(join(root, "node_modules"), join(copy, "node_modules"));
  writeFileSync(
    join(copy, "dist/stripcurve-second-thread.js"),
    'throw new Error("No room for a thread.");\n',
  );
  const [without, whole] = await Promise.all([
    run(asked, { program: join(copy, "dist/stripcurve.js") }),
    saidByOne(),
  ]);
  expect(without).toMatchObject({ code: 0, err: "" });
  expect(without.out).toBe(whole.out);
});

it("a command with a process to itself says of many farms what one thread says, byte for byte", async () => {
  const evidence = join(folder, "evidence.json");
  const farms = evidenceOfRegion({ ...regionFamilies[0]!, farms: 200, varieties: 1, onFarm: 1 });
  writeFileSync(evidence, JSON.stringify({ schema: "stripcurve-evidence-1", crop: "wheat", farms }));
  const ofRegion = ["region", evidence, "-o", "-", "--quiet"];
  const [own, within] = await Promise.all([run(ofRegion), runHere(ofRegion)]);
  expect(own).toMatchObject({ code: 0, err: "" });
  expect(own.out).toBe(within.out);
});
