import { describe, expect, it } from "vitest";
import { gridOf, wholeGrid, type CurveGrid } from "../../../../src/model/beliefs/curve-grid.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

const { priors } = defaultSettings;
const whole = wholeGrid(priors, [250, 350]);
const total = ({ rays }: CurveGrid, prior: "logPrior" | "logFlatPrior"): number =>
  rays.reduce((sum, ray) => sum + Math.exp(ray[prior]), 0);

describe("the grid of believable curves", () => {
  it("holds all belief, stated and even", () => {
    expect(total(whole, "logPrior")).toBeCloseTo(1, 12);
    expect(total(whole, "logFlatPrior")).toBeCloseTo(1, 12);
  });

  it("holds the same belief when its curves stand closer", () => {
    const closer = gridOf(
      whole.needs,
      whole.patches.map((patch) => ({
        ...patch,
        losses: { ...patch.losses, step: patch.losses.step / 4, count: 4 * patch.losses.count - 3 },
      })),
      priors,
    );
    expect(closer.rays.length).toBeGreaterThan(3 * whole.rays.length);
    // The two ends count as a quarter step instead of a whole one; hardly anything is believed of them.
    expect(total(closer, "logPrior")).toBeCloseTo(1, 2);
  });

  it("believes as much in each shape as is stated", () => {
    const ofShape = (shape: number): number =>
      whole.rays.reduce((sum, ray) => (ray.shape === shape ? sum + Math.exp(ray.logPrior) : sum), 0);
    expect([0, 1, 2, 3, 4, 5].map((shape) => Math.round(1000 * ofShape(shape)) / 1000)).toEqual([
      0.2, 0.2, 0.1, 0.25, 0.15, 0.1,
    ]);
    // The quadratic and the square root come down by themselves.
    const never = whole.rays.filter(({ shape, decline }) => shape !== 2 && shape !== 4 && decline === 0);
    expect(never.reduce((sum, ray) => sum + Math.exp(ray.logPrior), 0)).toBeCloseTo(
      0.75 * priors.noDeclineChance,
      12,
    );
  });
});
