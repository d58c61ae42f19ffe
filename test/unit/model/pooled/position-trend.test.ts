import { describe, expect, it } from "vitest";
import { drawNormal, random } from "../../../../src/maths/random.ts";
import { fitSeasons } from "../../../../src/model/seasons/fit-seasons.ts";
import { choosePositionTrend } from "../../../../src/model/pooled/position-trend.ts";
import { poolSeasons } from "../../../../src/model/pooled/pool-seasons.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import type { Trial } from "../../../../src/vocabulary/trial.ts";
import { makeTrial } from "../../../make-trial.ts";

const rates = [150, 225, 300, 375, 450];
/** Orders in which a trend looks like a response: high rates rather at the far side. */
const orders = [
  [150, 300, 225, 375, 450],
  [225, 150, 300, 450, 375],
  [150, 225, 375, 300, 450],
];

/** Two field-seasons of three blocks side by side, tops at 300 seeds/m², strips scattering by 30 kg/ha. */
function trialWith(
  trend: (position: number, environment: number) => number,
  { positioned = true, seed = 5 } = {},
): Trial {
  const draw = random(seed, "trend");
  return makeTrial(
    [0, 1].flatMap((environment) =>
      orders.flatMap((order, block) =>
        order.map((rate, i) => {
          const position = 1 + i + rates.length * block;
          return {
            season: 2023 + environment,
            block: `${block + 1}`,
            position: positioned ? position : null,
            rateSeedsPerM2: rate,
            yieldKgPerHa:
              4000 + trend(position, environment) - 0.01 * (rate - 300) ** 2 + 30 * drawNormal(draw),
          };
        }),
      ),
    ),
  );
}

const choose = (trial: Trial) => choosePositionTrend(fitSeasons(trial, defaultSettings).fits, trial.strips);

const topOf = (trial: Trial): number => {
  const { fits } = fitSeasons(trial, defaultSettings);
  const { linear, quadratic } = poolSeasons(trial, fits, defaultSettings).pooled[0]!.slope!;
  return -linear / (2 * quadratic);
};

describe("a trend across the field", () => {
  it("is found where it is, and the strips then scatter as they were made to", () => {
    const { trend, cells } = choose(
      trialWith((position, environment) => (environment ? -40 : 50) * position),
    );
    expect(trend!.chosen).not.toBe("none");
    expect(trend!.strips).toBe(30);
    expect(trend!.scatterWith).toBeLessThan(45);
    expect(trend!.scatterWithout).toBeGreaterThan(1.3 * trend!.scatterWith);
    // Single strips are pooled then, each with its place.
    expect(cells.flatMap((one) => one.cells).length).toBe(30);
  });

  it("is seldom found in strips that only scatter", () => {
    const chosen = Array.from({ length: 60 }, (_, seed) => choose(trialWith(() => 0, { seed })));
    const without = chosen.filter(({ trend }) => trend!.chosen === "none");
    expect(without.length).toBeGreaterThanOrEqual(54);
    for (const { trend, cells } of without) {
      expect(trend!.scatterWith).toBe(trend!.scatterWithout);
      expect(cells.every((one) => one.cells.every((cell) => !("position" in cell)))).toBe(true);
    }
  });

  it("no longer pulls the best rate with it", () => {
    const rising = (position: number): number => 50 * position;
    const [blind, seeing] = [topOf(trialWith(rising, { positioned: false })), topOf(trialWith(rising))];
    expect(Math.abs(blind - 300)).toBeGreaterThan(25);
    expect(Math.abs(seeing - 300)).toBeLessThan(15);
  });

  it("is not looked for without positions", () => {
    expect(choose(trialWith(() => 0, { positioned: false })).trend).toBeNull();
  });
});
