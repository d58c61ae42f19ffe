/**
 * A covariate of six fields with two blocks of five rates each. Where all fields have the same rates, the change of the slope
 * with the covariate is a regression of the fields' own slopes, with four degrees of freedom.
 */
import { describe, expect, it } from "vitest";
import { environmentId } from "../../../../src/vocabulary/environments.ts";
import { fitPooledForm } from "../../../../src/model/pooled/fit-pooled-form.ts";
import { relateToSeasons } from "../../../../src/model/pooled/season-covariates.ts";
import { layOutTrial } from "../../../../src/model/pooled/trial-layout.ts";
import type { SeasonCovariate } from "../../../../src/vocabulary/pooled-result.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import type { Strip } from "../../../../src/vocabulary/trial.ts";
import { makeTrial } from "../../../make-trial.ts";

const us = [-1, -0.5, 0, 0.5, 1];
const water = [310, 240, 180, 265, 390, 205];
const days = [75, 82, 60, 91, 70, 66];
/** Level, and how far the slope is from what goes with the water. */
const levels = [300, -200, 150, -350, 420, -60];
const unlike = [25, -18, -30, 34, -12, 21];

interface Grown {
  season?: (field: number) => number;
  change?: number;
  bend?: number;
  /** How far each field's slope is from what goes with the water. */
  own?: readonly number[];
  scatter?: number;
  /** By which a field's rates lie above the others'. */
  above?: (field: number) => number;
  more?: (field: number) => Partial<Strip>;
}
const grown = ({
  season = (field) => 2018 + field,
  change = 1,
  bend = -200,
  own = unlike,
  scatter = 20,
  above = () => 0,
  more = (field) => ({ waterMm: water[field]! }),
}: Grown = {}): Strip[] => {
  let i = 0;
  return makeTrial(
    water.flatMap((mm, field) =>
      [0, 1].flatMap((block) =>
        us
          .map((one) => one + above(field))
          .map((u) => ({
            season: season(field),
            field: `Field ${field}`,
            block: `${block}`,
            rateSeedsPerM2: 300 + 150 * u,
            yieldKgPerHa:
              4000 +
              levels[field]! +
              120 * (block - 0.5) * (field % 2 === 0 ? 1 : -1) +
              (30 + change * (mm - 265) + own[field]!) * u +
              bend * u * u +
              scatter * Math.sin(12.9898 * ++i),
            ...more(field),
          })),
      ),
    ),
  ).strips;
};

function related(strips: readonly Strip[]): SeasonCovariate[] {
  const environments = [...new Set(strips.map(environmentId))];
  const varieties = [...new Set(strips.map(({ variety }) => variety))];
  const each = varieties.flatMap((variety) => environments.map((environment) => ({ variety, environment })));
  const cells = each.map(({ variety, environment }) => ({
    variety,
    environment,
    withinCellSs: 0,
    cells: strips
      .filter((strip) => strip.variety === variety && environmentId(strip) === environment)
      .map(({ block, rateSeedsPerM2, yieldKgPerHa }) => ({
        block,
        rateSeedsPerM2,
        strips: 1,
        meanYieldKgPerHa: yieldKgPerHa,
      })),
  }));
  const layout = layOutTrial(cells)!;
  const seasonOf = new Map(strips.map((strip) => [environmentId(strip), strip.season]));
  const quadratic = fitPooledForm(layout, "quadratic", "own", "REML");
  return relateToSeasons(layout, quadratic, cells, strips, "none", seasonOf, defaultSettings);
}
const relatedTo = (strips: readonly Strip[], name: SeasonCovariate["covariate"]) =>
  related(strips).find(({ covariate }) => covariate === name);

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);
const yieldsOf = (strips: readonly Strip[], field: number): number[] =>
  strips.slice(10 * field, 10 * field + 10).map(({ yieldKgPerHa }) => yieldKgPerHa);

/** The regression of fields' slopes on the covariate, and the bend of all, by sums. */
function bySums(strips: readonly Strip[], values: readonly number[]) {
  const fields = values.map((_, field) => yieldsOf(strips, field));
  // Σ u² over ten strips is 5, and Σ (u² − 0.5)² over sixty 10.5.
  const slopes = fields.map((yields) => sum(yields.map((y, k) => us[k % 5]! * y)) / 5);
  const bend = sum(fields.flatMap((yields) => yields.map((y, k) => (us[k % 5]! ** 2 - 0.5) * y))) / 10.5;
  const middle = sum(values) / 6;
  const square = sum(values.map((value) => (value - middle) ** 2));
  const change = sum(values.map((value, f) => (value - middle) * slopes[f]!)) / square;
  const mean = sum(slopes) / 6;
  const left = sum(values.map((value, f) => (slopes[f]! - mean - change * (value - middle)) ** 2)) / 4;
  // What blocks, slopes and the bend leave, on 60 − 12 − 6 − 1 degrees.
  const residuals = fields.flatMap((yields, f) =>
    yields.map((y, k) => {
      const block = yields.slice(k < 5 ? 0 : 5, k < 5 ? 5 : 10);
      return y - sum(block) / 5 - slopes[f]! * us[k % 5]! - bend * (us[k % 5]! ** 2 - 0.5);
    }),
  );
  const error = sum(residuals.map((one) => one ** 2)) / 41;
  return { change, changeVariance: left / square, bend, bendVariance: error / 10.5 };
}

