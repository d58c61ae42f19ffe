/** Small invented trials for the tests of the checks. */
import { environmentsOf } from "../../../src/vocabulary/environments.ts";
import { nothingElse, type Strip, type Trial } from "../../../src/vocabulary/trial.ts";

/** One sound strip, with what matters to a test put in its place. */
export const makeStrip = (differing: Partial<Strip> = {}): Strip => ({
  place: { file: "strips.csv", row: 2 },
  variety: "Ostrindel",
  season: 2024,
  farm: "",
  field: "North",
  block: "1",
  position: null,
  rateSeedsPerM2: 300,
  yieldKgPerHa: 4000,
  ...nothingElse,
  moisturePct: 13,
  ...differing,
});

/** Strips of every rate in every block, row after row, with rising yields; positions as they come in `orders`. */
export function makeBlocks(orders: readonly (readonly number[])[], differing: Partial<Strip> = {}): Strip[] {
  return orders.flatMap((rates, block) =>
    rates.map((rateSeedsPerM2, i) =>
      makeStrip({
        block: String(block + 1),
        position: i + 1,
        rateSeedsPerM2,
        yieldKgPerHa: 4000 + rateSeedsPerM2 + 10 * block,
        place: { file: "strips.csv", row: 2 + block * rates.length + i },
        ...differing,
      }),
    ),
  );
}

/** Rates in an order that hangs together with no direction of the field. */
export const soundOrders = [
  [200, 350, 250, 400, 300],
  [400, 250, 300, 200, 350],
  [250, 400, 350, 300, 200],
];

/** A trial as it comes from reading. */
export const makeTrial = (strips: Strip[], rowsLeftOut = 0): Trial => ({
  strips,
  environments: environmentsOf(strips),
  columns: [],
  rowsRead: strips.length + rowsLeftOut,
  rowsLeftOut,
  findings: [],
});
