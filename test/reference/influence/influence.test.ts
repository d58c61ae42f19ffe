/** Closed-form diagnostics against R's rstudent and hatvalues, and against fitting again without each strip. */
import { describe, expect, it } from "vitest";
import { ratePoints } from "../../../src/model/forms/rate-points.ts";
import { decideAgain } from "../../../src/decide/decide.ts";
import { decisiveStrip } from "../../../src/decide/optima/decisive-strip.ts";
import { analyze } from "../../../src/analyze.ts";
import { bestBetween, withoutObservation } from "../../../src/maths/parabola.ts";
import { outlyingStrips, stripsOfInfluence, topShift } from "../../../src/model/seasons/influence.ts";
import { fitSeasons } from "../../../src/model/seasons/fit-seasons.ts";
import { cellsOf, groupByVariety } from "../../../src/model/seasons/rate-cells.ts";
import { stripResiduals } from "../../../src/model/seasons/strip-residuals.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../make-trial.ts";
import { near, readCase } from "../rate-response/compare.ts";
import reference from "./case.json" with { type: "json" };

function judge(strips: [block: string, rate: number, grain: number][]) {
  const trial = makeTrial(
    strips.map(([block, rateSeedsPerM2, yieldKgPerHa]) => ({ block, rateSeedsPerM2, yieldKgPerHa })),
  );
  const group = groupByVariety(trial.strips)[0]![0]!;
  const { cells, withinCellSs } = cellsOf(group.strips);
  const points = ratePoints(cells, withinCellSs);
  const residuals = stripResiduals(group.strips, cells, points);
  const listed = fitSeasons(trial, defaultSettings);
  const decisive = (ratio: number) => decisiveStrip(listed.fits[0]!, listed.strips, ratio, defaultSettings);
  return { trial, group, points, residuals, decisive };
}

const published = (set: string, group: string): [string, number, number][] =>
  readCase("case.json")
    .sets.find(({ name }) => name === set)!
    .groups.find(({ name }) => name === group)!.strips;

for (const expected of reference.cases)
  describe(`strips of ${expected.set} ${expected.group}`, () => {
    const { group, points, residuals } = judge(published(expected.set, expected.group));
    const row = (i: number): number => group.strips[i]!.place.row - 2;

    it("have the externally studentized residuals and leverages of R", () => {
      group.strips.forEach((_, i) => {
        near(residuals.studentized[i], expected.studentized[row(i)]!, 1e-8);
        near(residuals.leverage[i], expected.leverage[row(i)]!, 1e-8);
      });
    });

    it("move the optimum as far as fitting again without them does", () => {
      const curve = residuals.curve!;
      group.strips.forEach((_, i) => {
        const [point, residual, leverage] = [residuals.point[i]!, residuals.residual[i]!, residuals.leverage[i]!];
        const terms = withoutObservation(curve, point, residual, leverage)!;
        const without = bestBetween(curve, terms, points.lowest, points.highest, expected.ratio);
        near(without, expected.optimumWithout[row(i)]!, 1e-7);
      });
    });
  });

it("a strip's shift of the rate of most grain is what fitting again without it moves", () => {
  const { set, group: name, optimum, optimumWithout: without } = reference.cases.find(({ ratio }) => ratio === 0)!;
  const { group, points, residuals } = judge(published(set, name));
  group.strips.forEach((strip, i) =>
    near(topShift(i, residuals, points), without[strip.place.row - 2]! - optimum, 1e-7),
  );
});

describe("a trial with one spoilt strip", () => {
  const spoilt = published("hernandez_nitrogen", "S5");
  const at = spoilt.findIndex(([block, rate]) => block === "R2" && rate === Math.max(...spoilt.map((s) => s[1])));
  spoilt[at] = [spoilt[at]![0], spoilt[at]![1], spoilt[at]![2] / 2];
  const { trial, group, residuals, decisive } = judge(spoilt);

  it("names that strip, by its row, and no other", () => {
    const doubts = outlyingStrips(group, residuals, spoilt.length, defaultSettings);
    expect(doubts.map(({ finding }) => [finding.code, finding.severity, finding.row])).toEqual([
      ["outlying-strip", "doubt", at + 2],
    ]);
    expect(doubts[0]!.finding.message).toMatch(/^The yield is \d+% lower than expected/);
  });

  it("is not in doubt once so many strips are looked at that chance would give one as far out", () => {
    expect(outlyingStrips(group, residuals, 1e9, defaultSettings)).toEqual([]);
  });

  it("says that it alone moves the optimum", () => {
    const found = decisive(0.6615 / 118.1);
    expect(found?.strip.row).toBe(at + 2);
    expect(found?.share).toBeGreaterThan(0);
    expect(stripsOfInfluence(group, residuals, defaultSettings).map(({ place }) => place.row)).toContain(at + 2);
  });

  it("says so at today's prices: a moved price takes the word back, or gives it, as analysing anew does", () => {
    const units = { system: "metric", currency: "€" } as const;
    const at = (seedPricePerThousand: number) => ({ ...defaultSettings, grainPricePerKg: 0.2, seedPricePerThousand });
    const doubts = ({ findings }: ReturnType<typeof analyze>) =>
      findings.filter(({ code }) => code === "strip-moves-optimum");
    const cheap = analyze(trial, at(0), units);
    const dear = analyze(trial, at(1000), units);
    expect([doubts(cheap).length, doubts(dear).length]).toEqual([1, 0]);
    expect(decideAgain(cheap, at(1000)).findings).toEqual(dear.findings);
    expect(decideAgain(dear, at(0)).findings).toEqual(cheap.findings);
  });
});

it("clean published trials name no strip", () => {
  for (const [set, name] of [
    ["gomez_seedrate", "all"],
    ["yates_oats", "Victory"],
  ] as const) {
    const strips = published(set, name);
    const { group, residuals, decisive } = judge(strips);
    expect(outlyingStrips(group, residuals, strips.length, defaultSettings)).toEqual([]);
    expect(decisive(0)).toBeNull();
  }
});
