import { describe, expect, it } from "vitest";
import { withFewerBlocks } from "../../../../src/model/pooled/fewer-blocks.ts";
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

describe("very many blocks in a few fields", () => {
  it("keeps whole blocks, evenly chosen in every field", () => {
    const field = (environment: string, blocks: number) => ({
      variety: "Alder",
      environment,
      withinCellSs: blocks,
      cells: Array.from({ length: 4 * blocks }, (_, i) =>
        cell(String(10_000 + Math.floor(i / 4)), 200 + 50 * (i % 4), 1, 5000),
      ),
    });
    const fits = [field("2024", 20_000), field("2025", 10_000)];
    const kept = withFewerBlocks(fits);
    expect(kept.map(({ cells }) => cells.length)).toEqual([40_000, 20_000]);
    expect(kept.map(({ withinCellSs }) => withinCellSs)).toEqual([10_000, 5000]);
    const counts = new Map<string, number>();
    for (const { block } of kept[1]!.cells) counts.set(block, (counts.get(block) ?? 0) + 1);
    expect(new Set(counts.values())).toEqual(new Set([4]));
    expect(
      withFewerBlocks(fits.map((fit) => ({ ...fit, cells: fit.cells.slice(0, 400) })))[0]!.cells.length,
    ).toBe(400);
  });
});
