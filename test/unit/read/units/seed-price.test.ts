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

describe("what a seed price is for", () => {
  const soldIn = (text: string) => parseSeedPriceUnit(text, 60, 140_000)?.soldIn ?? null;

  // A pound is 0.45359237 kg (international yard and pound agreement, 1959): 50 lb are 22.6796185 kg, a bushel of 60 lb 27.2155422.
  it.each([
    ["$/lb", "lb", "", 0.45359237],
    ["$/lbs", "lb", "", 0.45359237],
    ["$/pound", "lb", "", 0.45359237],
    ["$/pounds", "lb", "", 0.45359237],
    ["$/lb  seed", "lb", "", 0.45359237],
    ["$/bu", "bu", "", 27.2155422],
    ["$/bushels", "bu", "", 27.2155422],
    ["  €/kg ", "kg", "", 1],
    ["$/50 lb", "", "50 lb", 22.6796185],
    ["$/50lb bag", "bag", "50 lb", 22.6796185],
    ["$/50-lb bag", "bag", "50 lb", 22.6796185],
    ["$/50 lb  bags", "bag", "50 lb", 22.6796185],
    ["$/50# bag", "bag", "50 lb", 22.6796185],
    ["$/50  # bag", "bag", "50 lb", 22.6796185],
    ["$/bag of 50 lb", "bag", "50 lb", 22.6796185],
    ["$/bags of 50 lb", "bag", "50 lb", 22.6796185],
    ["$/unit of 50 lb", "unit", "50 lb", 22.6796185],
    ["$/sack  of  25 kg", "sack", "25 kg", 25],
    ["$/sacks of 25 kg", "sack", "25 kg", 25],
    ["$/tote of 2000 lb", "tote", "2,000 lb", 907.18474],
    ["€/Einheit zu 25 kg", "", "25 kg", 25],
    ["$/22.68 kg bag", "bag", "22.68 kg", 22.68],
    ["$/1 kg bag", "bag", "1 kg", 1],
  ])("%s: %s of %s", (text, noun, size, kg) => {
    expect(soldIn(text)).toEqual({ noun, size, kg: expect.closeTo(kg, 9) as number, thousandSeeds: null });
  });

  it.each([
    ["$/unit", "unit", "140,000 seeds", 140],
    ["$/bag", "bag", "140,000 seeds", 140],
    ["$/bags", "bag", "140,000 seeds", 140],
    ["$/80,000 seeds", "", "80,000 seeds", 80],
    ["$/80000-seed unit", "unit", "80,000 seeds", 80],
    ["$/bag of 80000 seeds", "bag", "80,000 seeds", 80],
    ["$/500 k seeds", "", "500,000 seeds", 500],
    // Of many seeds an order is told in millions.
    ["$/thousand", "million seeds", "", 1000],
    ["$/million seed", "million seeds", "", 1000],
    ["$/2 million seeds", "million seeds", "", 1000],
    ["$/1,000,000 seeds", "million seeds", "", 1000],
  ])("%s: %s of %s", (text, noun, size, thousandSeeds) => {
    expect(soldIn(text)).toEqual({ noun, size, kg: null, thousandSeeds });
  });

  it.each([
    "$/bush",
    "$/rebu",
    "$/bagger",
    "$/mini-unit",
    "$/pounder",
    "$/compound",
    "$/kg as bought",
    "$/#",
    "$/lb seedy",
  ])("is nothing known in %s", (text) => expect(soldIn(text)).toBeNull());

  it("is said in a hundred characters at most", () => {
    expect(soldIn(`$/${"kg".padStart(98)}`)).not.toBeNull();
    expect(soldIn(`$/${"kg".padStart(99)}`)).toBeNull();
  });
});
