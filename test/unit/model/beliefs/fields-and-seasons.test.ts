import { inverse, Matrix } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { fieldsUnderSds, type SeenThere } from "../../../../src/model/beliefs/fields-and-seasons.ts";

const seen = (
  [
    ["Hill", 2020, -0.2, 0.01],
    ["Bottom", 2020, 0.1, 0.02],
    ["Hill", 2021, -0.1, 0.04],
    ["Hill", 2021, -0.3, 0.03],
    ["Flat", 2021, 0.05, 0.01],
  ] as const
).map(([field, season, shift, variance]): SeenThere => ({
  environment: `${season} ${field}`,
  field,
  season,
  shift,
  variance,
}));
const fields = ["Hill", "Bottom", "Flat"];
const only = { own: 0.1, common: 0.15, lasting: 0.25 };
/** The sd of the seasons, as stated beside the model. */
const ofSeason = 0.5;

/**
 * Best linear prediction from the whole covariance matrix V of what was seen: C V⁻¹ y with covariance D − C V⁻¹ C′, where C is
 * the covariance with what lasts on each field (Henderson 1975, Biometrics 31:423, has the two ways alike).
 */
function byCovariance(): { lasts: Matrix; covariance: Matrix } {
  const alike = (a: boolean, sd: number): number => (a ? sd ** 2 : 0);
  const ofSeen = seen.map((a, i) =>
    seen.map(
      (b, j) =>
        alike(a.field === b.field, only.lasting) +
        alike(a.season === b.season, ofSeason) +
        alike(a.environment === b.environment, only.common) +
        (i === j ? only.own ** 2 + a.variance : 0),
    ),
  );
  const withSeen = new Matrix(
    fields.map((field) => seen.map((one) => alike(one.field === field, only.lasting))),
  );
  const weights = withSeen.mmul(inverse(new Matrix(ofSeen)));
  return {
    lasts: weights.mmul(Matrix.columnVector(seen.map(({ shift }) => shift))),
    covariance: Matrix.eye(fields.length)
      .mul(only.lasting ** 2)
      .sub(weights.mmul(withSeen.transpose())),
  };
}

describe("how far a field lasts above the mean of all", () => {
  it("is the best linear prediction, where the sds are known", () => {
    const [at, ...more] = fieldsUnderSds(
      seen,
      fields,
      { own: [only.own], common: [only.common], lasting: [only.lasting] },
      { own: 1, common: 1, lasting: 1 },
    );
    expect(more).toEqual([]);
    expect(at!.weight).toBe(1);
    const { lasts, covariance } = byCovariance();
    fields.forEach((_, f) => {
      const contrast = Matrix.rowVector(fields.map((_field, g) => (f === g ? 1 : 0) - 1 / fields.length));
      const { mean, variance } = at!.aboveMean()[f]!;
      expect(mean).toBeCloseTo(contrast.mmul(lasts).get(0, 0), 12);
      expect(variance).toBeCloseTo(contrast.mmul(covariance).mmul(contrast.transpose()).get(0, 0), 12);
    });
  });

  it("stays a number where very many seasons agree to the last digits", () => {
    const years = Array.from({ length: 300 }, (_, year) =>
      ["Hill", "Bottom"].map((field) => [field, year] as const),
    );
    const many = years.flat().map(([field, season]) => ({
      environment: `${season} ${field}`,
      field,
      season,
      shift: 0,
      variance: 1e-6,
    }));
    const sds = { own: [0], common: [0], lasting: [0.1] };
    const [at] = fieldsUnderSds(many, ["Hill", "Bottom"], sds, { own: 1, common: 1, lasting: 1 });
    expect(at!.weight).toBe(1);
  });
});
