/** Every published group, and sixty simulated ones, against fits made in R; sources and tolerances in the case files. */
import { readFileSync } from "node:fs";
import { describe, it } from "vitest";
import { compareGroup, type ReferenceCase } from "./compare.ts";

const read = <T>(name: string): T => JSON.parse(readFileSync(new URL(name, import.meta.url), "utf8")) as T;
const sharperJoins = read<Record<string, number>>("sharper-joins.json");

for (const file of ["case.json", "verbyla_lupin.json", "simulated.json"])
  for (const { name, groups } of read<ReferenceCase>(file).sets)
    describe(`response curves of ${name}`, () => {
      for (const group of groups)
        it(group.name, () => compareGroup(group, sharperJoins[`${name} ${group.name}`]));
    });
