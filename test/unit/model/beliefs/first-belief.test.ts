/** What is believed without any strips: places of the sequence by hand, and shares held to the stated priors. */
import { describe, expect, it } from "vitest";
import { firstBelief } from "../../../../src/model/beliefs/first-belief.ts";
import { statedResponse } from "../../../../src/model/beliefs/lean-on-region.ts";
import type { BelievableCurve } from "../../../../src/vocabulary/result.ts";
import { defaultSettings, type Settings } from "../../../../src/vocabulary/settings.ts";

const withPriors = (some: Partial<Settings["priors"]>): Settings => ({
  ...defaultSettings,
  priors: { ...defaultSettings.priors, needSeedsPerM2: 300, ...some },
});
const settings = withPriors({ needSdLog: 0.3, needBetweenSdLog: 0.15, noResponseChance: 0.05 });

const responding = (curves: readonly BelievableCurve[]): BelievableCurve[] =>
  curves.filter(({ loss }) => loss > 0);
const shareOf = (curves: readonly BelievableCurve[], where: (one: BelievableCurve) => boolean): number =>
  curves.filter(where).length / curves.length;

/** Thirds of a normal distribution lie 0.4307 sds off its middle, a ninth 1.2206 (any table of the normal distribution). */
const oneThird = 0.43073;
const oneNinth = 1.22064;

/** Logs of the first three needs, which lie at 1/3, 2/3 and 1/9 of their distribution. */
function expectNeeds(curves: readonly BelievableCurve[], logNeed: number, sd: number): void {
  const logs = responding(curves).map(({ needSeedsPerM2 }) => Math.log(needSeedsPerM2));
  [-oneThird, oneThird, -oneNinth].forEach((z, i) => expect(logs[i]).toBeCloseTo(logNeed + z * sd, 4));
}

describe("what is believed without strips", () => {
  it("is no response as often as stated, and else curves of one weight", () => {
    const curves = firstBelief(settings, []);
    // 5% of 300 are 15, held in one curve.
    expect(curves).toHaveLength(1 + 285);
    expect(curves[0]).toMatchObject({
      shape: 0,
      loss: 0,
      decline: 0,
      shoulder: 0,
      seasonSpread: 0,
      place: 0,
    });
    expect(curves[0]!.weight).toBeCloseTo(0.05, 12);
    expect(curves[0]!.needSeedsPerM2).toBeCloseTo(300, 9);
    for (const one of curves.slice(1)) expect(one.weight).toBeCloseTo(1 / 300, 12);
    expect(firstBelief(withPriors({ noResponseChance: 0 }), [])).toHaveLength(300);
  });

  it("has its need about the stated one", () => {
    expectNeeds(firstBelief(settings, []), Math.log(300), 0.3);
  });

  it("has its need about the middle of the farm's others, as unlike them as they are to each other", () => {
    const curve = (weight: number, needSeedsPerM2: number): BelievableCurve => ({
      ...firstBelief(settings, [])[0]!,
      weight,
      needSeedsPerM2,
    });
    // Means of the log needs: a quarter of 240 and three of 320; 400 alone, whatever it weighs.
    const others = [{ curves: [curve(0.1, 240), curve(0.3, 320)] }, { curves: [curve(0.4, 400)] }];
    const first = 0.25 * Math.log(240) + 0.75 * Math.log(320);
    // 0.15² between varieties, and half of that for the mean of two.
    expectNeeds(firstBelief(settings, others), (first + Math.log(400)) / 2, 0.15 * Math.sqrt(1.5));
  });

  it("has its need between the stated one and a rate that came with the variety", () => {
    const need = [{ weight: 1, logNeed: Math.log(300), sd: 0.3 }];
    const curves = firstBelief(settings, [], need, { logNeed: Math.log(400), sd: 0.4 });
    // Weights 1 / 0.09 and 1 / 0.16: 0.64 and 0.36; sd √(1 / (1 / 0.09 + 1 / 0.16)) = 0.24.
    expectNeeds(curves, 0.64 * Math.log(300) + 0.36 * Math.log(400), 0.24);
    expect(curves[0]!.needSeedsPerM2).toBeCloseTo(300 ** 0.64 * 400 ** 0.36, 9);
  });

  it("has rises, losses and spreads of seasons as often as stated", () => {
    const curves = responding(firstBelief(settings, []));
    [0.2, 0.2, 0.1, 0.25, 0.15, 0.1].forEach((share, shape) =>
      expect(Math.abs(shareOf(curves, (one) => one.shape === shape) - share)).toBeLessThan(0.01),
    );
    // Half of a log-normal prior lies below its median of 0.08, and the same of those that may fall never do.
    expect(Math.abs(shareOf(curves, ({ loss }) => loss < 0.08) - 0.5)).toBeLessThan(0.05);
    const mayFall = curves.filter(({ shape }) => shape !== 2 && shape !== 4);
    expect(Math.abs(shareOf(mayFall, ({ decline }) => decline === 0) - 0.5)).toBeLessThan(0.03);
    const bells = [0, 0.06, 0.12, 0.2].map((spread) => Math.exp(-(spread ** 2) / (2 * 0.1 ** 2)));
    const total = bells.reduce((a, b) => a + b, 0);
    [0, 0.06, 0.12, 0.2].forEach((spread, i) =>
      expect(
        Math.abs(shareOf(curves, (one) => one.seasonSpread === spread) - bells[i]! / total),
      ).toBeLessThan(0.01),
    );
  });

  it("has every rise, loss and spread as often where priors are even", () => {
    const curves = responding(firstBelief(withPriors({ flat: true }), []));
    for (const shape of [0, 1, 2, 3, 4, 5])
      expect(Math.abs(shareOf(curves, (one) => one.shape === shape) - 1 / 6)).toBeLessThan(0.01);
    for (const spread of [0, 0.06, 0.12, 0.2])
      expect(Math.abs(shareOf(curves, (one) => one.seasonSpread === spread) - 1 / 4)).toBeLessThan(0.01);
    expect(Math.abs(shareOf(curves, ({ loss }) => loss < 0.08) - 0.5)).toBeLessThan(0.03);
  });

  it("answers at each need as the region has it there", () => {
    const stated = statedResponse(settings.priors);
    // At a low need only the first rise, which loses more; at a high one as stated.
    const low = {
      ...stated,
      rises: [1, 0, 0, 0, 0, 0],
      lossMedian: 0.3,
      lossSdLog: 0.2,
      noDeclineChance: 0.9,
    };
    const curves = responding(
      firstBelief(
        settings,
        [],
        [
          { weight: 0.3, logNeed: Math.log(200), sd: 0.02, response: low },
          { weight: 0.7, logNeed: Math.log(400), sd: 0.02, response: stated },
        ],
      ),
    );
    const [thin, thick] = [
      curves.filter(({ needSeedsPerM2 }) => needSeedsPerM2 < 280),
      curves.filter(({ needSeedsPerM2 }) => needSeedsPerM2 >= 280),
    ];
    expect(Math.abs(thin.length / curves.length - 0.3)).toBeLessThan(0.01);
    expect(shareOf(thin, ({ shape }) => shape === 0)).toBe(1);
    expect(Math.abs(shareOf(thin, ({ decline }) => decline === 0) - 0.9)).toBeLessThan(0.03);
    const meanLog = thin.reduce((sum, { loss }) => sum + Math.log(loss) / thin.length, 0);
    expect(Math.exp(meanLog) / 0.3).toBeCloseTo(1, 1);
    expect(Math.abs(shareOf(thick, ({ shape }) => shape === 0) - 0.2)).toBeLessThan(0.02);
  });
});
