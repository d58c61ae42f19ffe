/** Digits of agreement with NIST's certified values; the tests hold them up, `npm run bench` prints them. */
import { fitSeasons } from "../../../src/model/seasons/fit-seasons.ts";
import type { FittedVariety, RateAnova } from "../../../src/vocabulary/result.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../make-trial.ts";
import reference from "./case.json" with { type: "json" };

/** Digits in which two numbers agree: −log10 of the relative difference, at most 15 (NIST's log relative error). */
export const digits = (actual: number, certified: number): number =>
  actual === certified ? 15 : Math.min(15, -Math.log10(Math.abs((actual - certified) / certified)));

const fitOf = (rateAndYield: number[][]): FittedVariety =>
  fitSeasons(
    makeTrial(
      rateAndYield.map(([rate, grain]) => ({ rateSeedsPerM2: rate!, yieldKgPerHa: grain! })),
    ),
    defaultSettings,
  ).fits[0]!;

/** Fewest digits over a regression's certified values, by set. */
export function regressionDigits(): { name: string; fewest: number }[] {
  return reference.regression.map(({ name, form, certified, rateAndYield }) => {
    const fit = fitOf(rateAndYield).forms.find((one) => one.form === form)!;
    const { coefficients, standardErrors } = fit;
    const found: Record<string, number> = {
      intercept: coefficients.intercept,
      linear: coefficients.linear!,
      quadratic: coefficients.quadratic ?? 0,
      seIntercept: standardErrors.intercept!,
      seLinear: standardErrors.linear!,
      seQuadratic: standardErrors.quadratic ?? 0,
      residualSd: fit.residualSdKgPerHa!,
      rSquared: fit.rSquared!,
    };
    return {
      name,
      fewest: Math.min(...Object.entries(certified).map(([key, value]) => digits(found[key]!, value))),
    };
  });
}

export interface VarianceSet {
  name: string;
  yieldsByRate: number[][];
  certified: { rateSs: number; errorSs: number; f: number };
}

/** The rule of Simon & Lesage; each yield is the double nearest to its decimal. */
export const varianceSets = (): VarianceSet[] => [
  ...reference.variance,
  ...reference.simonAndLesage.map(({ name, level, replicates }) => {
    const tenths = (index: number): number => (index === 0 ? 2 : index % 2 === 1 ? 1 : 3);
    return {
      name,
      yieldsByRate: Array.from({ length: 9 }, (_, treatment) =>
        Array.from(
          { length: replicates },
          (_, replicate) => (10 * level + tenths(treatment) + tenths(replicate)) / 10,
        ),
      ),
      certified: { rateSs: 0.08 * replicates, errorSs: 0.09 * (replicates - 1), f: replicates },
    };
  }),
];

export const anovaOf = ({ yieldsByRate }: VarianceSet): RateAnova =>
  fitOf(yieldsByRate.flatMap((yields, rate) => yields.map((grain) => [rate + 1, grain]))).anova!;

/** Fewest digits in which sums of squares and F agree with the certified ones. */
export const varianceDigits = (
  { rateSs, errorSs, f }: { rateSs: number; errorSs: number; f: number | null },
  { certified }: VarianceSet,
): number =>
  Math.min(digits(rateSs, certified.rateSs), digits(errorSs, certified.errorSs), digits(f!, certified.f));

/** Sums of squares and F of the numbers as stored, in whole numbers of any length: no arithmetic can do better. */
export function exactVariance({ yieldsByRate }: VarianceSet): VarianceSet["certified"] {
  const scale = 2 ** 60; // every yield here is a whole multiple of 2^-60
  const whole = yieldsByRate.map((yields) =>
    yields.map((grain) => BigInt(Math.trunc(grain)) * BigInt(scale) + BigInt((grain % 1) * scale)),
  );
  const sum = (values: bigint[]): bigint => values.reduce((total, value) => total + value, 0n);
  const n = BigInt(whole.reduce((total, { length }) => total + length, 0));
  const all = sum(whole.map(sum));
  // both times n·r, r strips a rate
  const r = BigInt(whole[0]!.length);
  const between = whole.reduce((total, yields) => total + n * sum(yields) ** 2n, 0n) - r * all ** 2n;
  const within = whole.reduce(
    (total, yields) => total + n * (r * sum(yields.map((value) => value ** 2n)) - sum(yields) ** 2n),
    0n,
  );
  const toNumber = (value: bigint): number => Number((value << 80n) / (n * r) / BigInt(scale) ** 2n) / 2 ** 80;
  const levels = whole.length;
  const [rateSs, errorSs] = [toNumber(between), toNumber(within)];
  return { rateSs, errorSs, f: rateSs / (levels - 1) / (errorSs / (Number(n) - levels)) };
}
