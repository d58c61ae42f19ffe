import { describe, expect, it } from "vitest";
import { isCents, splitAmount } from "../../../../src/read/units/split-amount.ts";

describe("an amount", () => {
  it.each([
    ["$6.20/bu", "6.20", "$", "/bu"],
    ["-0.12 $/bu", "-0.12", "$", "/bu"],
    ["6.20 USD / bu", "6.20", "USD", "/ bu"],
    ["USD 6.20/bu", "6.20", "USD", "/bu"],
    ["US$ 6.20", "6.20", "US$", ""],
    ["C$6.20", "6.20", "C$", ""],
    ["A$6.20 /t", "6.20", "A$", "/t"],
    ["€ 210 /t", "210", "€", "/t"],
    ["210 US$/t", "210", "US$", "/t"],
    ["210 C$/t", "210", "C$", "/t"],
    ["210 A$/t", "210", "A$", "/t"],
    ["-$0.12", "-0.12", "$", ""],
    ["- $ 0.12", "-0.12", "$", ""],
    ["$ -0.12/bu", "-0.12", "$", "/bu"],
    ["+5 %", "+5", "", "%"],
    ["\u2212" + "5 °C", "\u22125", "", "°C"],
    ["20 ¢/bu", "20", "¢", "/bu"],
    ["20 ct/bu", "20", "ct", "/bu"],
    ["20 cts/bu", "20", "cts", "/bu"],
    ["20 cent/bu", "20", "cent", "/bu"],
    ["20 cents/bu", "20", "cents", "/bu"],
    ["20 centners", "20", "", "centners"],
    ["20 ctr", "20", "", "ctr"],
    ["1,200,000 seeds/ac", "1,200,000", "", "seeds/ac"],
    ["1 200 000 seeds/ac", "1 200 000", "", "seeds/ac"],
    ["1 200,5 kg", "1 200,5", "", "kg"],
    ["1\u202f200 kg", "1\u202f200", "", "kg"],
    ["1'200 kg", "1'200", "", "kg"],
    ["1’200 kg", "1’200", "", "kg"],
    ["12 2000 kg", "12", "", "2000 kg"],
    [".5 ha", ".5", "", "ha"],
    [",5 ha", ",5", "", "ha"],
    ["1.2e6", "1.2e6", "", ""],
    ["1.2E+6/ac", "1.2E+6", "", "/ac"],
    ["5e-3 m", "5e-3", "", "m"],
    ["3. block", "3", "", "block"],
    ["  40 lb  ", "40", "", "lb"],
    ["40lb", "40", "", "lb"],
    ["40 LBS", "40", "LBS", ""],
    ["40 LBSX", "40", "", "LBSX"],
    ["$40 USD", "40", "$", "USD"],
  ])("of %j is %j, %j and %j", (text, number, currency, unit) => {
    expect(splitAmount(text)).toEqual({ number, currency, unit });
  });

  it.each(["", "lb 40", "abc", "$", "-", "USDA 5", "x40"])("is none in %j", (text) => {
    expect(splitAmount(text)).toBeNull();
  });

  it("has a hundred characters at most", () => {
    expect(splitAmount(`1 ${"x".repeat(98)}`)!.unit).toBe("x".repeat(98));
    expect(splitAmount(`1 ${"x".repeat(99)}`)).toBeNull();
  });
});

describe("cents", () => {
  it("are told by their sign or word alone", () => {
    expect(["¢", "ct", "cts", "cent", "cents"].map(isCents)).toEqual([true, true, true, true, true]);
    expect(["$", "", "acts", "ctx", "a cent"].map(isCents)).toEqual([false, false, false, false, false]);
  });
});