/** Both tails of t on four degrees, from the sine of its angle. */
function bothTails(t: number): number {
  const angle = Math.atan(Math.abs(t) / 2);
  return 1 - Math.sin(angle) * (1 + Math.cos(angle) ** 2 / 2);
}

describe("what the best rate moves with, by sums", () => {
  const strips = grown();
  const byHand = bySums(strips, water);
  const toWater = () => relatedTo(strips, "water")!;

  it("is the regression of the fields' slopes on the water", () => {
    const found = toWater();
    expect([found.unit, found.environments]).toEqual(["mm", 6]);
    expect(found.mean).toBeCloseTo(265, 9);
    // A quarter of the way from the second to the third of six, 205 and 240, and from the fifth back to the fourth, 310 and 265.
    expect([found.low, found.high]).toEqual([213.75, 298.75]);
    const { slopeChange } = found;
    expect(slopeChange.estimate).toBeCloseTo(byHand.change / 150, 8);
    expect(slopeChange.standardError / (Math.sqrt(byHand.changeVariance) / 150)).toBeCloseTo(1, 3);
    expect(slopeChange.df).toBeCloseTo(4, 2);
    expect(slopeChange.p).toBeCloseTo(bothTails(byHand.change / Math.sqrt(byHand.changeVariance)), 5);
    expect(found.supported).toBe(true);
  });

  it("moves the top by half of the change over the bend, within Fieller's interval", () => {
    const { estimate, lower, upper } = toWater().optimumChange!;
    expect(estimate).toBeCloseTo((-150 * byHand.change) / (2 * byHand.bend), 6);
    // At both ends the ratio is as far from what was found as the level of the interval has it.
    for (const end of [lower, upper]) {
      const ratio = (-2 * end) / 150;
      const t =
        (byHand.change - ratio * byHand.bend) /
        Math.sqrt(byHand.changeVariance + ratio ** 2 * byHand.bendVariance);
      expect(bothTails(t)).toBeCloseTo(1 - defaultSettings.intervalLevels[1], 4);
    }
    expect(lower).toBeLessThan(estimate);
    expect(upper).toBeGreaterThan(estimate);
  });

  it("is related to the mean yield of a field too, and to the mean day of seeding", () => {
    const seeded = grown({
      more: (field) => ({
        seeded: new Date(Date.UTC(2018 + field, 0, 1 + days[field]!)).toISOString().slice(0, 10),
      }),
    });
    const ofDays = relatedTo(seeded, "seeding-day")!;
    expect(ofDays.unit).toBe("days");
    expect(ofDays.mean).toBeCloseTo(sum(days) / 6, 9);
    expect(ofDays.slopeChange.estimate).toBeCloseTo(bySums(seeded, days).change / 150, 6);
    const means = levels.map((_, field) => sum(yieldsOf(seeded, field)) / 10);
    const ofLevels = relatedTo(seeded, "yield-level")!;
    expect([ofLevels.unit, ofLevels.environments]).toEqual(["kg/ha", 6]);
    expect(ofLevels.mean).toBeCloseTo(sum(means) / 6, 6);
    const [, second, third] = [...means].sort((a, b) => a - b);
    expect(ofLevels.low).toBeCloseTo(0.75 * second! + 0.25 * third!, 6);
    expect(ofLevels.slopeChange.estimate).toBeCloseTo(bySums(seeded, means).change / 150, 6);
    expect(relatedTo(seeded, "water")).toBeUndefined();
  });

  it("takes the mean of what is known of a field, and the fields that know anything", () => {
    let i = 0;
    const some = grown({
      more: (field) => ({ waterMm: field > 3 || ++i % 2 === 0 ? null : water[field]! + (++i % 4) }),
    });
    const known = [0, 1, 2, 3].map((field) => {
      const mm = some.slice(10 * field, 10 * field + 10).flatMap(({ waterMm }) => waterMm ?? []);
      return sum(mm) / mm.length;
    });
    const four = relatedTo(some, "water")!;
    expect(four.environments).toBe(4);
    expect(four.mean).toBeCloseTo(sum(known) / 4, 9);
    expect(four.slopeChange.df).toBeLessThanOrEqual(2 + 1e-9);
    const three = grown({ more: (field) => ({ waterMm: field > 2 ? null : water[field]! }) });
    expect(relatedTo(three, "water")).toBeUndefined();
  });

  it("is not asked where all fields have the same", () => {
    expect(relatedTo(grown({ more: () => ({ waterMm: 300 }) }), "water")).toBeUndefined();
  });

  it("has no top to move where yields bend upward, and is not shown where slopes differ by themselves", () => {
    const upward = relatedTo(grown({ bend: 200 }), "water")!;
    expect([upward.optimumChange, upward.supported]).toEqual([null, false]);
    const still = relatedTo(grown({ change: 0 }), "water")!;
    expect(still.slopeChange.p).toBeGreaterThan(0.1);
    expect(still.supported).toBe(false);
    expect(still.optimumChange!.lower).toBeLessThan(0);
    expect(still.optimumChange!.upper).toBeGreaterThan(0);
  });

  it("is over the mean bend of the varieties that have one", () => {
    const alder = grown();
    const birch = grown({ bend: -400, scatter: 11 }).map((strip) => ({ ...strip, variety: "Birch" }));
    const both = alder.map((strip, i) => ({
      ...strip,
      yieldKgPerHa: (strip.yieldKgPerHa + birch[i]!.yieldKgPerHa) / 2,
    }));
    const mean = bySums(both, water);
    const top = (-150 * mean.change) / (2 * mean.bend);
    expect(relatedTo([...alder, ...birch], "water")!.optimumChange!.estimate).toBeCloseTo(top, 4);
    // Birch at two rates has a slope alone: then the bend is Alder's.
    const straight = birch.filter(({ rateSeedsPerM2: rate }) => rate === 150 || rate === 450);
    const { estimate } = relatedTo([...alder, ...straight], "water")!.optimumChange!;
    expect(Math.abs(estimate / ((-150 * byHand.change) / (2 * byHand.bend)) - 1)).toBeLessThan(0.1);
  });

  it("has no interval where the bend itself may be none", () => {
    const nearlyStraight = grown({ bend: -3, scatter: 60 });
    const { bend, bendVariance } = bySums(nearlyStraight, water);
    expect(bend).toBeLessThan(0);
    expect(bothTails(bend / Math.sqrt(bendVariance))).toBeGreaterThan(0.2);
    const straight = relatedTo(nearlyStraight, "water")!;
    expect([straight.optimumChange, straight.supported]).toEqual([null, false]);
  });

  it("has a field's yield at the mean rate, whatever rates it was grown at", () => {
    // Hardly any scatter and no slopes of their own: what is left of a field are its level and the blocks' two halves.
    const sown = grown({
      scatter: 0.01,
      change: 0,
      own: [0, 0, 0, 0, 0, 0],
      above: (field) => (field === 0 ? 0.4 : 0),
    });
    const { low, high } = relatedTo(sown, "yield-level") ?? { low: 0, high: 0 };
    // Levels in order −350, −200, −60, 150, 300, 420.
    expect(high - low).toBeCloseTo(0.75 * 300 + 0.25 * 150 - (0.75 * -200 + 0.25 * -60), 0);
  });

  it("is a regression of the seasons' slopes where fields share the water of a season", () => {
    const season = (field: number): number => 2020 + (field % 3);
    const shared = [200, 300, 420];
    const ofSeasons = grown({
      season,
      change: 0,
      own: [60, -70, 30, 70, -60, 20],
      more: (field) => ({ waterMm: shared[field % 3]! }),
    });
    const slopes = water.map((_, field) => sum(yieldsOf(ofSeasons, field).map((y, k) => us[k % 5]! * y)) / 5);
    const means = [0, 1, 2].map((one) => (slopes[one]! + slopes[one + 3]!) / 2);
    const middle = sum(shared) / 3;
    const square = sum(shared.map((mm) => (mm - middle) ** 2));
    const change = sum(shared.map((mm, i) => (mm - middle) * means[i]!)) / square;
    const left = sum(shared.map((mm, i) => (means[i]! - sum(means) / 3 - change * (mm - middle)) ** 2));
    const { estimate, standardError, df } = relatedTo(ofSeasons, "water")!.slopeChange;
    expect(estimate).toBeCloseTo(change / 150, 7);
    // Three seasons less two.
    expect(standardError / (Math.sqrt(left / square) / 150)).toBeCloseTo(1, 3);
    expect(df).toBeCloseTo(1, 2);
  });

  it("has the degrees of the seasons where water differs between seasons, and of fields where it does not", () => {
    const season = (field: number): number => 2020 + (field % 3);
    const ofSeasons = grown({ season, more: (field) => ({ waterMm: [200, 300, 420][field % 3]! + field }) });
    expect(relatedTo(ofSeasons, "water")!.slopeChange.df).toBeLessThanOrEqual(1);
    const ofFields = grown({
      season,
      more: (field) => ({ waterMm: [200, 420][field < 3 ? 0 : 1]! + field }),
    });
    const { df } = relatedTo(ofFields, "water")!.slopeChange;
    expect(df).toBeGreaterThan(1);
    expect(df).toBeLessThanOrEqual(4);
    // Two seasons have no degree left.
    const two = grown({
      season: (field) => 2020 + (field % 2),
      more: (field) => ({ waterMm: [200, 420][field % 2]! + field }),
    });
    expect(relatedTo(two, "water")).toBeUndefined();
  });
});
