import { describe, expect, it } from "vitest";
import { analyze } from "../../../../src/analyze.ts";
import { chooseRate } from "../../../../src/decide/rate/next-rate.ts";
import { netReturns, varietyPrices } from "../../../../src/decide/rate/net-return.ts";
import { holdAgainstStrips } from "../../../../src/decide/rate/second-reading.ts";
import { fromPerAcre, toPerAcre } from "../../../../src/numbers/units.ts";
import { measuresOf } from "../../../../src/numbers/measures.ts";
import { readTrial } from "../../../../src/read/trial-files.ts";
import { reasonSentence } from "../../../../src/tell/wording/reasons.ts";
import type { Result } from "../../../../src/vocabulary/result.ts";
import { defaultSettings, defaultUnits } from "../../../../src/vocabulary/settings.ts";
import { demoResult } from "../../../fixtures/demo.ts";

const settings = { ...defaultSettings, rateNowSeedsPerM2: fromPerAcre(1.4e6) };
const rates = [0.8, 1.1, 1.4, 1.7, 2];
/** Small differences of strips that no rate explains, the same on every run [bu/ac]. */
const errors = [0.4, -0.6, 0.2, 0.7, -0.3, -0.5, 0.6, 0.1, -0.7, 0.3];

/** Three seasons of two blocks; `order` gives the rates of a block as they lie across the field. */
function farmOf(
  yieldAt: (million: number, season: number) => number,
  order: (block: number) => number[] = (block) =>
    block === 1 ? [1.4, 0.8, 2, 1.1, 1.7] : [2, 1.1, 0.8, 1.7, 1.4],
): Result {
  const rows = [2023, 2024, 2025].flatMap((season) =>
    [1, 2].flatMap((block) =>
      order(block).map((rate, i) => {
        const error = errors[(rates.indexOf(rate) * 2 + block + season) % 10]!;
        const grain = (yieldAt(rate, season) + error).toFixed(2);
        return `A,${season},Home,${block},${5 * (block - 1) + i + 1},${rate},${grain}`;
      }),
    ),
  );
  const text = ["variety,season,field,block,position,rate (million/ac),yield (bu/ac)", ...rows].join("\n");
  const bytes = new TextEncoder().encode(text);
  return analyze(readTrial([{ name: "strips.csv", bytes }], settings, defaultUnits), settings, defaultUnits);
}
const peakAt = (peak: number) => (rate: number) => 60 * (1 - 0.3 * (rate / peak - 1) ** 2);
const codes = (result: Result): string[] => result.next[0]!.reasons.map(({ code }) => code);

describe("the advice held against the strips", () => {
  it("agrees on a clean farm and on the demo", () => {
    expect(codes(farmOf(peakAt(1.4)))).not.toContain("readings-disagree");
    for (const { reasons } of demoResult().next)
      for (const code of ["readings-disagree", "seasons-contradict", "rate-follows-ground"])
        expect(reasons.map((reason) => reason.code)).not.toContain(code);
  });

  it("says where the headline lies outside the flat zone of the tested means, and takes a word off the evidence", () => {
    const result = farmOf(peakAt(1.4));
    const [belief] = result.beliefs;
    const net = netReturns(
      belief!,
      varietyPrices(belief!, { premiumPerKg: () => 0, costPerHa: () => 0 }, settings),
    );
    const facts = { seasons: 3, lodgingCeiling: { kind: "none", reason: "not-scored" } } as const;
    const choice = chooseRate(belief!, net, facts, settings);
    const moved = {
      ...choice,
      evidence: "strong" as const,
      economicOptimum: {
        kind: "found",
        rateSeedsPerM2: fromPerAcre(1.9e6),
        lower: null,
        upper: null,
        reason: "no-ends",
      } as const,
    };
    const held = holdAgainstStrips(
      moved,
      belief!,
      net,
      { fits: result.fits, pooled: null },
      settings.flatZonePerHa,
    );
    expect(held.evidence).toBe("fair");
    const reason = held.reasons.find(({ code }) => code === "readings-disagree")!;
    expect(reasonSentence(reason, measuresOf(result))).toMatch(
      /^Two ways of reading your strips disagree: the curves say 1\.90 million, .*1\.[14]0 million earned most/,
    );
    // Against the pooled curve alone, where each lies outside what the other leaves open.
    const pooled = {
      kind: "found",
      rateSeedsPerM2: fromPerAcre(1.9e6),
      lower: fromPerAcre(1.8e6),
      upper: fromPerAcre(1.95e6),
      reason: "interval",
    } as const;
    const other = holdAgainstStrips(
      { ...choice, evidence: "strong" },
      belief!,
      net,
      { fits: [], pooled },
      settings.flatZonePerHa,
    );
    expect(other.evidence).toBe("fair");
  });

  it("says where seasons contradict each other", () => {
    const result = farmOf((rate, season) => peakAt(season === 2024 ? 0.9 : 1.9)(rate));
    const reason = result.next[0]!.reasons.find(({ code }) => code === "seasons-contradict");
    if (reason?.code !== "seasons-contradict") expect.unreachable();
    expect(reason.numbers.lowerSeason).toBe(2024);
    expect(toPerAcre(reason.numbers.lowerSeedsPerM2) / 1e6).toBeLessThan(1);
  });

  it("names no chance where rate and position go together everywhere, and caps the evidence", () => {
    // The ground gets better across the field and the rate does nothing.
    const result = farmOf(
      (rate) => 50 + 12 * rate,
      () => rates,
    );
    const [next] = result.next;
    expect(codes(result)).toContain("rate-follows-ground");
    expect(next!.evidence).toBe("weak");
    expect(next!.chanceOfGain).toBeNull();
    // The same strips in an order drawn by lot are a response.
    const drawn = farmOf((rate) => 50 + 12 * rate);
    expect(codes(drawn)).not.toContain("rate-follows-ground");
    expect(drawn.next[0]!.chanceOfGain).not.toBeNull();
  });
});
