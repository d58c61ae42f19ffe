/**
 * Analysis of variance with rate as a factor: against R for every group of test/reference/rate-response (balanced and
 * not), and against the tables that Gomez & Gomez and NIST print.
 */
import { describe, expect, it } from "vitest";
import type { AnovaTerm, RateAnova } from "../../../src/vocabulary/result.ts";
import { fitGroup, near, readCase, type ReferenceGroup } from "../rate-response/compare.ts";

const closedForm = 1e-8;

function compareTerm(term: AnovaTerm | null, expected: Record<string, number | null>, name: string): void {
  near(term!.ss, expected[`ss_${name}`]!, 1e-7);
  near(term!.f, expected[`F_${name}`]!, 1e-7);
  near(term!.p, expected[`p_${name}`]!, 1e-7);
}

function compareAnova(anova: RateAnova, expected: Record<string, number | null>): void {
  expect([anova.blockDf, anova.rateDf, anova.errorDf]).toEqual([
    expected.df_block,
    expected.df_rate,
    expected.df_error,
  ]);
  if (anova.blockDf > 0) near(anova.blockSs, expected.ss_block!, closedForm);
  near(anova.rateSs, expected.ss_rate!, closedForm);
  near(anova.errorSs, expected.ss_error!, closedForm);
  near(anova.totalSs, expected.ss_total!, closedForm);
  near(anova.f, expected.F_rate!, closedForm);
  near(anova.p, expected.p_rate!, closedForm);
  near(anova.grandMeanKgPerHa, expected.grand_mean!, closedForm);
  if (anova.cvPct !== null) near(anova.cvPct, expected.cv_percent!, closedForm);
  compareTerm(anova.linear, expected, "linear");
  compareTerm(anova.quadratic, expected, "quadratic");
  if (anova.lackOfFit !== null) compareTerm(anova.lackOfFit, expected, "lack_of_fit");
}

for (const file of ["case.json", "verbyla_lupin.json", "simulated.json"])
  for (const { name, groups } of readCase(file).sets)
    describe(`analysis of variance of ${name}`, () => {
      for (const group of groups)
        it(group.name, () => {
          const { anova } = fitGroup(group);
          if (group.expected.anova === null) expect(anova).toBeNull();
          else compareAnova(anova!, group.expected.anova);
        });
    });

describe("least significant difference", () => {
  const oats = readCase("case.json").sets.find(({ name }) => name === "yates_oats")!;
  for (const group of oats.groups)
    it(`is that of R for ${group.name}, whose F is significant`, () => {
      const anova = fitGroup(group).anova!;
      expect(anova.p).toBeLessThan(0.05);
      near(anova.lsdKgPerHa, group.expected.anova!.lsd05!, closedForm);
    });

  it("is kept back for the rice of Gomez & Gomez, p. 26, whose F is not", () => {
    const anova = fitGroup(rice()).anova!;
    expect(anova.p).toBeGreaterThan(0.05);
    expect(anova.lsdKgPerHa).toBeNull();
  });
});

const rice = (): ReferenceGroup => readCase("case.json").sets[0]!.groups[0]!;

describe("Gomez & Gomez (1984), Statistical Procedures for Agricultural Research, 2nd ed., p. 26, as printed", () => {
  it("gives the sums of squares, F 2.17 and CV 6.7 % (FROM MEMORY of the book's table)", () => {
    const anova = fitGroup(rice()).anova!;
    expect(Math.round(anova.blockSs)).toBe(1_944_361);
    expect(Math.round(anova.rateSs)).toBe(1_198_331);
    expect(Math.round(anova.errorSs)).toBe(1_658_376);
    expect(Math.round(anova.totalSs)).toBe(4_801_068);
    expect(anova.f!.toFixed(2)).toBe("2.17");
    expect(anova.cvPct!.toFixed(1)).toBe("6.7");
    expect(anova.rates.map((rate) => rate.meanYieldKgPerHa)).toEqual([
      5124, 5070.25, 5304.25, 4847.75, 4708, 4703.25,
    ]);
  });

  it("adjusts nothing where every block holds every rate", () => {
    for (const rate of fitGroup(rice()).anova!.rates)
      near(rate.adjustedMeanKgPerHa, rate.meanYieldKgPerHa, 1e-12);
  });
});
