/** Responses on an axis of three losses, written out place by place. */
import { describe, expect, it } from "vitest";
import { riseShapes } from "../../../../src/model/forms/believable-curve.ts";
import { responseGrid } from "../../../../src/model/region/response-grid.ts";

const losses = { from: Math.log(0.05), step: Math.log(2), count: 3 };
const priors = { lossMedian: 0.08, lossSdLog: 0.8, noResponseChance: 0.05, flat: false };
/** Sds of the loss between farms, as stated beside the grid, with their weights. */
const betweenFarms = [
  { sd: 0.1, weight: 0.35 },
  { sd: 0.3, weight: 0.4 },
  { sd: 0.7, weight: 0.25 },
];
const bell = (x: number, sd: number): number => Math.exp(-0.5 * (x / sd) ** 2);
const shared = (weights: readonly number[]): number[] => {
  const total = weights.reduce((a, b) => a + b, 0);
  return weights.map((weight) => weight / total);
};
/** Losses 0.05, 0.1 and 0.2, and those between, twice as many. */
const places = [0, 0.5, 1, 1.5, 2];
const logAt = (place: number): number => losses.from + place * losses.step;

/** Seventeen losses an eighth of a step apart; each is shared by its two neighbours of the axis. */
const about = (logLoss: number, sd: number): number[] =>
  shared(
    [0, 1, 2].map((place) =>
      Array.from({ length: 17 }, (_, fine) => fine / 8).reduce(
        (sum, one) => sum + Math.max(0, 1 - Math.abs(one - place)) * bell(logAt(one) - logLoss, sd),
        0,
      ),
    ),
  );

describe("responses over farms", () => {
  it("are every rise with every sd between farms and every loss", () => {
    const { responses, noResponseChance } = responseGrid(losses, priors);
    expect(responses).toHaveLength(riseShapes.length * 3 * 5);
    expect(noResponseChance).toBe(0.05);
    let i = 0;
    riseShapes.forEach(({ share }, rise) => {
      for (const { sd, weight } of betweenFarms) {
        // Varieties are spread by what farms leave of the stated 0.8, 0.3 at least.
        const between = Math.sqrt(Math.max(0.64 - sd * sd, 0.09));
        const prior = shared(places.map((place) => bell(logAt(place) - Math.log(0.08), between)));
        places.forEach((place, l) => {
          const one = responses[i++]!;
          expect([one.rise, one.lossOnFarmSdLog]).toEqual([rise, sd]);
          expect(one.logLoss).toBeCloseTo(logAt(place), 12);
          expect(one.prior).toBeCloseTo(share * weight * prior[l]!, 12);
          about(logAt(place), sd).forEach((wanted, at) =>
            expect(one.lossesOnFarm[at]).toBeCloseTo(wanted, 12),
          );
        });
      }
    });
  });

  it("differ between varieties by 0.3 at least, where farms take all of the stated spread", () => {
    const narrow = responseGrid(losses, { ...priors, lossSdLog: 0.5 }).responses.slice(10, 15);
    const prior = shared(places.map((place) => bell(logAt(place) - Math.log(0.08), 0.3)));
    narrow.forEach((one, l) => expect(one.prior).toBeCloseTo(riseShapes[0]!.share * 0.25 * prior[l]!, 12));
  });

  it("have every loss as likely where priors are flat", () => {
    for (const { rise, lossOnFarmSdLog, prior } of responseGrid(losses, { ...priors, flat: true })
      .responses) {
      const { weight } = betweenFarms.find(({ sd }) => sd === lossOnFarmSdLog)!;
      expect(prior).toBeCloseTo((riseShapes[rise]!.share * weight) / 5, 12);
    }
  });
});
