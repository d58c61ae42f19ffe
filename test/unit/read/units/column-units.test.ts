/**
 * Units of columns. 1 ft is 0.3048 m, 1 lb 0.45359237 kg and 1 acre 43,560 ft² = 4,046.8564224 m² (NIST Special Publication 811,
 * appendix B); a bushel of wheat is 60 lb.
 */
import { describe, expect, it } from "vitest";
import {
  parseUnit,
  plainUnit,
  quantities,
  unitNamed,
  type QuantityName,
} from "../../../../src/read/units/column-units.ts";
import { crops } from "../../../../src/vocabulary/crops.ts";

const [ft, lb, acre] = [0.3048, 0.45359237, 4046.8564224];
const oursOf = (quantity: QuantityName, unit: string, value: number): number =>
  parseUnit(quantity, unit)!.toOurs(value, crops.wheat);

describe("a number in a unit", () => {
  it.each([
    ["rate", "seeds/ft2", 28, 28 / ft ** 2],
    ["rate", "seeds/m2", 300, 300],
    ["rate", "seeds/ac", 1.2e6, 1.2e6 / acre],
    ["rate", "thousand seeds/ac", 1200, 1.2e6 / acre],
    ["rate", "million seeds/ac", 1.2, 1.2e6 / acre],
    ["rate", "seeds/ha", 3e6, 300],
    ["rate", "thousand seeds/ha", 3000, 300],
    ["rate", "million seeds/ha", 3, 300],
    ["rate", "bu/ac", 2, (2 * 60 * lb) / (acre / 10_000)],
    ["rate", "lb/ac", 90, (90 * lb) / (acre / 10_000)],
    ["rate", "#", 90, (90 * lb) / (acre / 10_000)],
    ["rate", "kg", 90, 90],
    ["stripRate", "seeds/ft of row", 6, 6 / ft],
    ["stripRate", "seeds/m of row", 20, 20],
    ["stripRate", "% of rate_now", 80, 0.8],
    ["yield", "bu/ac", 60, (60 * 60 * lb) / (acre / 10_000)],
    ["yield", "cwt/ac", 36, (3600 * lb) / (acre / 10_000)],
    ["yield", "kg/ha", 4000, 4000],
    ["yield", "t/ha", 4, 4000],
    ["yield", "dt/ha", 40, 4000],
    ["yield", "g/m2", 400, 4000],
    ["yield", "short ton/ac", 2, (4000 * lb) / (acre / 10_000)],
    ["stripWeight", "lb", 100, 100 * lb],
    ["stripWeight", "kg", 100, 100],
    ["stripWeight", "bu", 2, 120 * lb],
    ["stripWeight", "cwt", 3, 300 * lb],
    ["stripWeight", "t", 0.5, 500],
    ["stripWeight", "g", 500, 0.5],
    ["rowSpacing", "in", 7.5, (7.5 * ft) / 12],
    ["rowSpacing", "cm", 19, 0.19],
    ["length", "ft", 100, 100 * ft],
    ["length", "m", 30, 30],
    ["length", "yd", 10, 30 * ft],
    ["seedsPerRow", "seeds/ft", 18, 18 / ft],
    ["seedsPerRow", "seeds/m", 60, 60],
    ["caught", "g", 40, 40],
    ["caught", "kg", 0.04, 40],
    ["caught", "oz", 2, (2 * 1000 * lb) / 16],
    ["caught", "lb", 2, 2000 * lb],
    ["moisture", "%", 13.5, 13.5],
    ["moisture", "share", 0.135, 13.5],
    ["stand", "plants/ft2", 25, 25 / ft ** 2],
    ["heads", "heads/m2", 500, 500],
    // 0.45359237 kg over 35.23907 l (NIST, the same): 1 lb/bu is 1.287 kg/hl.
    ["testWeight", "lb/bu", 60, (60 * lb * 100) / 35.23907],
    ["testWeight", "kg/hl", 78, 78],
    ["testWeight", "g/l", 780, 78],
    ["seedsPerPound", "seeds/lb", 12_500, 12_500 / lb],
    ["seedsPerKg", "seeds/kg", 27_000, 27_000],
    ["kernelWeight", "g", 40, 25_000],
    ["water", "in", 2, 50.8],
    ["water", "mm", 50, 50],
    ["water", "cm", 5, 50],
    // A mile is 5,280 ft.
    ["speed", "mph", 5, (5 * 5280 * ft) / 3600],
    ["speed", "km/h", 18, 5],
    ["speed", "m/s", 2, 2],
    ["speed", "ft/s", 10, 10 * ft],
    ["grainFlow", "lb/s", 30, 30 * lb],
    ["grainFlow", "kg/s", 14, 14],
    ["grainFlow", "t/h", 36, 10],
    ["grainFlow", "lb/h", 7200, 2 * lb],
    ["area", "ac", 10, (10 * acre) / 10_000],
    ["area", "ha", 4, 4],
    ["area", "m2", 500, 0.05],
    ["area", "ft2", 43_560, acre / 10_000],
  ] as [QuantityName, string, number, number][])("of %s in %s: %f is %f", (quantity, unit, value, ours) => {
    expect(oursOf(quantity, unit, value) / ours).toBeCloseTo(1, 6);
  });

  it("counts thousands and millions to the seed", () => {
    // 1.001 × 1,000,000 is 1,000,999.9999999999 in floating point: the same rate in two units stays one rate.
    expect(oursOf("rate", "million seeds/ac", 1.001)).toBe(oursOf("rate", "seeds/ac", 1_001_000));
    expect(oursOf("rate", "million seeds/ha", 1.001)).toBe(oursOf("rate", "seeds/ha", 1_001_000));
    expect(oursOf("rate", "thousand seeds/ha", 2.01)).toBe(oursOf("rate", "seeds/ha", 2010));
    // What is no whole count stays as it is.
    expect(oursOf("rate", "thousand seeds/ha", 0.00125)).toBeCloseTo(1.25 / 10_000, 15);
    expect(oursOf("rate", "thousand seeds/ha", 0)).toBe(0);
  });

  it("says what else it needs", () => {
    expect(parseUnit("stripRate", "seeds/ft of row")!.alongRow).toBe(true);
    expect(parseUnit("stripRate", "% of rate_now")!.ofToday).toBe(true);
    expect(parseUnit("rate", "lb/ac")!.seedWeight).toBe(true);
    expect(parseUnit("yield", "lb/ac")!.seedWeight).toBeUndefined();
    expect(parseUnit("rate", "seeds/ac")!.seedWeight).toBeUndefined();
  });
});

