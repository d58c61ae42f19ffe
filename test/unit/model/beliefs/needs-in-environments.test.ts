import { determinant, inverse as inverseOf, Matrix } from "ml-matrix";
import { describe, expect, it } from "vitest";
import { normalCdf } from "../../../../src/maths/distributions.ts";
import { drawNormal, random } from "../../../../src/maths/random.ts";
import type { SeenThere } from "../../../../src/model/beliefs/fields-and-seasons.ts";
import { aboutFields } from "../../../../src/model/beliefs/needs-in-environments.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

const { priors } = defaultSettings;
const errorSd = 0.1;

/** Two fields with three varieties in many seasons, whose needs move by what they share and by what each has of its own. */
function grown(shared: number, own: number, { seasons = 40, ofSeason = 0 } = {}): SeenThere[] {
  const draw = random(1, `unrest ${shared} ${own}`);
  return Array.from({ length: seasons }, (_, season) => season).flatMap((season) => {
    const everywhere = ofSeason * drawNormal(draw);
    return ["Hill", "Bottom"].flatMap((field) => {
      const together = everywhere + (field === "Hill" ? -0.2 : 0.2) + shared * drawNormal(draw);
      return Array.from({ length: 3 }, () => ({
        environment: `${season} ${field}`,
        field,
        season,
        shift: together + Math.hypot(own, errorSd) * drawNormal(draw),
        variance: errorSd ** 2,
      }));
    });
  });
}

const shareOf = (needs: readonly SeenThere[]): number => aboutFields(needs, priors).share;

/** One over the design effect of clusters of three: 1 + (3 − 1) × the correlation within (Kish 1965, section 5.4, FROM MEMORY). */
const kish = (shared: number, own: number): number =>
  1 / (1 + (2 * shared ** 2) / (shared ** 2 + own ** 2 + errorSd ** 2));

describe("what the varieties of a field and season say by themselves", () => {
  it.each([
    [0.16, 0],
    [0.12, 0.12],
    [0.2, 0.08],
  ])("is one over the design effect where they share %f and have %f of their own", (shared, own) => {
    expect(Math.abs(shareOf(grown(shared, own)) - kish(shared, own))).toBeLessThan(0.06);
  });

  it("is nearly all where they share nothing", () => {
    expect(shareOf(grown(0, 0.16))).toBeGreaterThan(0.9);
  });

  it("is no less where a season moves all fields alike, as that tells no field from another", () => {
    const share = shareOf(grown(0, 0.16, { ofSeason: 0.3 }));
    expect(share).toBeGreaterThan(0.9);
  });

  it("is between a third and all of three where a single season cannot tell", () => {
    const share = shareOf(grown(0.1, 0, { seasons: 1 }));
    expect(share).toBeGreaterThan(1 / 3);
    expect(share).toBeLessThan(0.9);
  });

  it("is all for one variety", () => {
    const one = grown(0.2, 0).filter((_, i) => i % 3 === 0);
    expect(shareOf(one)).toBe(1);
  });
});

describe("the chance that fields differ", () => {
  it("is that of the whole covariance matrix of all needs", () => {
    const needs = uneven.map(([field, season, shift, variance]) => ({
      environment: `${season} ${field}`,
      field,
      season,
      shift,
      variance,
    }));
    expect(aboutFields(needs, priors).chanceTheyDiffer).toBeCloseTo(byCovariance(), 6);
  });

  it("is small comfort where two seasons agree by luck, and grows with every season that agrees", () => {
    const agreeing = (seasons: number): number =>
      aboutFields(
        Array.from({ length: seasons }, (_, season) => season).flatMap((season) =>
          ["Hill", "Bottom"].map((field) => ({
            environment: `${season} ${field}`,
            field,
            season,
            shift: field === "Hill" ? -0.12 : 0.12,
            variance: 0.03 ** 2,
          })),
        ),
        priors,
      ).chanceTheyDiffer;
    const chances = [1, 2, 3, 4, 6].map(agreeing);
    expect(chances).toEqual([...chances].sort((a, b) => a - b));
    expect(chances[0]).toBeLessThan(0.9);
    expect(chances[4]).toBeGreaterThan(0.99);
  });

  it("is even odds where nothing is known of a second field", () => {
    expect(
      aboutFields(
        grown(0.1, 0.1).filter(({ field }) => field === "Hill"),
        priors,
      ).chanceTheyDiffer,
    ).toBe(0.5);
  });
});

/** One variety: field, season, shift and variance, unevenly seen. */
const uneven = [
  ["Hill", 2021, -0.2, 0.01],
  ["Bottom", 2021, 0.05, 0.004],
  ["Hill", 2022, -0.05, 0.02],
  ["Flat", 2022, 0.02, 0.006],
  ["Bottom", 2023, 0.18, 0.009],
  ["Flat", 2023, 0.01, 0.015],
] as const;

/** Chance that Bottom needs more than Hill, from the normal distribution of all shifts: y ~ N(0, V), Bottom − Hill given y. */
function byCovariance(): number {
  const sds = [0, 0.04, 0.08, 0.12, 0.16, 0.2, 0.25, 0.32];
  const lastingSds = [0.02, 0.07, 0.13, 0.2, 0.3, 0.45];
  const y = Matrix.columnVector(uneven.map(([, , shift]) => shift));
  const sides = Matrix.columnVector(
    uneven.map(([field]) => (field === "Bottom" ? 1 : field === "Hill" ? -1 : 0)),
  );
  let [sum, total] = [0, 0];
  for (const own of sds)
    for (const common of sds)
      for (const lasting of lastingSds) {
        const v = new Matrix(
          uneven.map(([field, season, , variance], i) =>
            uneven.map(
              (other, j) =>
                (field === other[0] ? lasting ** 2 : 0) +
                (season === other[1] ? 0.25 : 0) +
                (i === j ? variance + own ** 2 + common ** 2 : 0),
            ),
          ),
        );
        const inverse = inverseOf(v);
        const prior =
          (own / priors.seasonSpread) ** 2 +
          (common / priors.fieldInSeasonSpread) ** 2 +
          (lasting / priors.fieldSpread) ** 2;
        const fit = y.transpose().mmul(inverse).mmul(y).get(0, 0);
        const weight = Math.exp(-0.5 * (prior + fit + Math.log(determinant(v))));
        const toShifts = sides
          .transpose()
          .mul(lasting ** 2)
          .mmul(inverse);
        const mean = toShifts.mmul(y).get(0, 0);
        const variance = 2 * lasting ** 2 - toShifts.mmul(sides).get(0, 0) * lasting ** 2;
        sum += weight * normalCdf(mean / Math.sqrt(variance));
        total += weight;
      }
  return sum / total;
}
