import { describe, expect, it } from "vitest";
import { demoResult } from "../../../fixtures/demo.ts";
import { measuresOf } from "../../../../src/numbers/measures.ts";
import { observationSections } from "../../../../src/tell/terminal/observation-text.ts";
import { plainTextStyle } from "../../../../src/tell/terminal/text-table.ts";

describe("slopes against the rate", () => {
  const oddsIn = (system: "us" | "metric"): [odds: number, more: string] => {
    const result = { ...demoResult(), units: { system, currency: "$" } };
    const text = observationSections(result, measuresOf(result), plainTextStyle).join("\n");
    const [, odds, more] = /Odds of lodging × ([\d.]+) for (.+?) \(/.exec(text)!;
    return [Number(odds), more!];
  };

  it("are told for a step of the reader's own rates", () => {
    const [metric, hundred] = oddsIn("metric");
    const [us, halfMillion] = oddsIn("us");
    expect([hundred, halfMillion]).toEqual(["100 more seeds/m²", "0.5 million more seeds/ac"]);
    // Half a million an acre of 4,046.856 m² are 123.55 seeds/m².
    expect(us).toBeCloseTo(metric ** 1.2355, 1);
    expect(us).toBeGreaterThan(metric + 0.05);
  });
});
