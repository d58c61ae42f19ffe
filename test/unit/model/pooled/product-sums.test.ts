import { describe, expect, it } from "vitest";
import { ProductSums } from "../../../../src/model/pooled/product-sums.ts";

describe("sums of products by row and column", () => {
  // Small orders are kept in a table, those above 600 in a map.
  it.each([4, 600, 601, 50_000])("add up what was touched, row by row, of %i rows", (order) => {
    const sums = new ProductSums();
    const fill = (): void => {
      sums.begin(order);
      sums.add(3, 1, 2);
      sums.add(1, 3, 5);
      sums.add(0, 0, 1);
      sums.add(2, 3, 0);
      sums.add(3, 3, -4);
    };
    fill();
    const { keys, row, column, value } = sums.take();
    expect([...keys]).toEqual([0, 3 * order + 1, 3 * order + 2, 3 * order + 3]);
    expect([[...row], [...column], [...value]]).toEqual([
      [0, 3, 3, 3],
      [0, 1, 2, 3],
      [1, 7, 0, -4],
    ]);
    // What was taken is forgotten.
    sums.begin(order);
    expect(sums.take().row).toHaveLength(0);
    fill();
    expect([...sums.take().value]).toEqual([1, 7, 0, -4]);
  });

  it("serve groups of other sizes after each other", () => {
    const sums = new ProductSums();
    for (const order of [3, 700, 500, 2, 650]) {
      sums.begin(order);
      sums.add(order - 1, order - 2, order);
      sums.add(order - 2, order - 1, 1);
      sums.add(0, 0, 7);
      const { row, column, value } = sums.take();
      expect([[...row], [...column], [...value]]).toEqual([
        [0, order - 1],
        [0, order - 2],
        [7, order + 1],
      ]);
    }
  });
});
