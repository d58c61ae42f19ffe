import { describe, expect, it } from "vitest";
import { checkEarlierResult } from "../../../src/check/earlier-result.ts";
import { unknownLot, type Lot } from "../../../src/vocabulary/settings.ts";
import { makeResult } from "../../fixtures/result.ts";

const made = makeResult();
const check = (more: Partial<Lot>) => () => {
  const lot: Lot = { ...unknownLot("Alder"), pricePerKg: 0.55, ...more };
  checkEarlierResult({ ...made, next: [], settings: { ...made.settings, lots: [lot] } }, "old.json");
};
const bushel = { noun: "bu", size: "", kg: 27.2, thousandSeeds: null };

describe("the lots of an earlier result", () => {
  it("may be as they were written", () => {
    expect(check({ soldIn: bushel, areaHa: 40 })).not.toThrow();
    expect(check({ soldIn: null })).not.toThrow();
  });

  it.each<[Partial<Lot>, string]>([
    [
      { soldIn: { ...bushel, kg: -1 } },
      "old.json, lot of Alder, seed_price: a seed unit of -1 kg is impossible",
    ],
    [
      { soldIn: { ...bushel, kg: null, thousandSeeds: 0 } },
      "a seed unit close to 0 thousand seeds is impossible",
    ],
    [{ areaHa: -5 }, "old.json, lot of Alder, area: an area of −12 acres is impossible"],
  ])("are refused with amounts of nothing or less: %j", (more, message) => {
    expect(check(more)).toThrow(message);
  });
});
