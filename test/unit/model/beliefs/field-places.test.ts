import { describe, expect, it } from "vitest";
import { believeCurves } from "../../../../src/model/beliefs/believable-curves.ts";
import type { CellsOfVariety } from "../../../../src/model/beliefs/rate-evidence.ts";
import { fieldOf } from "../../../../src/vocabulary/environments.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

const rates = [170, 240, 310, 380, 450];

/** Yield loses 6 % at 0.6 and at 1.4 of the need; fields have needs of their own. Errors are a fixed pattern of about 2 %. */
function farm(needs: Record<string, number>, seasons: number, varieties = ["Alder"]): CellsOfVariety[] {
  let i = 0;
  return varieties.flatMap((variety) =>
    Array.from({ length: seasons }, (_, s) => 2020 + s).flatMap((season) =>
      Object.entries(needs).map(([field, need]) => ({
        variety,
        season,
        environment: `${season} ${field}`.trim(),
        withinCellSs: 0,
        cells: ["1", "2", "3"].flatMap((block) =>
          rates.map((rateSeedsPerM2) => ({
            block,
            rateSeedsPerM2,
            strips: 1,
            meanYieldKgPerHa:
              4000 * (1 - 0.06 * ((rateSeedsPerM2 / need - 1) / 0.4) ** 2 + 0.028 * Math.sin(12.9898 * ++i)),
          })),
        ),
      })),
    ),
  );
}

/** Mean and sd of what is believed of a field's shift. */
function shiftOf(cells: CellsOfVariety[], field: string): { mean: number; sd: number } {
  const [belief] = believeCurves(cells, defaultSettings);
  const at = belief!.fields.indexOf(field);
  const mean = belief!.curves.reduce(
    (sum, { weight, place }) => sum + weight * belief!.fieldShifts[place]![at]!,
    0,
  );
  const variance = belief!.curves.reduce(
    (sum, { weight, place }) => sum + weight * (belief!.fieldShifts[place]![at]! - mean) ** 2,
    0,
  );
  return { mean, sd: Math.sqrt(Math.max(0, variance)) };
}

describe("lasting differences between fields", () => {
  it("are found where there are some", () => {
    const { mean } = shiftOf(farm({ Hill: 235, Bottom: 390 }, 4), "Hill");
    // Half the log distance between the two needs is 0.25.
    expect(mean).toBeGreaterThan(-0.3);
    expect(mean).toBeLessThan(-0.18);
  });

  it("are about nothing where there are none", () => {
    const { mean, sd } = shiftOf(farm({ Hill: 310, Bottom: 310, Flat: 310 }, 4), "Hill");
    expect(Math.abs(mean)).toBeLessThan(0.03);
    expect(sd).toBeLessThan(0.06);
  });

  it("are no surer by three varieties that move together in each season than their one field can tell", () => {
    // On either field the need moves by a fifth from season to season, that of every variety alike.
    const moved = (varieties: string[]): CellsOfVariety[] =>
      [1.2, 0.85, 1.1, 0.9].flatMap((times, s) =>
        farm({ Hill: 310 * times, Bottom: 310 / times }, s + 1, varieties).filter(
          ({ season }) => season === 2020 + s,
        ),
      );
    const one = shiftOf(moved(["Alder"]), "Hill");
    const three = shiftOf(moved(["Alder", "Birch", "Cedar"]), "Hill");
    // Three witnesses would be surer by the square root of three: 0.58 of the sd.
    expect(three.sd / one.sd).toBeGreaterThan(0.75);
  });

  it("are open where seasons contradict each other on both fields", () => {
    // The need moves by a twentieth each season, upward on one field and downward on the other; strips that tell a fiftieth.
    const cells = [1.05, 0.96, 1.025, 0.975].flatMap((times, s) =>
      farm({ Hill: 310 * times, Bottom: 310 / times }, s + 1).filter(({ season }) => season === 2020 + s),
    );
    const { mean, sd } = shiftOf(cells, "Hill");
    expect(Math.abs(mean)).toBeLessThan(0.01);
    expect(sd).toBeGreaterThan(0.01);
  });

  it("sum to zero, and are as many as the fields", () => {
    const [belief] = believeCurves(farm({ Hill: 235, Bottom: 390, Flat: 310 }, 2), defaultSettings);
    expect(belief!.fields).toEqual(["Bottom", "Flat", "Hill"]);
    for (const shifts of belief!.fieldShifts)
      expect(shifts.reduce((sum, shift) => sum + shift, 0)).toBeCloseTo(0, 12);
  });

  it("are not looked for in a single field, or where every field had a season of its own", () => {
    expect(believeCurves(farm({ Hill: 300 }, 3), defaultSettings)[0]!.fields).toEqual([]);
    const rotated = [0, 1].map((i) => farm({ [`Field ${i}`]: 300 }, 2)[i]!);
    expect(rotated.map(({ season }) => season)).toEqual([2020, 2021]);
    expect(believeCurves(rotated, defaultSettings)[0]!.fields).toEqual([]);
  });

  it("give the whole farm one rate between those of its fields, not that of the more decided one", () => {
    const [belief] = believeCurves(farm({ Hill: 235, Bottom: 390 }, 4), defaultSettings);
    const best = belief!.expectedKgPerHa.indexOf(Math.max(...belief!.expectedKgPerHa));
    const rate = belief!.ratesSeedsPerM2[best]!;
    // The mean of two parabolas in u, weighed by 1/need²: 0.06/0.4² (x/n − 1)² summed has its top at Σ 1/n ÷ Σ 1/n².
    const top = (1 / 235 + 1 / 390) / (1 / 235 ** 2 + 1 / 390 ** 2);
    expect(rate / top).toBeGreaterThan(0.92);
    expect(rate / top).toBeLessThan(1.08);
  });
});

describe("the field of an environment", () => {
  it("is what names it besides the season", () => {
    expect(fieldOf({ environment: "2024 Home, Hill", season: 2024 })).toBe("Home, Hill");
    expect(fieldOf({ environment: "2024", season: 2024 })).toBe("");
  });
});
