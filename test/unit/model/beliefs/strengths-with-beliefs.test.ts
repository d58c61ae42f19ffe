import { describe, expect, it } from "vitest";
import { believeCurves } from "../../../../src/model/beliefs/believable-curves.ts";
import type { CellsOfVariety } from "../../../../src/model/beliefs/rate-evidence.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

/** Yield loses 6 % at 0.6 and at 1.4 of a need of 300, on each field as many times that; errors are a fixed pattern of about 2 %. */
function harvested(strengths: Record<string, number>, seasons: number): CellsOfVariety[] {
  let i = 0;
  return Array.from({ length: seasons }, (_, s) => 2020 + s).flatMap((season) =>
    Object.entries(strengths).map(([field, strength]) => ({
      variety: "Alder",
      season,
      environment: `${season} ${field}`,
      withinCellSs: 0,
      cells: ["1", "2", "3"].flatMap((block) =>
        [170, 240, 310, 380, 450].map((rateSeedsPerM2) => ({
          block,
          rateSeedsPerM2,
          strips: 1,
          meanYieldKgPerHa:
            4000 *
            (1 - 0.06 * strength * ((rateSeedsPerM2 / 300 - 1) / 0.4) ** 2 + 0.028 * Math.sin(12.9898 * ++i)),
        })),
      ),
    })),
  );
}

describe("how strongly yield answers on a field", () => {
  it("is told for each field with what is believed of every variety, and leaves the farm's needs alone", () => {
    const [belief] = believeCurves(harvested({ Bottom: 0.6, Hill: 1.4 }, 5), defaultSettings);
    expect(belief!.fields).toEqual(["Bottom", "Hill"]);
    const [bottom, hill] = belief!.fieldStrengths.map(({ middle }) => middle) as [number, number];
    expect(bottom).toBeGreaterThan(0.5);
    expect(bottom).toBeLessThan(0.85);
    expect(hill).toBeGreaterThan(1.15);
    expect(hill).toBeLessThan(1.5);
    expect(belief!.chanceFieldsDiffer).toBeLessThan(0.95);
    expect(believeCurves(harvested({ Alone: 1 }, 3), defaultSettings)[0]!.fieldStrengths).toEqual([]);
  });
});