describe("one spelling of a unit", () => {
  it.each([
    [
      "bu/ac",
      [
        "BU / AC",
        "Bushels per acre",
        "bu ac⁻¹",
        "bu ac-1",
        "bu ac^-1",
        "bus/acre",
        "bushel je acres",
        "bu/a",
        "bu/ A",
      ],
    ],
    [
      "lb/ac",
      ["lbs per acre", "Pounds/Acre", "pound par acre", "lb ac-1", "lb·ac⁻¹", "lb  ac-1", "lb . ac-1"],
    ],
    [
      "seeds/ft2",
      [
        "Seeds per sq. ft.",
        "seeds/square foot",
        "seeds per square feet",
        "seeds/sq ft",
        "seeds/ft²",
        "seeds ft-2",
        "seeds ft⁻²",
      ],
    ],
    [
      "seeds/m2",
      [
        "seeds/sq. m",
        "seeds per square metre",
        "seeds/square meters",
        "seeds/qm",
        "seeds m⁻²",
        "seeds*m^-2",
        "seeds/sq metres",
      ],
    ],
    ["kg/ha", ["kg ha⁻¹", "kg per hectare", "KG/Hectares", "kg por hectare", "kg.ha-1"]],
    ["seeds/ft", ["seeds per foot", "seeds/feet", "seeds ft-1"]],
    [
      "millionseeds/ac",
      [
        "million seeds/ac",
        "millions of seeds per acre",
        "millions seeds/ac",
        "millionen seeds/ac",
        "millones seeds/ac",
        "mill seeds/ac",
        "million of seeds/acre",
        "millions  of  seeds/ac",
      ],
    ],
    [
      "thousandseeds/ha",
      [
        "thousands of seeds/ha",
        "tausend seeds/ha",
        "tsd seeds/ha",
        "mille seeds/ha",
        "milliers seeds/ha",
        "thousand seeds per hectare",
        "thousand of seeds/ha",
        "millier de seeds/ha",
        "milliers  de seeds/ha",
      ],
    ],
    ["thousandsemillas/ha", ["mil semillas/ha", "mil semillas por ha", "mil  semillas/ha"]],
    ["thousandgranos/ha", ["mil granos/ha"]],
    ["thousandplantas/ha", ["mil plantas/ha"]],
    ["milseeds/ac", ["mil seeds/ac"]],
    ["millonesemillas", ["millone semillas"]],
    ["106/ac", ["10⁶/ac", "10^6/ac", "10 ^6 / ac"]],
    ["x1000/ac", ["× 1000/ac", "x 1000/ac"].slice(1)],
    ["1000/ac", ["×1000/ac", "1_000/ac"]],
    ["lb/bu", ["lb bu-1", "pounds per bushel"]],
    ["seeds/lb", ["seeds lb⁻¹", "seeds per pound"]],
    ["seeds/kg", ["seeds kg^-1"]],
    ["kg/hl", ["kg hl-1"]],
    ["feetlong", ["feetlong"]],
    ["acreage", ["acreage"]],
    ["t/ha", ["t ha-1", "t / ha"]],
    ["/area", ["/area"]],
  ])("is %s", (plain, written) => {
    for (const text of written) expect(plainUnit(text), text).toBe(plain);
  });
});

