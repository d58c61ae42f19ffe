import { describe, expect, it } from "vitest";
import { drawStand, expectStand } from "../../../../src/decide/drill/stand-bridge.ts";
import { modelStand } from "../../../../src/model/observed/stand.ts";
import { standLossOf, type CropName } from "../../../../src/vocabulary/crops.ts";
import type { Strip } from "../../../../src/vocabulary/trial.ts";
import { makeStrip } from "../../check/make-strips.ts";

const modelled = (strips: readonly Strip[], crop: CropName = "wheat"): ReturnType<typeof modelStand> =>
  modelStand(strips, standLossOf(crop).usual);

const count = (
  losses: Record<string, number>,
  { risePerSeed = 0, wobble = 0.004, blocks = 2 } = {},
): Strip[] =>
  Object.entries(losses).flatMap(([place, loss]) => {
    const [season, variety] = place.split(" ") as [string, string];
    return [200, 300, 400].flatMap((rateSeedsPerM2, r) =>
      Array.from({ length: blocks }, (_, block) =>
        makeStrip({
          season: Number(season),
          variety,
          rateSeedsPerM2,
          block: String(block),
          place: { file: "strips.csv", row: 10 * r + block },
          standPlantsPerM2:
            rateSeedsPerM2 *
            (1 - loss - risePerSeed * (rateSeedsPerM2 - 300) - wobble * ((r + block) % 2 === 0 ? 1 : -1)),
        }),
      ),
    );
  });

describe("modelStand", () => {
  it("is null without counts", () => expect(modelled([makeStrip()]).farmStand).toBeNull());

  it("finds the loss of environments and varieties", () => {
    const { farmStand, stand } = modelled(
      count({ "2022 A": 0.1, "2022 B": 0.14, "2023 A": 0.2, "2023 B": 0.24 }, { wobble: 0.001 }),
    );
    expect(farmStand!.standLoss).toBeCloseTo(0.17, 3);
    expect(stand.map(({ variety, environment }) => [variety, environment])).toEqual([
      ["A", null],
      ["B", null],
      ["A", "2022 North"],
      ["B", "2022 North"],
      ["A", "2023 North"],
      ["B", "2023 North"],
    ]);
    expect(stand.map(({ standLoss }) => standLoss)).toEqual(
      [0.15, 0.19, 0.1, 0.14, 0.2, 0.24].map((loss) => expect.closeTo(loss, 2)),
    );
    expect(farmStand!.lower!).toBeLessThan(0.12);
    expect(farmStand!.upper!).toBeGreaterThan(0.22);
    expect(farmStand!.suffices).toBe(true);
  });

  it("draws a variety with few, scattered counts toward the farm's mean", () => {
    const { farmStand, stand } = modelled([
      ...count(
        { "2022 A": 0.15, "2022 C": 0.15, "2023 A": 0.15, "2023 C": 0.15 },
        { wobble: 0.06, blocks: 4 },
      ),
      ...count({ "2022 B": 0.3 }, { wobble: 0.06, blocks: 1 }),
    ]);
    const b = stand.find(({ variety, environment }) => variety === "B" && environment === null)!;
    // Its three counts alone say 0.32.
    expect(b.standLoss).toBeLessThan(0.3);
    expect(b.standLoss).toBeGreaterThan(farmStand!.standLoss);
  });

  it("sees that more seed loses more", () => {
    const { farmStand } = modelled(count({ "2022 A": 0.15, "2023 A": 0.2 }, { risePerSeed: 0.0003 }));
    expect(farmStand!.perHundredSeeds!.estimate).toBeCloseTo(0.03, 4);
    expect(farmStand!.perHundredSeeds!.p).toBeLessThan(0.001);
  });

  it("compares varieties at one rate, where they were sown at different ones", () => {
    const thin = count({ "2022 A": 0.15, "2023 A": 0.15 }, { risePerSeed: 0.0005, wobble: 0.001 });
    const thick = count({ "2022 B": 0.15, "2023 B": 0.15 }, { risePerSeed: 0.0005, wobble: 0.001 });
    const { stand } = modelled([
      ...thin.filter(({ rateSeedsPerM2 }) => rateSeedsPerM2 < 400),
      ...thick.filter(({ rateSeedsPerM2 }) => rateSeedsPerM2 > 200),
    ]);
    const [a, b] = stand.filter(({ environment }) => environment === null);
    expect(a!.standLoss).toBeCloseTo(b!.standLoss, 3);
    expect(a!.standLoss).toBeCloseTo(0.15, 2);
  });

  // McLeod 1982 (N.Z. J. Exp. Agric. 10:133–136), barley, means of 8 site-years: plants/m² at 50, 75 … 150 kg/ha.
  it("sees in published counts that a smaller share comes up the more is sown", () => {
    const seedsPerKg = 25_000;
    const strips = [112, 163, 203, 239, 294].map((standPlantsPerM2, i) =>
      makeStrip({ rateSeedsPerM2: ((50 + 25 * i) * seedsPerKg) / 10_000, standPlantsPerM2 }),
    );
    expect(modelled(strips).farmStand!.perHundredSeeds!.estimate).toBeGreaterThan(0);
  });

  it("leaves out a count with a slipped decimal point and says where it stands", () => {
    const strips = count({ "2022 A": 0.15, "2023 A": 0.2 });
    strips[2]!.standPlantsPerM2! /= 10;
    const { farmStand, findings } = modelled(strips);
    expect(farmStand!.counts).toBe(strips.length - 1);
    expect(farmStand!.standLoss).toBeCloseTo(0.175, 2);
    expect(findings.map(({ code, file, row }) => [code, file, row])).toEqual([
      ["stand-out-of-line", "strips.csv", strips[2]!.place.row],
    ]);
  });

  // From memory: losses of 5.1 to 46.6 % over three seasons.
  it("warns of a loss outside what was ever measured", () => {
    expect(modelled(count({ "2022 A": 0.55 })).findings.map(({ code }) => code)).toEqual([
      "stand-loss-unusual",
    ]);
    expect(modelled(count({ "2022 A": 0.02 })).findings).toHaveLength(1);
    expect(modelled(count({ "2022 A": 0.4 })).findings).toEqual([]);
  });

  // Prairie oilseed growers' bulletin, 2010: half the seeds of canola live. Corn loses few: common practice, no source.
  it("warns by the crop: canola loses half its seeds, and corn hardly any", () => {
    const half = count({ "2022 A": 0.55 });
    expect(modelled(half, "canola").findings).toEqual([]);
    expect(modelled(half, "corn").findings[0]!.message).toContain("A loss of 0 to 25% is usual.");
    expect(modelled(count({ "2022 A": 0.03 }), "corn").findings).toEqual([]);
  });

  it("tells more plants than seeds as such, in a range the right way round", () => {
    const { farmStand, stand, findings } = modelled(count({ "2022 A": -0.1, "2023 A": -0.2 }));
    expect(findings.map(({ message }) => message)[0]).toContain(
      "In 2022 North the counts show that there were 10% more plants than viable seeds. A loss of 5 to 47% is usual.",
    );
    for (const { lower, standLoss, upper } of [farmStand!, ...stand]) {
      expect(lower).toBeLessThanOrEqual(standLoss);
      expect(upper).toBeGreaterThanOrEqual(standLoss);
    }
  });

  it("gives no range and does not suffice from one environment", () => {
    const { farmStand } = modelled(count({ "2022 A": 0.15 }));
    expect([farmStand!.lower, farmStand!.upper, farmStand!.suffices]).toEqual([null, null, false]);
  });
});

