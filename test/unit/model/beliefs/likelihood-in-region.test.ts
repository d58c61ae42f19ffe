import { describe, expect, it } from "vitest";
import { riseShapes } from "../../../../src/model/forms/believable-curve.ts";
import { wholeGrid } from "../../../../src/model/beliefs/curve-grid.ts";
import { statedResponse, type PartOnFarm } from "../../../../src/model/beliefs/lean-on-region.ts";
import { likelihoodInRegion } from "../../../../src/model/beliefs/likelihood-in-region.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

const { priors } = defaultSettings;
const grid = wholeGrid(priors, [300, 300]);
const places = grid.states.length * grid.needs.count;
/** Strips that say nothing: every curve is as likely. */
const likelihood = {
  rays: grid.rays.map((ray) => ({ ray, log: 0, values: new Float64Array(places).fill(1) })),
  logNoResponse: 0,
};
const onlyRise = (rise: number): PartOnFarm["response"] => ({
  ...statedResponse(priors),
  rises: riseShapes.map((_, shape) => (shape === rise ? 1 : 0)),
});
const part = (need: number, response: PartOnFarm["response"]): PartOnFarm => ({
  weight: 0.5,
  logNeed: Math.log(need),
  sd: 0.1,
  response,
});

/** Prior weight of each rise at one need, after the region has had its say. */
function risesAt(need: number, parts: readonly PartOnFarm[]): number[] {
  const j = Math.round((Math.log(need) - grid.needs.from) / grid.needs.step);
  const { rays } = likelihoodInRegion(likelihood, grid, parts, priors);
  return riseShapes.map((_, shape) =>
    rays.reduce(
      (sum, { ray, values }) => (ray.shape === shape ? sum + Math.exp(ray.logPrior) * values[j]! : sum),
      0,
    ),
  );
}

describe("need and response of a region together", () => {
  it("change nothing where the region says of the response what the priors state", () => {
    const parts = [part(200, statedResponse(priors)), part(400, statedResponse(priors))];
    const { rays } = likelihoodInRegion(likelihood, grid, parts, priors);
    const apart = rays.map(({ values }) =>
      values.reduce((most, value) => Math.max(most, Math.abs(value - 1)), 0),
    );
    expect(rays).toHaveLength(grid.rays.length);
    expect(Math.max(...apart)).toBeLessThan(1e-10);
  });

  it("believe at each need the rise that goes with it", () => {
    const parts = [part(200, onlyRise(0)), part(400, onlyRise(3))];
    expect(risesAt(200, parts)[0]).toBeCloseTo(1, 4);
    expect(risesAt(400, parts)[3]).toBeCloseTo(1, 4);
    // Midway, by logarithms, both parts are as likely.
    const midway = risesAt(Math.sqrt(200 * 400), parts);
    expect(midway[0]! + midway[3]!).toBeCloseTo(1, 6);
    expect(midway[1]).toBe(0);
  });

  it("weigh each part by how much it believes in the need", () => {
    const parts = [
      { ...part(200, onlyRise(0)), weight: 0.3 },
      { ...part(260, onlyRise(3)), weight: 0.7, sd: 0.2 },
    ];
    const j = Math.round((Math.log(220) - grid.needs.from) / grid.needs.step);
    const logNeed = grid.needs.from + j * grid.needs.step;
    const normal = (about: number, sd: number): number =>
      Math.exp(-0.5 * ((logNeed - Math.log(about)) / sd) ** 2) / sd;
    const [slow, sudden] = [0.3 * normal(200, 0.1), 0.7 * normal(260, 0.2)];
    expect(risesAt(220, parts)[0]).toBeCloseTo(slow / (slow + sudden), 10);
    expect(risesAt(220, parts)[3]).toBeCloseTo(sudden / (slow + sudden), 10);
  });

  it("leave nothing of needs that the region believes in nowhere, and multiply what strips say", () => {
    const sure = { ...part(300, onlyRise(0)), sd: 0.01 };
    const twice = {
      ...likelihood,
      rays: likelihood.rays.map((one) => ({ ...one, values: one.values.map(() => 2) })),
    };
    const { rays, logNoResponse } = likelihoodInRegion(twice, grid, [sure], priors);
    const first = rays.find(({ ray }) => ray.shape === 0)!;
    expect(first.values[0]).toBe(0);
    const once = likelihoodInRegion(likelihood, grid, [sure], priors).rays[grid.rays.indexOf(first.ray)]!;
    const j = Math.round((Math.log(300) - grid.needs.from) / grid.needs.step);
    expect(once.values[j]).toBeGreaterThan(0);
    expect(first.values[j]).toBeCloseTo(2 * once.values[j]!, 10);
    expect(logNoResponse).toBe(0);
  });

  it("believe a fall as often as the region has it, among the rises that may fall", () => {
    const certain = { ...statedResponse(priors), noDeclineChance: 0.9 };
    const { rays } = likelihoodInRegion(likelihood, grid, [part(300, certain)], priors);
    const j = Math.round((Math.log(300) - grid.needs.from) / grid.needs.step);
    const weightOf = (falls: boolean): number =>
      rays.reduce((sum, { ray, values }) => {
        const { shape, decline, logPrior } = ray;
        return riseShapes[shape]!.falls && decline > 0 === falls
          ? sum + Math.exp(logPrior) * values[j]!
          : sum;
      }, 0);
    expect(weightOf(false) / (weightOf(false) + weightOf(true))).toBeCloseTo(0.9, 6);
  });
});