describe("a unit that a text names", () => {
  const named = (quantity: QuantityName, text: string): string | undefined => parseUnit(quantity, text)?.name;

  it("is found by its spellings, with words that say nothing", () => {
    expect(named("rate", "viable seeds per acre")).toBe("seeds/ac");
    expect(named("rate", "pure live seeds/m²")).toBe("seeds/m2");
    expect(named("rate", "PLS/ft2")).toBe("seeds/ft2");
    expect(named("rate", "M/ac")).toBe("million seeds/ac");
    expect(named("rate", "millions of seeds per acre")).toBe("million seeds/ac");
    expect(named("rate", "thousands of seeds per acre")).toBe("thousand seeds/ac");
    expect(named("rate", "1000 kernels/ac")).toBe("thousand seeds/ac");
    expect(named("rate", "keimfähige Körner je m²")).toBe("seeds/m2");
    expect(named("rate", "gr/m2")).toBe("seeds/m2");
    expect(named("yield", "bu grain per acre")).toBe("bu/ac");
    expect(named("yield", "bpa")).toBe("bu/ac");
    expect(named("stand", "seedlings per ft²")).toBe("plants/ft2");
    expect(named("stand", "/ft")).toBe("plants/ft of row");
    expect(named("heads", "ears/m2")).toBe("heads/m2");
    expect(named("seedsPerRow", "kernels/ft")).toBe("seeds/ft");
    expect(named("length", '"')).toBe("in");
    expect(named("area", "acres")).toBe("ac");
  });

  it("is none where nothing but such words is written, or another thing's unit", () => {
    expect(parseUnit("rate", "seeds")).toBeNull();
    expect(parseUnit("rate", "")).toBeNull();
    expect(parseUnit("rate", "t/ha")).toBeNull();
    expect(parseUnit("moisture", "kg")).toBeNull();
    expect(parseUnit("stand", "furlongs")).toBeNull();
    expect(parseUnit("length", "grain ft")).toBeNull();
  });

  it("is not looked for in a text of more than a hundred characters", () => {
    expect(named("length", `m${" ".repeat(99)}`)).toBe("m");
    expect(parseUnit("length", `m${" ".repeat(100)}`)).toBeNull();
  });

  it("is the table's own by its name", () => {
    expect(unitNamed("speed", "km/h")).toBe(quantities.speed.units[1]);
  });
});