describe("expectStand", () => {
  const settings = { standLoss: 0.15 };
  it("takes the handbook's figure until the counts suffice", () => {
    expect(expectStand("A", 300, modelled([]), settings)).toEqual({
      from: "setting",
      standLoss: 0.15,
      plantsPerM2: 255,
    });
    expect(expectStand("A", 300, modelled(count({ "2022 A": 0.3 })), settings).from).toBe("setting");
  });

  it("takes the variety's own figure where it has enough counts, else the farm's", () => {
    const seen = modelled([
      ...count({ "2022 A": 0.3, "2023 A": 0.3 }),
      ...count({ "2023 B": 0.3 }, { blocks: 1 }),
    ]);
    expect(expectStand("A", 300, seen, settings).from).toBe("variety");
    expect(expectStand("B", 300, seen, settings).from).toBe("farm");
    expect(expectStand("new", 300, seen, settings).from).toBe("farm");
    expect(expectStand("A", 300, seen, settings).plantsPerM2).toBeCloseTo(210, 0);
  });

  it("draws the stand over the tested rates, between its bounds", () => {
    const seen = modelled(count({ "2022 A": 0.1, "2023 A": 0.2, "2024 A": 0.15 }));
    for (const point of drawStand("A", [200, 400], seen, settings).points) {
      expect(point.value).toBeCloseTo(0.85 * point.rateSeedsPerM2, 0);
      expect(point.lower!).toBeLessThan(point.value);
      expect(point.upper!).toBeGreaterThan(point.value);
    }
  });
});
