import { describe, expect, it } from "vitest";
import {
  chanceOverLimit,
  countLodgedSeasons,
  drawLodging,
  expectedShare,
  findLodgingCeiling,
  tabulateLodging,
  withLodgedSeasons,
} from "../../../../src/decide/rate/lodging-ceiling.ts";
import type { Reason, VarietyLodging } from "../../../../src/vocabulary/result.ts";

/** One belief, certain of level and slope: the chance is a plain normal tail. */
const certain: VarietyLodging = {
  variety: "Ostrindel",
  scale: "zero-to-nine",
  strips: 60,
  testedSeedsPerM2: [200, 500],
  centreSeedsPerM2: 300,
  chanceOfAny: 1,
  beliefs: [
    {
      weight: 1,
      level: -1,
      slope: 0.01,
      levelVariance: 0,
      slopeVariance: 1e-12,
      covariance: 0,
      seasonVariance: 1,
    },
  ],
  reason: "",
  seen: [
    {
      environment: "2023 Hill",
      season: 2023,
      rates: [
        { rateSeedsPerM2: 200, strips: 3, share: 0.1 },
        { rateSeedsPerM2: 400, strips: 3, share: 0.6 },
      ],
    },
    {
      environment: "2023 North",
      season: 2023,
      rates: [{ rateSeedsPerM2: 300, strips: 3, share: 0.2 }],
    },
    {
      environment: "2024 Hill",
      season: 2024,
      rates: [{ rateSeedsPerM2: 300, strips: 3, share: 0 }],
    },
  ],
};

describe("chanceOverLimit", () => {
  it("is the tail of the seasons above the limit", () => {
    // Half of the seasons lodge more than the median season: at 400 seeds/m² its log odds are 0, share 0.5.
    expect(chanceOverLimit(certain, 400, 0.5)).toBeCloseTo(0.5, 12);
    // One sd below: normal tail 0.158655.
    expect(chanceOverLimit(certain, 300, 0.5)).toBeCloseTo(0.158655, 6);
  });

  it("counts what is not known of level and slope, together", () => {
    const [belief] = certain.beliefs;
    const vague = {
      ...certain,
      beliefs: [{ ...belief!, levelVariance: 0.5, slopeVariance: 1e-4, covariance: -0.002 }],
    };
    // At 400: mean −1 + 1 = 0 against the limit's −0.847298; variance 0.5 − 2 × 100 × 0.002 + 100² × 0.0001 + 1 = 2.1.
    // Normal tail below 0.847298 ÷ 1.449138 = 0.584691: 0.720623.
    expect(chanceOverLimit(vague, 400, 0.3)).toBeCloseTo(0.720623, 5);
  });

  it("is certain at the ends of the scale", () => {
    expect(chanceOverLimit(certain, 300, 0)).toBe(1);
    expect(chanceOverLimit(certain, 300, 1)).toBe(0);
  });

  it("counts the seasons in which nothing lodges", () => {
    expect(chanceOverLimit({ ...certain, chanceOfAny: 0.6 }, 400, 0.5)).toBeCloseTo(0.3, 12);
    expect(expectedShare({ ...certain, chanceOfAny: 0.6 }, 400)).toBeCloseTo(0.3, 10);
  });

  it("is null without beliefs", () => {
    expect(chanceOverLimit({ ...certain, beliefs: [] }, 300, 0.3)).toBeNull();
    expect(expectedShare({ ...certain, beliefs: [] }, 300)).toBeNull();
  });
});

describe("expectedShare", () => {
  it("averages over the seasons", () => {
    expect(expectedShare(certain, 400)).toBeCloseTo(0.5, 10);
    // E[1/(1 + exp(−(−1 + Z)))] by numerical integration; two dozen seasons come within a thousandth.
    let integral = 0;
    for (let z = -8; z < 8; z += 0.001)
      integral += (0.001 * Math.exp(-z * z * 0.5)) / Math.sqrt(2 * Math.PI) / (1 + Math.exp(1 - z));
    expect(Math.abs(expectedShare(certain, 300)! - integral)).toBeLessThan(0.001);
  });
});

