import { expect, it } from "vitest";
import { cellsOf, groupByVariety } from "../../../../src/model/seasons/rate-cells.ts";
import { makeTrial } from "../../../make-trial.ts";

it("groups strips by variety, then season, farm and field, and sorts them", () => {
  const strip = { rateSeedsPerM2: 300, yieldKgPerHa: 4000 };
  const { strips } = makeTrial([
    { ...strip, variety: "Birch", season: 2024 },
    { ...strip, variety: "Alder", season: 2025, field: "South" },
    { ...strip, variety: "Alder", season: 2025, field: "North" },
    { ...strip, variety: "Alder", season: 2024, rateSeedsPerM2: 400 },
    { ...strip, variety: "Alder", season: 2024, block: "2" },
    { ...strip, variety: "Alder", season: 2024, block: "1" },
  ]);
  const groups = groupByVariety(strips);
  expect(
    groups.map((seasons) => seasons.map(({ variety, environment }) => `${variety} ${environment}`)),
  ).toEqual([["Alder 2024", "Alder 2025 North", "Alder 2025 South"], ["Birch 2024"]]);
  expect(groups[0]![0]!.strips.map(({ place }) => place.row)).toEqual([7, 6, 5]);
});

it("means the strips of a block and rate, and keeps how they scatter", () => {
  const yields = [4000, 4010, 4020, 4500];
  const { strips } = makeTrial(
    yields.map((yieldKgPerHa, i) => ({ yieldKgPerHa, rateSeedsPerM2: i < 3 ? 300 : 400, block: "1" })),
  );
  expect(cellsOf(strips)).toEqual({
    cells: [
      { block: "1", rateSeedsPerM2: 300, strips: 3, meanYieldKgPerHa: 4010 },
      { block: "1", rateSeedsPerM2: 400, strips: 1, meanYieldKgPerHa: 4500 },
    ],
    withinCellSs: 200,
  });
});
