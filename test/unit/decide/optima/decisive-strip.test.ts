/** Which strip alone moves an optimum, against fitting again without each strip. */
import { describe, expect, it } from "vitest";
import { decisiveStrip, optimaMovedByOneStrip } from "../../../../src/decide/optima/decisive-strip.ts";
import { tCdf, tQuantile } from "../../../../src/maths/distributions.ts";
import { bestBetween, fitParabola, slopeAt } from "../../../../src/maths/parabola.ts";
import { ratePoints } from "../../../../src/model/forms/rate-points.ts";
import { fitSeasons } from "../../../../src/model/seasons/fit-seasons.ts";
import { cellsOf } from "../../../../src/model/seasons/rate-cells.ts";
import type { Strip } from "../../../../src/vocabulary/trial.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { makeTrial } from "../../../make-trial.ts";

type Row = [block: string, rate: number, grain: number];
const rates = [150, 200, 250, 300, 350, 400, 450];
/** 5,000 less 0.02 for each square of the way from 300: at 450 it is 4,550, at 250 it is 4,950. */
const hill = (rate: number): number => 5000 - 0.02 * (rate - 300) ** 2;
const noise = [12, -16, 9, 14, -20, 8, -7];

/** Two blocks, the second 80 kg/ha higher and with the noise the other way round. */
const strips = (changed: Partial<Record<`${"A" | "B"}${number}`, number>> = {}): Row[] =>
  (["A", "B"] as const).flatMap((block, b) =>
    rates.map((rate, i): Row => [
      block,
      rate,
      hill(rate) + 80 * b + noise[b === 0 ? i : 6 - i]! + (changed[`${block}${rate}`] ?? 0),
    ]),
  );

function fitted(rows: readonly Row[], variety = "Alder") {
  const trial = makeTrial(
    rows.map(([block, rateSeedsPerM2, yieldKgPerHa]) => ({ variety, block, rateSeedsPerM2, yieldKgPerHa })),
  );
  const { fits, strips: listed } = fitSeasons(trial, defaultSettings);
  return { trial, fit: fits[0]!, listed };
}

const levels = (level: number) => ({ intervalLevels: [0.5, level] as [number, number] });

const decisive = (rows: readonly Row[], ratio: number, level = 0.95) => {
  const { fit, listed } = fitted(rows);
  return decisiveStrip(fit, listed, ratio, levels(level));
};

/** The parabola of some strips, and the error variance about it. */
function parabolaOf(some: readonly Strip[]) {
  const { cells, withinCellSs } = cellsOf([...some]);
  const points = ratePoints(cells, withinCellSs);
  const curve = fitParabola(points)!;
  const df = points.observations - points.groups - 2;
  return {
    curve,
    df,
    errorVariance: (points.groupedSs - curve.b ** 2 * curve.squaresB - curve.c ** 2 * curve.squaresC) / df,
  };
}

/**
 * The same by fitting again: without a strip, how many standard errors is the slope at the optimum of all strips from the
 * price ratio? Beyond Student's t, Fieller's set of the others does not hold that optimum.
 */
function searched(rows: readonly Row[], ratio: number, level: number) {
  const { strips: all } = fitted(rows).trial;
  const bestOf = (curve: NonNullable<ReturnType<typeof fitParabola>>): number =>
    bestBetween(curve, curve, rates[0]!, rates.at(-1)!, ratio);
  const optimum = bestOf(parabolaOf(all).curve);
  const judged = all.map((strip) => {
    const { curve, df, errorVariance } = parabolaOf(all.filter((one) => one !== strip));
    const { slope, variance } = slopeAt(curve, optimum);
    return {
      row: strip.place.row,
      share: bestOf(curve) / optimum - 1,
      df,
      standardErrors: Math.abs(slope - ratio) / Math.sqrt(variance * errorVariance),
    };
  });
  return judged
    .filter(({ standardErrors, df }) => standardErrors > tQuantile((1 + level) / 2, df))
    .sort((a, b) => b.standardErrors - a.standardErrors);
}

