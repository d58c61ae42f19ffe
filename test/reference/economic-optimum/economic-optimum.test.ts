/** Optima of published trials, in their own units: the price ratio is all that a rate needs to know of money. */
import { describe, expect, it } from "vitest";
import { indexOfLargest } from "../../../src/maths/weighted-quantiles.ts";
import { netOf } from "../../../src/decide/rate/net-return.ts";
import { findOptimum } from "../../../src/decide/optima/optimum.ts";
import { priceRatio } from "../../../src/decide/optima/price-ratio.ts";
import { tQuantile } from "../../../src/maths/distributions.ts";
import { fiellerSet } from "../../../src/maths/fieller.ts";
import { fitParabola } from "../../../src/maths/parabola.ts";
import { fitSeasons } from "../../../src/model/seasons/fit-seasons.ts";
import { ratePoints } from "../../../src/model/forms/rate-points.ts";
import type { Optimum } from "../../../src/vocabulary/result.ts";
import { defaultSettings, type FormName } from "../../../src/vocabulary/settings.ts";
import { fromPricePerBushel } from "../../../src/numbers/units.ts";
import { makeTrial } from "../../make-trial.ts";
import reference from "./case.json" with { type: "json" };

const { mcleod, engelstad, bachmaier, breakEven } = reference;

function fitted(rates: number[], yieldsByRate: number[][], blocks = false) {
  const trial = makeTrial(
    rates.flatMap((rateSeedsPerM2, i) =>
      yieldsByRate[i]!.map((yieldKgPerHa, b) => ({
        rateSeedsPerM2,
        yieldKgPerHa,
        block: blocks ? `B${b}` : "",
      })),
    ),
  );
  const fit = fitSeasons(trial, defaultSettings).fits[0]!;
  const points = ratePoints(fit.cells, fit.withinCellSs);
  const form = (name: FormName) => fit.forms.find((one) => one.form === name)!;
  const optimum = (name: FormName, ratio: number): Optimum => findOptimum(form(name), points, ratio, 0.95);
  return { fit, points, form, optimum };
}

const means = (rates: number[], yields: number[]) =>
  fitted(
    rates,
    yields.map((one) => [one]),
  );

const within = (actual: number | null | undefined, expected: number, share: number): void =>
  expect(Math.abs(actual! / expected - 1)).toBeLessThanOrEqual(share);

const rateOf = (optimum: Optimum): number | null => (optimum.kind === "found" ? optimum.rateSeedsPerM2 : null);

describe(mcleod.source.slice(0, 13), () => {
  for (const { name, yields, quadratic, most, inside } of mcleod.siteYears)
    it(`${name}: ${inside ? `most grain at ${most}` : `most grain would lie at ${most}, outside the tested rates`}`, () => {
      const { form, optimum } = means(mcleod.rates, yields);
      const { intercept, linear, quadratic: bend } = form("quadratic").coefficients;
      [intercept, linear, bend].forEach((value, i) => within(value, quadratic[i]!, 1e-5));
      if (inside) within(rateOf(optimum("quadratic", 0)), most, 5e-4);
      else expect(optimum("quadratic", 0)).toMatchObject({ kind: "at-edge", edge: "highest", rateSeedsPerM2: 150 });
      within(-linear! / (2 * bend!), most, 5e-4);
    });

  const { form, optimum } = means(mcleod.rates, mcleod.mean.yields);
  it("income on the mean at seed $280/t and grain $140/t: most at the tested 100 kg/ha, most grain at 150", () => {
    const incomes = netOf(
      mcleod.mean.yields.map((tonnes) => 1000 * tonnes),
      {
        grainPerKg: new Float64Array(5).fill(0.14),
        costPerHa: Float64Array.from(mcleod.rates, (rate) => 0.28 * rate),
      },
    );
    mcleod.mean.incomes.forEach((income, i) => within(incomes[i], income, 1e-9));
    expect(mcleod.rates[indexOfLargest(incomes)]).toBe(100);
    expect(mcleod.rates[indexOfLargest(mcleod.mean.yields)]).toBe(150);
  });

  it("quadratic on the mean: economic optimum 121.36 kg/ha", () => {
    const expected = mcleod.mean.quadratic;
    within(form("quadratic").rss, expected.rss, 2e-4);
    within(rateOf(optimum("quadratic", 0)), expected.most, 1e-5);
    within(rateOf(optimum("quadratic", mcleod.mean.ratio)), expected.economic, 1e-4);
  });

  it("quadratic-plateau on the mean: join 121.82, economic optimum 110.74", () => {
    const expected = mcleod.mean.quadraticPlateau;
    const { coefficients, rss } = form("quadratic-plateau");
    for (const key of ["intercept", "linear", "quadratic", "plateau", "join"] as const)
      within(coefficients[key], expected[key], 1e-3);
    within(rss, expected.rss, 1e-3);
    within(rateOf(optimum("quadratic-plateau", mcleod.mean.ratio)), expected.economic, 1e-3);
  });

  it("linear-plateau on the mean: join and economic optimum 89.05", () => {
    const expected = mcleod.mean.linearPlateau;
    const { coefficients, rss } = form("linear-plateau");
    for (const key of ["intercept", "linear", "plateau", "join"] as const)
      within(coefficients[key], expected[key], 1e-3);
    within(rss, expected.rss, 1e-3);
    within(rateOf(optimum("linear-plateau", mcleod.mean.ratio)), expected.economic, 1e-3);
  });

  it("analysis of variance with site-years as blocks", () => {
    const { fit } = fitted(
      mcleod.rates,
      mcleod.rates.map((_, i) => mcleod.siteYears.map(({ yields }) => yields[i]!)),
      true,
    );
    const anova = fit.anova!;
    const expected = mcleod.anovaOverSiteYears;
    expect([anova.blockDf, anova.rateDf, anova.errorDf]).toEqual([7, 4, 28]);
    within(anova.blockSs, expected.blockSs, 1e-4);
    within(anova.rateSs, expected.rateSs, 1e-3);
    within(anova.errorSs, expected.errorSs, 2e-3);
    within(anova.f, expected.f, 1e-4);
    within(anova.cvPct, expected.cvPct, 2e-3);
    within(anova.lsdKgPerHa, expected.lsd, 1e-3);
  });
});

