import { describe, expect, it } from "vitest";
import { withFewerBlocks } from "../../../../src/model/pooled/fewer-blocks.ts";

const cell = (block: number, rateSeedsPerM2: number, strips = 1) => ({
  block: String(block),
  rateSeedsPerM2,
  strips,
  meanYieldKgPerHa: 5000,
  position: null,
});

/** Blocks with four rates each, the last first. */
const field = (environment: string, blocks: number, variety = "Alder") => ({
  variety,
  environment,
  withinCellSs: blocks,
  cells: Array.from({ length: 4 * blocks }, (_, i) =>
    cell(10_000 + blocks - 1 - Math.floor(i / 4), 200 + 50 * (i % 4)),
  ),
});

describe("very many blocks in a few fields", () => {
  it("are left out evenly and whole, in every field", () => {
    // 120,000 cells, of which every second block of each field may stay: the 2nd, 4th, … by their names.
    const kept = withFewerBlocks([field("2024", 20_000), field("2025", 10_000)]);
    expect(kept.map(({ cells }) => cells.length)).toEqual([40_000, 20_000]);
    expect(kept.map(({ withinCellSs }) => withinCellSs)).toEqual([10_000, 5000]);
    const blocks = [...new Set(kept[1]!.cells.map(({ block }) => Number(block)))].sort((a, b) => a - b);
    expect(blocks).toEqual(Array.from({ length: 5000 }, (_, i) => 10_001 + 2 * i));
  });

  it("are the same for all varieties of a field, which keep their strips' share of the scatter", () => {
    const birch = {
      variety: "Birch",
      environment: "2024",
      withinCellSs: 12,
      cells: [cell(10_000, 200, 3), cell(10_001, 200, 1), cell(10_001, 300, 2)],
    };
    const [, few] = withFewerBlocks([field("2024", 29_999), birch]);
    // 119,999 cells: a bit more than half of the blocks, and the first of each two goes.
    expect(few!.cells).toEqual([cell(10_001, 200, 1), cell(10_001, 300, 2)]);
    expect(few!.withinCellSs).toBe(6);
  });

  it("are at least one in every field", () => {
    // Of 240,008 cells about a quarter may stay, which is none of two blocks.
    const kept = withFewerBlocks([field("2024", 60_000), field("2025", 2)]);
    expect(kept[1]!.cells.map(({ block }) => block)).toEqual(["10000", "10000", "10000", "10000"]);
    expect(kept[0]!.cells.length).toBeLessThan(60_001);
  });

  it("stay as they are up to 60,000 cells", () => {
    const fits = [field("2024", 10_000), field("2025", 5000)];
    expect(withFewerBlocks(fits)).toBe(fits);
  });
});