describe("the strip that alone moves an optimum", () => {
  it.each([
    ["a thick strip far below", { A450: -900 }, 0],
    ["the same where seed costs", { A450: -900 }, 0.5],
    ["a thin strip far above", { B150: 700 }, 1],
    ["two strips, one of them stronger", { A450: -300, B200: -40 }, 0],
    ["a middle strip far below", { A300: -600 }, 1],
    ["a thin strip far below in the higher block", { B150: -800 }, -1],
  ])("is the one that fitting again finds: %s", (_, changed, ratio) => {
    const strongest = searched(strips(changed), ratio, 0.8)[0]!;
    const found = decisive(strips(changed), ratio, 0.8);
    expect(found?.strip.row).toBe(strongest.row);
    expect(found?.share).toBeCloseTo(strongest.share, 9);
  });

  it("is none where two rates show no bend, however many strips there are", () => {
    const ofTwo = strips({ A450: -900 }).filter(([, rate]) => rate === 150 || rate === 450);
    const again = ofTwo.map(([, rate, grain]): Row => ["C", rate, grain + 10]);
    expect(decisive([...ofTwo, ...again], 0)).toBeNull();
  });

  it("is so up to the level at which Student's t comes to its standard errors", () => {
    const [rows, ratio] = [strips({ A450: -150 }), 0.5];
    const { standardErrors, df } = searched(rows, ratio, 0.8)[0]!;
    const levelOf = (t: number): number => 2 * tCdf(t, df) - 1;
    expect(decisive(rows, ratio, levelOf(0.999 * standardErrors))).not.toBeNull();
    expect(decisive(rows, ratio, levelOf(1.001 * standardErrors))).toBeNull();
  });

  it("depends on how sure the interval is to be", () => {
    const some = strips({ A450: -60 });
    expect(searched(some, 0, 0.8)[0]?.row).toBe(8);
    expect(decisive(some, 0, 0.8)?.strip.row).toBe(8);
    expect(searched(some, 0, 0.9999)).toEqual([]);
    expect(decisive(some, 0, 0.9999)).toBeNull();
  });

  it("is none in clean strips", () => expect(decisive(strips(), 1)).toBeNull());

  it("is none where the optimum of all is at an edge", () => {
    // At 150 the hill rises by 0.04 × 150 = 6 kg/ha a seed, at 450 it falls by as much.
    expect(decisive(strips({ B150: 700 }), 30, 0.8)).toBeNull();
    expect(decisive(strips({ B150: 700 }), -30, 0.8)).toBeNull();
  });

  it("is none where the curve bends upward or is none", () => {
    const valley = strips({ A450: -900 }).map(([block, rate, grain]): Row => [block, rate, 9000 - grain]);
    expect(decisive(valley, 0, 0.8)).toBeNull();
    const twoRates = strips().filter(([, rate]) => rate < 250);
    expect(decisive(twoRates, 0, 0.8)).toBeNull();
  });

  it("needs two degrees of freedom, one of them for the strip that is left out", () => {
    // Strips less one block less two terms: of five two are left, of four one.
    const bare = (count: number): Row[] =>
      strips({ A150: 0, A350: -400 })
        .filter(([block]) => block === "A")
        .slice(0, count);
    const { fit, listed } = fitted(bare(4));
    expect(decisiveStrip(fit, listed, 0, levels(0.01))).toBeNull();
    expect(decisive(bare(5), 0, 0.01)?.strip.row).toBe(searched(bare(5), 0, 0.01)[0]!.row);
  });

  it("is looked for among the strips that are listed, by their own studentized residual", () => {
    const { fit, listed } = fitted(strips({ A450: -900 }));
    const others = listed.filter(({ row }) => row !== 8);
    expect(decisiveStrip(fit, others, 0, levels(0.8))).toBeNull();
    const unknown = listed.map((one) => (one.row === 8 ? { ...one, studentizedResidual: null } : one));
    expect(decisiveStrip(fit, unknown, 0, levels(0.8))).toBeNull();
  });
});

describe("the word about it", () => {
  it("is said of each fit whose own strip it is, at the price of the variety's own lot", () => {
    const alder = fitted(strips({ A450: -900 }));
    const birch = fitted(strips(), "Birch");
    const listed = [...alder.listed, ...birch.listed];
    const findings = optimaMovedByOneStrip([birch.fit, alder.fit], listed, {
      ...defaultSettings,
      seedPricePerThousand: 0,
    });
    expect(findings.map(({ code, row }) => [code, row])).toEqual([["strip-moves-optimum", 8]]);
    expect(findings[0]!.message).toContain("most profitable rate of Alder in 2024");
    // A hundred times the price of grain: the optimum is the lowest rate, whatever one strip does.
    const dear = { ...defaultSettings, grainPricePerKg: 0.2, seedPricePerThousand: 20 };
    expect(optimaMovedByOneStrip([birch.fit, alder.fit], listed, dear)).toEqual([]);
    expect(optimaMovedByOneStrip([alder.fit], birch.listed, defaultSettings)).toEqual([]);
  });
});
