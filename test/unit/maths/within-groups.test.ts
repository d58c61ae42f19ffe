import { describe, expect, it } from "vitest";
import { fitWithinGroups } from "../../../src/maths/within-groups.ts";
import { meanOfRandom } from "../../../src/maths/random-effects.ts";
import { satterthwaiteDf } from "../../../src/maths/satterthwaite-df.ts";

const near = (value: number): number => expect.closeTo(value, 6) as number;

describe("one slope within groups", () => {
  const groups = [0, 0, 0, 1, 1, 1];
  const y = [0, 1, 5, 10, 13, 13];

  it("is Σ xy ÷ Σ xx about the groups' means, with Student's test", () => {
    // About means of 1 and of 2 and 12: xx 4, xy 5 + 3, yy 14 + 6. Left over 20 − 8² ÷ 4 = 4 on 6 − 2 − 1 df, 4/3; standard
    // error √(4/3 ÷ 4). t = 2 √3; with 3 df p = 1 − 2/π × (θ + sin θ cos θ) where tan θ = t ÷ √3 = 2: 1.1071487 + 0.4.
    expect(fitWithinGroups(groups, [0, 1, 2, 0, 1, 2], y, 2)).toEqual({
      slope: {
        estimate: 2,
        standardError: near(Math.sqrt(1 / 3)),
        t: near(3.464102),
        df: 3,
        p: near(0.0405193),
      },
      residualVariance: near(4 / 3),
      residualDf: 3,
      groups: [
        { count: 3, meanX: 1, meanY: 2 },
        { count: 3, meanX: 1, meanY: 12 },
      ],
    });
  });

  it("is none where x stands still within the groups: then 20 is left over on 6 − 2 df", () => {
    expect(fitWithinGroups(groups, [1, 1, 1, 2, 2, 2], y, 2)).toMatchObject({
      slope: null,
      residualVariance: 5,
      residualDf: 4,
    });
  });

  it("is none where nothing is left to tell the error", () => {
    expect(fitWithinGroups([0, 0], [0, 1], [1, 2], 1)).toMatchObject({
      slope: null,
      residualVariance: null,
      residualDf: 0,
    });
  });

  it("is certain where the points lie on it", () => {
    const certain = (yields: number[]) => fitWithinGroups([0, 0, 1, 1], [0, 1, 0, 1], yields, 2).slope;
    expect(certain([0, 2, 5, 7])).toEqual({ estimate: 2, standardError: 0, t: 0, df: 1, p: 0 });
    expect(certain([1, 1, 5, 5])).toEqual({ estimate: 0, standardError: 0, t: 0, df: 1, p: 1 });
  });
});

describe("values of several places", () => {
  it("differ by their variance less the error's, and are drawn to their mean by the error's share", () => {
    // 1 and 3 have the variance 2, of which 0.01 is error; 1.99 ÷ 2 of 1 is left of each distance.
    expect(meanOfRandom([1, 3], [0.01, 0.01])).toEqual({
      mean: near(2),
      variance: near(1),
      between: near(1.99),
      shrunk: [near(1.005), near(2.995)],
    });
  });

  it("are one where they differ by less than their errors", () => {
    // Weights 1 and 1/3: mean (1 + 1.4 ÷ 3) ÷ (4/3) = 1.1, variance 3/4.
    expect(meanOfRandom([1, 1.4], [1, 3])).toEqual({
      mean: near(1.1),
      variance: near(0.75),
      between: 0,
      shrunk: [near(1.1), near(1.1)],
    });
  });

  it("tell nothing of a variance where there is one", () => {
    expect(meanOfRandom([5], [2])).toEqual({ mean: 5, variance: 2, between: 0, shrunk: [5] });
  });
});

it("degrees of freedom of a variance are twice its square over what is uncertain of it", () => {
  // 1² × 1 + 2 × (1 × 2 × 0.5) + 2² × 2 = 11.
  expect(
    satterthwaiteDf(
      3,
      [1, 2],
      [
        [1, 0.5],
        [0.5, 2],
      ],
    ),
  ).toBeCloseTo(18 / 11, 12);
  expect(satterthwaiteDf(3, [0], [[1]])).toBeNull();
  expect(satterthwaiteDf(0, [1], [[1]])).toBeNull();
});
