import { describe, expect, it } from "vitest";
import { measuresOf } from "../../../src/numbers/measures.ts";
import {
  bearableStep,
  chance,
  counted,
  dateInWords,
  dayInWords,
  fixed,
  listed,
  percent,
  plainStyle,
  shortest,
  shortestMoney,
  toStep,
  type NumberStyle,
} from "../../../src/numbers/written-numbers.ts";
import {
  fromBushelsPerAcre,
  fromMoneyPerAcre,
  fromPerAcre,
  fromPricePerBushel,
} from "../../../src/numbers/units.ts";
import { makeResult } from "../../fixtures/result.ts";

const european: NumberStyle = { decimal: ",", thousands: ".", dates: "day-first" };

describe("numbers as text", () => {
  it("rounds to what an interval bears: steps of 1, 2 or 5, about a tenth of its width", () => {
    expect(bearableStep(0.6, 0.01)).toBe(0.05);
    expect(bearableStep(0.04, 0.01)).toBe(0.01);
    expect(bearableStep(30, 0.1)).toBe(2);
    expect(toStep(1.2374, 0.05, plainStyle)).toBe("1.25");
    // 1.21 lies half-way; the second has passed through other units.
    expect(toStep(1.21, 0.02, plainStyle)).toBe("1.22");
    expect(toStep(1.2099999999933, 0.02, plainStyle)).toBe("1.22");
  });

  it("groups thousands, keeps a true minus, and has no minus zero", () => {
    expect(fixed(1234567.89, 1, plainStyle)).toBe("1,234,567.9");
    expect(fixed(-3.2, 0, plainStyle)).toBe("−3");
    expect(fixed(-0.2, 0, plainStyle)).toBe("0");
    expect(fixed(1234.5, 1, european)).toBe("1.234,5");
  });

  it("writes money with two decimals or none, whatever units it has passed through", () => {
    expect(shortestMoney(6, plainStyle)).toBe("6");
    expect(shortestMoney(6.5, plainStyle)).toBe("6.50");
    expect(shortestMoney(6.2499999999, plainStyle)).toBe("6.25");
    // $2/ac and $6.25/bu in metric
    expect(shortestMoney(4.942108, plainStyle)).toBe("4.94");
    expect(shortestMoney(229.648, european)).toBe("229,65");
    expect(shortestMoney(0.198, plainStyle)).toBe("0.198");
  });

  it("never says 0 % or 100 % of what is only nearly so", () => {
    expect(percent(0.001, plainStyle)).toMatch(/under 1/);
    expect(percent(0.999, plainStyle)).toMatch(/over 99/);
    expect(percent(0, plainStyle)).toMatch(/^0/);
  });

  it("says chances as a person pictures them", () => {
    expect([0.55, 0.78, 0.97, 0.999, 0.03, 0.001].map(chance)).toEqual([
      "6 in 10",
      "8 in 10",
      "19 in 20",
      "nearly certain",
      "1 in 20",
      "next to none",
    ]);
  });

  it("writes what a person chose as it was chosen", () => {
    expect(shortest(7.4999999999, plainStyle)).toBe("7.5");
    const measures = measuresOf({
      ...makeResult(),
      settings: { ...makeResult().settings, grainPricePerKg: fromPricePerBushel(6.5, 60) },
    });
    expect(measures.grainPrice.chosen(fromPricePerBushel(6.5, 60))).toBe("$6.50/bu");
    expect(measures.moneyPerArea.chosen(fromMoneyPerAcre(2))).toBe("$2/ac");
  });

  it("counts in words and lists", () => {
    expect(counted(3, "variety")).toBe("three varieties");
    expect(counted(1, "season")).toBe("one season");
    expect(counted(1200, "strip")).toBe("1,200 strips");
    expect(listed(["a", "b", "c"])).toBe("a, b and c");
  });

  it("writes dates that cannot be mixed up", () => {
    expect(dateInWords("2027-04-24", plainStyle)).toBe("April 24, 2027");
    expect(dateInWords("2027-04-24", european)).toBe("24 April 2027");
    expect([0, 30, 31, 113, 364].map((day) => dayInWords(day, plainStyle))).toEqual([
      "January 1",
      "January 31",
      "February 1",
      "April 24",
      "December 31",
    ]);
    expect(dayInWords(113, european)).toBe("24 April");
  });
});

describe("measures", () => {
  it("tells US and metric, with the crop's bushel and the person's currency", () => {
    const us = measuresOf(makeResult());
    expect(us.rate.text(fromPerAcre(1_210_000))).toBe("1.21 million seeds/ac");
    expect(us.grainYield.text(fromBushelsPerAcre(64.2, 60))).toBe("64.2 bu/ac");
    expect(us.moneyPerArea.range(fromMoneyPerAcre(-1.2), fromMoneyPerAcre(9.4))).toBe("−$1 to $9/ac");
    const metric = measuresOf(makeResult({ units: { system: "metric", currency: "CAD" } }), european);
    expect(metric.rate.text(299)).toBe("299 seeds/m²");
    expect(metric.grainYield.text(4321)).toBe("4,32 t/ha");
    expect(metric.moneyPerArea.text(12)).toBe("CAD\u00a012/ha");
  });

  it("tells the rates of crops sown thinly in seeds per acre", () => {
    const corn = measuresOf(makeResult({ settings: { crop: "corn" } }));
    expect(corn.rate.text(fromPerAcre(32_000))).toBe("32,000 seeds/ac");
  });
});
