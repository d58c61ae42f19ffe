/**
 * How well a strip's mean is known, against R.
 *
 * Data: `oats-cells.csv`, means over 10 m of four stretches of passes of a raw oats harvest (2017), from
 * paulhegedus/OFPEDATA2 at commit af21fb48, MIT licence. Values: R 4.2.2 with nlme 3.1-162,
 * `gls(yield_bu_ac ~ strip - 1, correlation = corExp(form = ~ place | strip, nugget = TRUE), method = "REML")`,
 * the best of six starts; the error of a stretch's plain mean from the correlation so found, and how many independent cells
 * it is worth, by `harvest-points.R` beside this file. The differences of stretches side by side, place by place, in the same way.
 */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { correlationAlong, errorOfMean, type Series } from "../../../src/points/along-strips.ts";
import { stripErrors } from "../../../src/points/strip-yields.ts";

const fromR = { rangeM: 52.15447, nugget: 0.3583606, variance: 161.5979, errorOfMean: 5.00563, worth: 6.449385, logLik: -591.6353 };

const stretches = new Map<string, Series>();
const text = readFileSync(new URL("oats-cells.csv", import.meta.url), "utf8");
for (const line of text.trim().split("\n").slice(1)) {
  const [strip, place, value] = line.split(",") as [string, string, string];
  const series = stretches.get(strip) ?? { place: [], value: [], weight: [] };
  series.place.push(Number(place));
  series.value.push(Number(value));
  series.weight.push(1);
  stretches.set(strip, series);
}

describe("correlation along the passes of a real harvest", () => {
  const found = correlationAlong([...stretches.values()], 10)!;

  it("has the range, noise and variance that R finds", () => {
    expect(found.rangeM / fromR.rangeM).toBeCloseTo(1, 1.5);
    expect(found.noise).toBeCloseTo(fromR.nugget, 1.5);
    expect(found.variance / fromR.variance).toBeCloseTo(1, 1.5);
  });

  it("has the error of a mean that R finds, to half a percent", () => {
    for (const series of stretches.values())
      expect(Math.abs(errorOfMean(series, found) / fromR.errorOfMean - 1)).toBeLessThan(0.005);
  });

  it("has forty cells worth as many independent ones as R finds, to half a percent", () => {
    for (const series of stretches.values())
      expect(Math.abs(found.variance / errorOfMean(series, found) ** 2 / fromR.worth - 1)).toBeLessThan(0.005);
  });

  it("has R's restricted likelihood at its best", () => {
    expect(found.logLikelihood).toBeCloseTo(fromR.logLik, 3);
  });
});

describe("differences of stretches side by side", () => {
  // R: `gls(difference ~ pair - 1, …)` as above; the log-likelihood is −472.7883, range 38.99 m, noise 0.2197.
  const fromR = { means: [-3.558898, -0.3021075, 2.035028], error: 6.469879 };
  const series = [...stretches.values()].map((one) => ({ ...one, spread: one.place.map(() => 1) }));
  const sum = { mass: 1, area: 1, points: 40, shared: 0, moisture: 0, moistureArea: 0, values: { sum: 0, square: 0 } };
  const { differences, standardErrors } = stripErrors(
    { strips: series.map(() => sum), series, sizeM: 10, untold: [] },
    [0, 1, 2, 3],
  );

  it("have R's means, and its error to half a percent", () => {
    expect(differences.map(({ first, second }) => [first, second])).toEqual([
      [1, 2],
      [2, 3],
      [3, 4],
    ]);
    differences.forEach(({ differenceKgPerHa, standardErrorKgPerHa }, pair) => {
      expect(differenceKgPerHa).toBeCloseTo(fromR.means[pair]!, 5);
      expect(Math.abs(standardErrorKgPerHa / fromR.error - 1)).toBeLessThan(0.005);
    });
  });

  it("are known better than two yields that were taken for independent", () => {
    const independent = Math.hypot(standardErrors[0]!, standardErrors[1]!);
    expect(differences[0]!.standardErrorKgPerHa).toBeLessThan(0.93 * independent);
  });
});