describe("findLodgingCeiling", () => {
  it("finds the rate at which the chance reaches what is allowed", () => {
    // Limit 0.5: −1 + 0.01 (x − 300) = −0.841621 sd → x = 315.838.
    const ceiling = findLodgingCeiling(certain, { lodgingLimit: 0.5, lodgingChance: 0.2 });
    expect(ceiling.kind).toBe("found");
    expect(ceiling.kind === "found" && ceiling.rateSeedsPerM2).toBeCloseTo(315.8379, 3);
  });

  it("is open when all tested rates are within, and at the lowest when none is", () => {
    expect(findLodgingCeiling(certain, { lodgingLimit: 0.95, lodgingChance: 0.2 })).toEqual({ kind: "open" });
    expect(findLodgingCeiling(certain, { lodgingLimit: 0.05, lodgingChance: 0.2 })).toEqual({
      kind: "at-lowest",
      rateSeedsPerM2: 200,
    });
  });

  it("allows the chance that is allowed, and no more", () => {
    const allowed = chanceOverLimit(certain, 200, 0.5)!;
    const at = (lodgingChance: number) => findLodgingCeiling(certain, { lodgingLimit: 0.5, lodgingChance });
    expect(at(allowed)).toEqual({ kind: "found", rateSeedsPerM2: expect.closeTo(200, 6) as number });
    expect(at(allowed - 1e-6).kind).toBe("at-lowest");
    expect(at(chanceOverLimit(certain, 500, 0.5)!)).toEqual({ kind: "open" });
  });

  it("sets none where the strips do not say", () => {
    const settings = { lodgingLimit: 0.3, lodgingChance: 0.2 };
    expect(findLodgingCeiling(undefined, settings)).toEqual({ kind: "none", reason: "not-scored" });
    expect(findLodgingCeiling({ ...certain, beliefs: [], reason: "never-lodged" }, settings)).toEqual({
      kind: "none",
      reason: "never-lodged",
    });
    const flat = { ...certain, beliefs: [{ ...certain.beliefs[0]!, slope: 0, slopeVariance: 1e-4 }] };
    expect(findLodgingCeiling(flat, settings)).toEqual({ kind: "none", reason: "rate-not-shown" });
  });
});

describe("the chance that lodging rises with the rate", () => {
  // Of a slope with its standard error: 0.01 ± 0.0125 is 0.8 standard errors above 0, chance 0.788; 0.01 ± 0.0111 is 0.9,
  // chance 0.816 (normal table). Four in five are asked for.
  it.each([
    [0.8, "none"],
    [0.9, "found"],
  ])("of %f standard errors: %s", (standardErrors, kind) => {
    const slopeVariance = (0.01 / standardErrors) ** 2;
    const beliefs = [{ ...certain.beliefs[0]!, slopeVariance, seasonVariance: 0.01 }];
    const ceiling = findLodgingCeiling({ ...certain, beliefs }, { lodgingLimit: 0.3, lodgingChance: 0.45 });
    expect(ceiling.kind).toBe(kind);
  });
});

describe("countLodgedSeasons", () => {
  it("looks at the tested rate nearest to the rate, and counts a season once", () => {
    expect(countLodgedSeasons(certain, 390, 0.3)).toEqual({ lodged: 1, scored: 2 });
    expect(countLodgedSeasons(certain, 210, 0.3)).toEqual({ lodged: 0, scored: 2 });
    expect(countLodgedSeasons(certain, 210, 0.15)).toEqual({ lodged: 1, scored: 2 });
  });

  it("takes the lower of two rates equally near, and a share of just the limit for within it", () => {
    expect(countLodgedSeasons(certain, 300, 0.3)).toEqual({ lodged: 0, scored: 2 });
    expect(countLodgedSeasons(certain, 390, 0.6)).toEqual({ lodged: 0, scored: 2 });
  });
});

