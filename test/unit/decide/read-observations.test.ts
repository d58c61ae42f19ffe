import { describe, expect, it } from "vitest";
import { readObservations } from "../../../src/decide/read-observations.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";

type Seen = Parameters<typeof readObservations>[0];
const nothing = {
  stand: [],
  farmStand: null,
  tillering: [],
  protein: [],
  lodgingModels: [],
  fits: [],
};
const read = (seen: object): ReturnType<typeof readObservations> =>
  readObservations({ ...nothing, ...seen } as unknown as Seen, defaultSettings);
const standOf = (variety: string, environment: string | null) => ({
  variety,
  environment,
  counts: 9,
  standLoss: 0.1,
  lower: null,
  upper: null,
});

describe("the curve of stands", () => {
  it("goes from the lowest to the highest of 300,000 rates, more than a call has room for", () => {
    const many = Array.from({ length: 300_000 }, (_, index) => 50 + ((index * 7919) % 300_000) / 1_000);
    const [curve] = read({
      stand: [standOf("Ost", null)],
      fits: [{ variety: "Ost", ratesSeedsPerM2: many }],
    }).curves;
    expect(curve!.points[0]!.rateSeedsPerM2).toBe(50);
    expect(curve!.points.at(-1)!.rateSeedsPerM2).toBeCloseTo(349.999, 9);
  });

  it("is drawn once for each variety, over the rates of its own fits", () => {
    const { curves } = read({
      stand: [standOf("Ost", "2024 Home"), standOf("Ost", null), standOf("West", null)],
      fits: [
        { variety: "West", ratesSeedsPerM2: [100, 500] },
        { variety: "Ost", ratesSeedsPerM2: [250, 300] },
        { variety: "Ost", ratesSeedsPerM2: [200, 280] },
      ],
    });
    expect(
      curves.map(({ kind, variety, points }) => [
        kind,
        variety,
        points[0]!.rateSeedsPerM2,
        points.at(-1)!.rateSeedsPerM2,
      ]),
    ).toEqual([
      ["stand", "Ost", 200, 300],
      ["stand", "West", 100, 500],
    ]);
  });
});

describe("heads", () => {
  it("are drawn as counted, without a band", () => {
    const tillering = [
      {
        variety: "Ost",
        rates: [
          { rateSeedsPerM2: 200, headsPerM2: 510 },
          { rateSeedsPerM2: 300, headsPerM2: 560 },
        ],
      },
    ];
    expect(read({ tillering }).curves).toEqual([
      {
        kind: "heads",
        variety: "Ost",
        environment: null,
        points: [
          { rateSeedsPerM2: 200, value: 510, lower: null, upper: null },
          { rateSeedsPerM2: 300, value: 560, lower: null, upper: null },
        ],
      },
    ]);
  });
});

describe("lodging", () => {
  it("is a table and two curves of each variety whose scores say anything", () => {
    const belief = {
      weight: 1,
      level: 0,
      slope: 0.01,
      levelVariance: 0,
      slopeVariance: 1e-12,
      covariance: 0,
      seasonVariance: 1,
    };
    const lodging = {
      variety: "Ost",
      scale: "zero-to-nine",
      strips: 6,
      testedSeedsPerM2: [200, 400],
      centreSeedsPerM2: 300,
      chanceOfAny: 1,
      beliefs: [belief],
      reason: "",
      seen: [
        {
          environment: "2024",
          season: 2024,
          rates: [
            { rateSeedsPerM2: 200, strips: 3, share: 0.2 },
            { rateSeedsPerM2: 400, strips: 3, share: 0.6 },
          ],
        },
      ],
    };
    const upright = { ...lodging, variety: "West", beliefs: [], reason: "never-lodged" };
    const seen = read({ lodgingModels: [{ varieties: [lodging, upright] }] });
    expect(seen.curves.map(({ kind, variety }) => [kind, variety])).toEqual([
      ["lodging", "Ost"],
      ["lodging-chance", "Ost"],
    ]);
    expect(seen.lodging.map(({ rateSeedsPerM2, seenShare }) => [rateSeedsPerM2, seenShare])).toEqual([
      [200, 0.2],
      [400, 0.6],
    ]);
    // The limit of the settings is 0.3, log odds −0.8473. At 400 the log odds are 1: 1.8473 standard deviations above it,
    // 0.968 of the seasons (normal table).
    expect(seen.lodging[1]!.chanceOverLimit).toBeCloseTo(0.968, 3);
  });
});
