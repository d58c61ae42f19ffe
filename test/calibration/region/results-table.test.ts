/** The page about regions, from scores made up so that each bar can be told by head. */
import { expect, it } from "vitest";
import { seasonCounts, tellRegions } from "./results-table.ts";
import type { RegionScores, Score, Way } from "./score-region.ts";
import { regionFamilies } from "./simulate-region.ts";

/** Two regions of twenty farms each, which lost so much; the ranges hold in 16 and in 19 of them. */
const scored = (lost: Record<Way, [number, number]>): Omit<RegionScores, "family" | "seasons">[] =>
  [0, 1].map((region) => {
    const of = (way: Way): Score[] =>
      Array.from({ length: 20 }, (_, farm) => ({
        lost: lost[way][region]!,
        held: [farm < 16, farm < 19],
        logScore: way === "alone" ? -2 : -1,
      }));
    return {
      of: { alone: of("alone"), region: of("region"), "no strips": of("no strips") },
      lostAtBest: [0.5],
    };
  });

const inAll = (lostIn: (family: string) => Record<Way, [number, number]>): RegionScores[] =>
  regionFamilies.flatMap(({ name: family }) =>
    seasonCounts.flatMap((seasons) => scored(lostIn(family)).map((one) => ({ family, seasons, ...one }))),
  );

const half = { alone: [2, 2], region: [1, 1], "no strips": [2, 2] } satisfies Record<Way, [number, number]>;

it("meets its bars where a region halves what is lost and ranges hold as they say", () => {
  const page = tellRegions(
    inAll(() => half),
    2,
    20,
  );
  expect(page).not.toContain("not met");
  expect(page).toContain("one season of strips loses at most 0.80 times: 0.50 ± 0.00\n");
  expect(page).toContain("against a first season alone, at most 1.15 times: 1.00 ± 0.00\n");
  expect(page).toContain("alone, 1: 80 %; region, 1: 80 %; no strips, 1: 80 %");
});

it("names a family that is worse off with a region than alone, and does not meet that bar", () => {
  const worse = { ...half, region: [2.2, 2.2] } satisfies typeof half;
  const page = tellRegions(
    inAll((family) => (family === "few farms" ? worse : half)),
    2,
    20,
  );
  expect(page).toContain(
    "- **not met**: in no family more than 5 % worse than alone: few farms, 1; few farms, 3",
  );
  expect(page).toContain("by itself beyond it: few farms (1.10 ± 0.00)");
});

it("tells a ratio's standard error by leaving out one region after another", () => {
  // (1 + 3) / (2 + 4) = 0.667; without the first 3 / 4, without the second 1 / 2: their mean is 0.625, and the variance
  // 1/2 · (0.125² + 0.125²), so the error 0.125.
  const unlike = { alone: [2, 4], region: [1, 3], "no strips": [1, 3] } satisfies typeof half;
  const page = tellRegions(
    inAll(() => unlike),
    2,
    20,
  );
  expect(page).toMatch(/\| alike +\| +1 \| 3\.00 \| 2\.00 \| 0\.67 ± 0\.13 \|/);
});