describe("the reasons of a choice", () => {
  const ceiling: Reason = { code: "lodging-ceiling", numbers: { rateSeedsPerM2: 315 } };
  const season: Reason = { code: "one-season", numbers: {} };
  const settings = { lodgingLimit: 0.3 };

  it("say how often the variety lodged at today's rate, where lodging is one of them", () => {
    expect(withLodgedSeasons([season, ceiling], certain, 390, settings)).toEqual([
      season,
      { code: "lodging-ceiling", numbers: { rateSeedsPerM2: 315, lodged: 1, scored: 2 } },
    ]);
  });

  it("stay as they are where no rate is sown yet, or nothing was scored", () => {
    expect(withLodgedSeasons([ceiling], certain, null, settings)).toEqual([ceiling]);
    expect(withLodgedSeasons([ceiling], undefined, 390, settings)).toEqual([ceiling]);
  });
});

describe("tabulateLodging", () => {
  it("has a row for each tested rate, in order, with the mean of what was seen there", () => {
    const rows = tabulateLodging(certain, 0.5);
    // At 300 two environments: 0.2 and 0.
    expect(rows.map((row) => [row.rateSeedsPerM2, row.seenShare])).toEqual([
      [200, 0.1],
      [300, 0.1],
      [400, 0.6],
    ]);
    expect(rows[2]).toMatchObject({ variety: "Ostrindel", scale: "zero-to-nine" });
    // At 400 half of the seasons lodge more than half: see `chanceOverLimit`.
    expect(rows[2]!.expectedShare).toBeCloseTo(0.5, 10);
    expect(rows[2]!.chanceOverLimit).toBeCloseTo(0.5, 12);
    expect(rows[1]!.chanceOverLimit).toBeCloseTo(0.158655, 6);
  });

  it("is empty without beliefs", () => expect(tabulateLodging({ ...certain, beliefs: [] }, 0.5)).toEqual([]));
});

describe("drawLodging", () => {
  it("draws the expected share inside its band, and the chance", () => {
    const [share, chance] = drawLodging(certain, 0.5);
    expect(share!.points).toHaveLength(41);
    for (const point of share!.points) {
      expect(point.lower).toBeLessThan(point.value);
      expect(point.upper).toBeGreaterThan(point.value);
    }
    // Nine seasons in ten are above −1.281552 sd: share 1/(1 + e^1.281552) at 400.
    const at400 = share!.points.find((point) => Math.abs(point.rateSeedsPerM2 - 402.5) < 1e-9)!;
    expect(at400.lower).toBeCloseTo(1 / (1 + Math.exp(1.281552 - 0.025)), 5);
    // And one in ten above +1.281552 sd.
    expect(at400.upper).toBeCloseTo(1 / (1 + Math.exp(-1.281552 - 0.025)), 5);
    expect(chance!.points[0]!.value).toBeCloseTo(chanceOverLimit(certain, 200, 0.5)!, 12);
    expect(chance!.points[0]).toMatchObject({ lower: null, upper: null });
  });

  it("goes from the lowest tested rate to the highest", () => {
    const curves = drawLodging(certain, 0.5);
    expect(curves.map(({ kind, variety }) => [kind, variety])).toEqual([
      ["lodging", "Ostrindel"],
      ["lodging-chance", "Ostrindel"],
    ]);
    const drawn = curves[1]!.points.map(({ rateSeedsPerM2 }) => rateSeedsPerM2);
    expect([drawn[0], drawn[20], drawn[40]]).toEqual([200, 350, 500]);
  });

  it("draws the share once, whatever the limit, and the chance anew", () => {
    const [share, chance] = drawLodging(certain, 0.5);
    const [again, other] = drawLodging(certain, 0.2);
    expect(again).toBe(share);
    expect(other!.points[0]!.value).toBeGreaterThan(chance!.points[0]!.value);
  });

  it("draws nothing without beliefs", () =>
    expect(drawLodging({ ...certain, beliefs: [] }, 0.5)).toEqual([]));
});
