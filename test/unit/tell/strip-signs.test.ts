import { describe, expect, it } from "vitest";
import type { Result } from "../../../src/vocabulary/result.ts";
import { seasonLabel, stripSigns } from "../../../src/tell/charts/strip-signs.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { makeResult } from "../../fixtures/result.ts";

const result = makeResult();
const [variety = ""] = result.varieties;
const own = result.strips.filter((strip) => strip.variety === variety);

/** The same trial with every strip harvested many times, half of them 100 kg/ha more and half 100 kg/ha less. */
const manyStrips: Result = {
  ...result,
  strips: Array.from({ length: 2 * Math.ceil(251 / own.length) }, (_, copy) =>
    own.map((strip) => ({
      ...strip,
      levelledYieldKgPerHa: strip.levelledYieldKgPerHa + (copy % 2 === 0 ? 100 : -100),
    })),
  ).flat(),
};

const signsOf = (of: Result): ReturnType<typeof stripSigns> =>
  stripSigns(of, variety, measuresOf(of), "yield", (strip) => strip.levelledYieldKgPerHa);

describe("the legend's name of a season's strips", () => {
  const nameOf = (seasons: number): string => {
    const environments = Array.from({ length: seasons }, (_, i) => ({
      ...result.environments[0]!,
      id: `${2023 + i} North`,
      season: 2023 + i,
    }));
    return seasonLabel({ ...result, environments })({ environment: "2023 North" });
  };

  it("is short enough for all of them to stand under the picture", () => {
    expect([1, 3, 4, 5].map(nameOf)).toEqual(["strips 2023", "strips 2023", "2023", "strips of all seasons"]);
  });
});

describe("strips as signs", () => {
  it("are one each in a trial of ordinary size", () => {
    const signs = signsOf(result);
    expect(signs.rows).toHaveLength(own.length);
    expect(signs.meaning).toBe("Each mark is one strip");
  });

  it("are the mean of each rate in each site-year in a large one", () => {
    const signs = signsOf(manyStrips);
    const cells = new Set(own.map((strip) => `${strip.environment} ${strip.rateSeedsPerM2}`));
    expect(signs.rows).toHaveLength(cells.size);
    expect(signs.meaning).toContain("mean");
    const [first] = own;
    const like = own.filter(
      (strip) => strip.environment === first!.environment && strip.rateSeedsPerM2 === first!.rateSeedsPerM2,
    );
    const mean = like.reduce((sum, strip) => sum + strip.levelledYieldKgPerHa, 0) / like.length;
    expect(signs.rows[0]!.y).toBeCloseTo(mean, 1);
  });

  it("are the mean of like rates where hardly two rates are the same", () => {
    const measured: Result = {
      ...manyStrips,
      strips: Array.from({ length: 40 }, () => manyStrips.strips)
        .flat()
        .map((strip, index) => ({ ...strip, rateSeedsPerM2: strip.rateSeedsPerM2 + (index % 9973) / 500 })),
    };
    const { rows, meaning } = signsOf(measured);
    expect(measured.strips.length).toBeGreaterThan(10_000);
    expect(rows.length).toBeLessThanOrEqual(1000);
    expect(rows.length).toBeGreaterThan(20);
    expect(meaning).toBe("Each mark is the mean of like rates in one site-year");
    const rates = measured.strips.map((strip) => measuresOf(result).rate.value(strip.rateSeedsPerM2));
    expect(Math.min(...rows.map((row) => Number(row.x)))).toBeGreaterThanOrEqual(Math.min(...rates) * 0.999);
    expect(Math.max(...rows.map((row) => Number(row.x)))).toBeLessThanOrEqual(Math.max(...rates) * 1.001);
  });

  it("leave out strips without the value", () => {
    expect(stripSigns(result, variety, measuresOf(result), "nothing", () => null).rows).toEqual([]);
  });

  it("carry their season while there are few, and one name for all when there are many", () => {
    const [place] = result.environments;
    const longRun: Result = {
      ...result,
      environments: [
        ...result.environments,
        ...[1, 2, 3, 4, 5].map((back) => ({
          ...place!,
          id: `back ${back}`,
          season: place!.season - 10 * back,
        })),
      ],
    };
    const seasons = (of: Result): Set<unknown> => new Set(signsOf(of).rows.map((row) => row.season));
    expect([...seasons(result)].every((name) => /^strips \d{4}$/.test(String(name)))).toBe(true);
    expect(seasons(longRun)).toEqual(new Set(["strips of all seasons"]));
  });
});
