/** What a farm's varieties have in common, by hand on an axis of three needs. */
import { describe, expect, it } from "vitest";
import { farmGrounds, farmGroundWeights } from "../../../../src/model/beliefs/common-ground.ts";

const needs = { from: Math.log(200), step: Math.log(1.5), count: 3 };
const sds = [0.03, 0.08, 0.15, 0.25, 0.4];
const priors = { needSdLog: 0.5, needBetweenSdLog: 0.3 };

/** Weights of the five sds by a half-normal of 0.3, and of the three centres by a normal of so much about a log need. */
function byHand(centreSd: number, logNeed: number): number[] {
  const ofSds = sds.map((sd) => Math.exp(-(sd ** 2) / (2 * 0.3 ** 2)));
  const ofCentres = [200, 300, 450].map((need) =>
    Math.exp(-((Math.log(need) - logNeed) ** 2) / (2 * centreSd ** 2)),
  );
  const products = ofSds.flatMap((ofSd) => ofCentres.map((ofCentre) => ofSd * ofCentre));
  const total = products.reduce((a, b) => a + b, 0);
  return products.map((one) => one / total);
}

describe("the grounds of a farm", () => {
  it("are each sd between varieties about each need of the axis, for every variety the same", () => {
    const grounds = farmGrounds(needs);
    const parts = grounds.map(({ needOf }) => needOf("Alder"));
    expect(parts).toHaveLength(15);
    sds.forEach((sd, i) =>
      [200, 300, 450].forEach((need, j) => {
        const [part, ...rest] = parts[3 * i + j]!;
        expect(rest).toEqual([]);
        expect(part).toMatchObject({ weight: 1, sd });
        expect(Math.exp(part!.logNeed)).toBeCloseTo(need, 9);
      }),
    );
  });

  it("are weighed so that the centre and the varieties about it have the stated spread together", () => {
    // 0.5² = 0.4² + 0.3².
    const weights = farmGroundWeights(needs, priors, false, 250);
    byHand(0.4, Math.log(250)).forEach((weight, i) => expect(weights[i]).toBeCloseTo(weight, 12));
  });

  it("let the centre move by 5 % at least", () => {
    const weights = farmGroundWeights(needs, { ...priors, needSdLog: 0.3 }, false, 290);
    byHand(0.05, Math.log(290)).forEach((weight, i) => expect(weights[i]).toBeCloseTo(weight, 12));
  });

  it("have every centre alike where needs are even", () => {
    const weights = farmGroundWeights(needs, priors, true, 250);
    byHand(Infinity, 0).forEach((weight, i) => expect(weights[i]).toBeCloseTo(weight, 12));
  });
});
