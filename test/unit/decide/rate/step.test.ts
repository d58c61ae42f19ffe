import { describe, expect, it } from "vitest";
import { chooseStep } from "../../../../src/decide/rate/step.ts";

const settings = { largestStep: 0.1, flatZonePerHa: 5, rateStepSeedsPerM2: 10 };
const rateOf = (
  rateNowSeedsPerM2: number,
  target: number | null,
  ceiling: number | null = null,
  wholeGainPerHa = 50,
): number => chooseStep({ rateNowSeedsPerM2, target, ceiling, wholeGainPerHa }, settings).rate;

describe("one season's step", () => {
  it("goes to the nearest rate that the drill can be set to", () => {
    expect(rateOf(300, 316)).toBe(320);
    expect(rateOf(300, 314)).toBe(310);
  });

  it("goes a tenth at most", () => {
    expect(rateOf(300, 500)).toBe(330);
    expect(rateOf(300, 100)).toBe(270);
    // A tenth less is 310.5, so the drill's 310 is too far.
    expect(rateOf(345, 100)).toBe(320);
  });

  it("never goes the other way for the drill's sake", () => {
    expect(rateOf(304, 303)).toBe(300);
    expect(rateOf(296, 297)).toBe(300);
    expect(rateOf(303, 307)).toBe(310);
  });

  it("stays within the flat zone, and where no rate stands out", () => {
    expect(rateOf(300, 340, null, 4)).toBe(300);
    // Exactly the sum is no reason to move either; a cent more is.
    expect(rateOf(300, 340, null, 5)).toBe(300);
    expect(rateOf(300, 340, null, 5.01)).toBe(330);
    expect(rateOf(300, null)).toBe(300);
  });

  it("keeps a lodging ceiling on its lower side", () => {
    expect(rateOf(300, 400, 318)).toBe(310);
    expect(rateOf(300, 400, 306)).toBe(300);
    // The best rate lies below the ceiling, and the nearest rate of the drill above it.
    expect(rateOf(300, 316, 318)).toBe(310);
    expect(rateOf(330, 316, 318)).toBe(310);
    expect(rateOf(300, 316, 320)).toBe(320);
    expect(rateOf(318, null, 316)).toBe(310);
    expect(rateOf(320, 320, 310)).toBe(310);
  });

  it("nears a ceiling that one step does not reach", () => {
    expect(rateOf(400, null, 200)).toBe(360);
    // 333 is a tenth less: no rate of the drill between it and today's but those above.
    expect(rateOf(370, null, 200)).toBe(340);
  });

  it("goes to any rate where the drill has no steps", () => {
    const any = { ...settings, rateStepSeedsPerM2: 0 };
    const question = { rateNowSeedsPerM2: 300, target: 313.7, ceiling: null, wholeGainPerHa: 50 };
    expect(chooseStep(question, any).rate).toBe(313.7);
  });

  const reasonsOf = (
    rateNowSeedsPerM2: number,
    target: number | null,
    ceiling: number | null = null,
    wholeGainPerHa = 50,
  ) => chooseStep({ rateNowSeedsPerM2, target, ceiling, wholeGainPerHa }, settings).reasons;

  it("says what kept it from going the whole way", () => {
    expect(reasonsOf(300, 316)).toEqual([]);
    expect(reasonsOf(300, null)).toEqual([]);
    expect(reasonsOf(300, 500)).toEqual([
      { code: "step-limited", numbers: { share: 0.1, targetSeedsPerM2: 500 } },
    ]);
    expect(reasonsOf(300, 340, null, 4)).toEqual([
      { code: "inside-flat-zone", numbers: { gainPerHa: 4, flatZonePerHa: 5 } },
    ]);
    // What lodging forbids is not said to earn nothing: only what is left below the ceiling.
    expect(reasonsOf(300, 340, 320, 4)[1]).toEqual({
      code: "inside-flat-zone",
      numbers: { gainPerHa: 4, flatZonePerHa: 5, ceilingSeedsPerM2: 320 },
    });
    // A move that would lose earns nothing, not less than nothing.
    expect(reasonsOf(300, 340, null, -3)[0]).toMatchObject({ numbers: { gainPerHa: 0 } });
  });

  it("says that lodging forbids a rate where it does, and only there", () => {
    const ceilingAt = (rateSeedsPerM2: number) => ({ code: "lodging-ceiling", numbers: { rateSeedsPerM2 } });
    expect(reasonsOf(300, 310, 320)).toEqual([]);
    expect(reasonsOf(300, 318, 318)).toEqual([]);
    expect(reasonsOf(300, 320, 318)).toEqual([ceilingAt(318)]);
    expect(reasonsOf(320, null, 318)).toEqual([ceilingAt(318)]);
    expect(reasonsOf(400, null, 200)).toEqual([
      ceilingAt(200),
      { code: "step-limited", numbers: { share: 0.1, targetSeedsPerM2: 200 } },
    ]);
  });

  it("goes down to a ceiling even where that earns nothing", () => {
    expect(rateOf(320, 330, 310, 0)).toBe(310);
    expect(rateOf(310, 330, 310, 0)).toBe(310);
  });
});
