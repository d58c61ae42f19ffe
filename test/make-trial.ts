/** A trial from the few things a test cares about. */
import { environmentsOf } from "../src/vocabulary/environments.ts";
import { nothingElse, type Strip, type Trial } from "../src/vocabulary/trial.ts";

/** One variety, one season, no block, unless said otherwise; rows count from 2 as in a file with a header. */
export function makeTrial(
  strips: (Partial<Strip> & Pick<Strip, "rateSeedsPerM2" | "yieldKgPerHa">)[],
): Trial {
  const whole = strips.map((strip, i): Strip => ({
    place: { file: "strips.csv", row: i + 2 },
    variety: "Alder",
    season: 2024,
    farm: "",
    field: "",
    block: "",
    position: null,
    ...nothingElse,
    ...strip,
  }));
  return {
    strips: whole,
    environments: environmentsOf(whole),
    columns: [],
    rowsRead: whole.length,
    rowsLeftOut: 0,
    findings: [],
  };
}
