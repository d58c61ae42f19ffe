import { describe, expect, it } from "vitest";
import { readObservations } from "../../../src/decide/read-observations.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";

describe("the curve of stands", () => {
  it("goes from the lowest to the highest of 300,000 rates, more than a call has room for", () => {
    const many = Array.from({ length: 300_000 }, (_, index) => 50 + ((index * 7919) % 300_000) / 1_000);
    const stand = { variety: "Ost", environment: null, strips: 9, share: 0.85, standardError: 0.01 };
    const seen = {
      stand: [stand],
      farmStand: null,
      tillering: [],
      protein: [],
      lodgingModels: [],
      fits: [{ variety: "Ost", ratesSeedsPerM2: many }],
    } as unknown as Parameters<typeof readObservations>[0];
    const [curve] = readObservations(seen, defaultSettings).curves;
    expect(curve!.points[0]!.rateSeedsPerM2).toBe(50);
    expect(curve!.points.at(-1)!.rateSeedsPerM2).toBeCloseTo(349.999, 9);
  });
});