describe(engelstad.source.slice(0, 24), () => {
  const { form, optimum } = means(engelstad.rates, engelstad.yields);
  const ratio = engelstad.nitrogenPrice / engelstad.grainPrice;

  it("quadratic-plateau: join 225.34 (printed 225), economic optimum 140.78 (printed 140)", () => {
    within(form("quadratic-plateau").coefficients.join, engelstad.quadraticPlateau.join, 1e-4);
    within(rateOf(optimum("quadratic-plateau", ratio)), engelstad.quadraticPlateau.economic, 1e-4);
  });

  it("quadratic: economic optimum 151.13; linear-plateau: join 147.37", () => {
    within(rateOf(optimum("quadratic", 0)), engelstad.quadratic.most, 1e-4);
    within(rateOf(optimum("quadratic", ratio)), engelstad.quadratic.economic, 1e-4);
    within(form("linear-plateau").coefficients.join, engelstad.linearPlateau.join, 1e-4);
    within(form("linear-plateau").coefficients.plateau, engelstad.linearPlateau.plateau, 1e-4);
  });
});

describe(bachmaier.source.slice(0, 16), () => {
  const ratio = 0.6 / 110;
  const fieller = ({ points, form }: ReturnType<typeof fitted>) => {
    const { rss, residualDf } = form("quadratic");
    return fiellerSet(fitParabola(points)!, rss / residualDf, tQuantile(0.975, residualDf), ratio);
  };

  it("low zone: optimum 199, published interval 173 to 260 (260.05: its end lies just outside the tested rates)", () => {
    const low = fitted(bachmaier.rates, bachmaier.low.yieldsByRate);
    const { intercept, linear, quadratic } = low.form("quadratic").coefficients;
    [intercept, linear, quadratic].forEach((value, i) => within(value, bachmaier.low.coefficients[i]!, 1e-6));
    within(rateOf(low.optimum("quadratic", 0)), bachmaier.low.most, 1e-4);
    const set = fieller(low);
    if (set.kind !== "between") expect.unreachable();
    within(set.lower, bachmaier.low.interval[0]!, 1e-4);
    within(set.upper, bachmaier.low.interval[1]!, 1e-4);
    const optimum = low.optimum("quadratic", ratio);
    expect(optimum).toMatchObject({ kind: "found", upper: null, reason: "no-upper-end" });
    within(rateOf(optimum), bachmaier.low.economic, 1e-4);
  });

  it("high zone: the interval runs to 328, beyond the 260 tested, so no upper end is told", () => {
    const high = fitted(bachmaier.rates, bachmaier.high.yieldsByRate);
    const set = fieller(high);
    if (set.kind !== "between") expect.unreachable();
    within(set.lower, bachmaier.high.interval[0]!, 1e-4);
    within(set.upper, bachmaier.high.interval[1]!, 1e-4);
    const optimum = high.optimum("quadratic", ratio);
    within(rateOf(optimum), bachmaier.high.economic, 1e-4);
    expect(optimum).toMatchObject({ upper: null, reason: "no-upper-end" });
  });
});

it(breakEven.source, () => {
  // A bushel's worth of seed per hectare is breakEven seeds, so 1 seed/m² = 10,000 seeds/ha costs 10,000 ÷ 1,200 bushels.
  const grainPerKg = fromPricePerBushel(breakEven.grainPricePerBushel, 56);
  const kgPerBushel = breakEven.grainPricePerBushel / grainPerKg;
  expect(priceRatio(breakEven.seedPricePerThousand, grainPerKg) / kgPerBushel).toBeCloseTo(
    10_000 / breakEven.seedsPerBushel,
    9,
  );
});
