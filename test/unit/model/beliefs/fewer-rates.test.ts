import { describe, expect, it } from "vitest";
import { withFewerRates } from "../../../../src/model/beliefs/fewer-rates.ts";

const cell = (block: string, rateSeedsPerM2: number, strips: number, meanYieldKgPerHa: number) => ({
  block,
  rateSeedsPerM2,
  strips,
  meanYieldKgPerHa,
  position: null,
});

describe("rates of which every strip has its own", () => {
  it("leaves trials with planned rates as they are", () => {
    const fits = [
      { variety: "Alder", environment: "2024", withinCellSs: 3, cells: [cell("1", 200, 2, 5000)] },
    ];
    expect(withFewerRates(fits)[0]).toBe(fits[0]);
  });

  it("keeps strips, mean rate, mean yield and the whole sum of squares of the yields", () => {
    const cells = Array.from({ length: 1000 }, (_, i) =>
      cell(String(i % 3), 200 + 0.2 * i, 1 + (i % 2), 5000 + ((i * 37) % 400)),
    );
    const before = { variety: "Alder", environment: "2024", withinCellSs: 11, cells };
    const [after] = withFewerRates([before]);
    expect(after!.cells.length).toBeLessThan(125);
    const strips = (fit: typeof before): number => fit.cells.reduce((sum, one) => sum + one.strips, 0);
    const mean = (fit: typeof before, of: "rateSeedsPerM2" | "meanYieldKgPerHa"): number =>
      fit.cells.reduce((sum, one) => sum + one.strips * one[of], 0) / strips(fit);
    const squares = (fit: typeof before): number =>
      fit.withinCellSs +
      fit.cells.reduce(
        (sum, one) => sum + one.strips * (one.meanYieldKgPerHa - mean(fit, "meanYieldKgPerHa")) ** 2,
        0,
      );
    expect(strips(after!)).toBe(strips(before));
    expect(mean(after!, "rateSeedsPerM2")).toBeCloseTo(mean(before, "rateSeedsPerM2"), 9);
    expect(mean(after!, "meanYieldKgPerHa")).toBeCloseTo(mean(before, "meanYieldKgPerHa"), 9);
    expect(squares(after!) / squares(before)).toBeCloseTo(1, 9);
  });

  it("brings every rate no farther than the width of a class", () => {
    const cells = Array.from({ length: 1000 }, (_, i) => cell(String(i), 200 + 0.2 * i, 1, 5000));
    const [after] = withFewerRates([
      { variety: "Alder", environment: "2024", withinCellSs: 0, cells: [...cells] },
    ]);
    for (const one of after!.cells)
      expect(Math.abs(one.rateSeedsPerM2 - (200 + 0.2 * Number(one.block)))).toBeLessThan(200 / 40);
  });
});

/** 401 rates of 100 to 500, one strip each with 4900 kg/ha more than the rate; in an order that is not that of the rates. */
const everyRate = Array.from({ length: 401 }, (_, i) => 100 + ((i * 7) % 401)).map((rate) =>
  cell("1", rate, 1, 4900 + rate),
);

describe("classes of rates by hand", () => {
  it("are a fortieth of the range, the last with the highest rate", () => {
    const [after] = withFewerRates([
      { variety: "Alder", environment: "2024", withinCellSs: 7, cells: everyRate },
    ]);
    // Ten rates each, 100 to 109 first, and eleven from 490 on; yields go with the rates.
    const classes = Array.from({ length: 40 }, (_, n) => (n < 39 ? 104.5 + 10 * n : 495));
    expect(after!.cells).toHaveLength(40);
    after!.cells.forEach((one, n) => {
      expect(one.rateSeedsPerM2).toBeCloseTo(classes[n]!, 9);
      expect(one.meanYieldKgPerHa).toBeCloseTo(4900 + classes[n]!, 9);
      expect(one.strips).toBe(n < 39 ? 10 : 11);
    });
    // Squares of ten numbers in a row about their mean are 82.5, of eleven 110.
    expect(after!.withinCellSs).toBeCloseTo(7 + 39 * 82.5 + 110, 6);
    expect(everyRate[0]).toEqual(cell("1", 100, 1, 5000));
  });

  it("stand at the mean rate of the variety's strips in all environments", () => {
    const [, after] = withFewerRates([
      { variety: "Alder", environment: "2024", withinCellSs: 0, cells: everyRate },
      { variety: "Alder", environment: "2025", withinCellSs: 0, cells: [cell("1", 100, 3, 5000)] },
    ]);
    // (100 + … + 109 + 3 × 100) ÷ 13.
    expect(after!.cells.map(({ rateSeedsPerM2 }) => rateSeedsPerM2)).toEqual([1345 / 13]);
  });

  it("are for varieties with more than 200 rates, each by itself", () => {
    const fits = [
      { variety: "Alder", environment: "2024", withinCellSs: 0, cells: everyRate.slice(0, 200) },
      { variety: "Birch", environment: "2024", withinCellSs: 0, cells: everyRate.slice(0, 201) },
      { variety: "Cedar", environment: "2024", withinCellSs: 0, cells: everyRate.slice(0, 150) },
    ];
    const after = withFewerRates(fits);
    expect(after[0]).toBe(fits[0]);
    expect(after[1]!.cells.length).toBeLessThan(41);
    expect(after[2]).toBe(fits[2]);
  });

  it("keep blocks and positions apart, in their order", () => {
    const placed = ["b", "c", "a"].flatMap((block) =>
      everyRate.map((one, i) => ({ ...one, block, position: [20, 3, 11][i % 3]! })),
    );
    const [after] = withFewerRates([
      { variety: "Alder", environment: "2024", withinCellSs: 0, cells: placed },
    ]);
    expect(after!.cells).toHaveLength(360);
    expect(after!.cells.slice(0, 9).map(({ block, position }) => [block, position])).toEqual([
      ["a", 3],
      ["a", 11],
      ["a", 20],
      ["b", 3],
      ["b", 11],
      ["b", 20],
      ["c", 3],
      ["c", 11],
      ["c", 20],
    ]);
    expect(after!.cells[9]!.rateSeedsPerM2).toBeCloseTo(114.5, 9);
  });
});
