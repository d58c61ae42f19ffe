/** Every published group, and sixty simulated ones, against fits made in R; sources and tolerances in the case files. */
import { describe, it } from "vitest";
import { compareGroup, readCase } from "./compare.ts";
import sharperJoins from "./sharper-joins.json" with { type: "json" };

const sharper: Record<string, number> = sharperJoins;

for (const file of ["case.json", "verbyla_lupin.json", "simulated.json"])
  for (const { name, groups } of readCase(file).sets)
    describe(`response curves of ${name}`, () => {
      for (const group of groups)
        it(group.name, () => compareGroup(group, sharper[`${name} ${group.name}`]));
    });
