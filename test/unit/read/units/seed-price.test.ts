import { describe, expect, it } from "vitest";
import { parseSeedPriceUnit } from "../../../../src/read/units/seed-price.ts";

describe("parseSeedPriceUnit", () => {
  it.each([
    ["$/lb", "kg", 0.45359237],
    ["$/bu", "kg", 27.2155422],
    ["$ per bushel", "kg", 27.2155422],
    ["$/cwt", "kg", 45.359237],
    ["€/kg", "kg", 1],
    ["EUR/100 kg", "kg", 100],
    ["€/t", "kg", 1000],
    ["$/ton", "kg", 907.18474],
    ["$/50 lb", "kg", 22.6796185],
    ["$/1,000 seeds", "thousand-seeds", 1],
    ["$/thousand", "thousand-seeds", 1],
    ["$/million seeds", "thousand-seeds", 1000],
    ["$/unit", "thousand-seeds", 140],
    ["$/80000 seeds", "thousand-seeds", 80],
  ])("%s buys %s: %f", (text, per, amount) => {
    const unit = parseSeedPriceUnit(text, 60, 140_000)!;
    expect(unit.per).toBe(per);
    expect(unit.amount).toBeCloseTo(amount, 9);
  });

  it("knows a unit only with its seeds, and nothing else", () => {
    expect(parseSeedPriceUnit("$/unit", 60, null)).toBeNull();
    expect(parseSeedPriceUnit("$/acre", 60, 140_000)).toBeNull();
    expect(parseSeedPriceUnit("$", 60, null)).toBeNull();
    expect(parseSeedPriceUnit("$/0 lb", 60, null)).toBeNull();
  });
});
