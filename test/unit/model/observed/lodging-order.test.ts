import { describe, expect, it } from "vitest";
import { orderLodging, rateByOrder } from "../../../../src/model/observed/lodging-order.ts";
import type { Strip } from "../../../../src/vocabulary/trial.ts";
import { makeStrip } from "../../check/make-strips.ts";

const scored = (share: number, changes: Partial<Strip> = {}): Strip =>
  makeStrip({ lodging: { scale: "percent", score: 100 * share, share }, ...changes });
const rise = (rate: number): number => (rate - 300) / 100;

describe("scores in their order", () => {
  it("are categories against environment, variety and rate, each held against the first of its kind", () => {
    const strips = [
      scored(1, { season: 2025, variety: "Birch", rateSeedsPerM2: 400 }),
      scored(0),
      scored(0.25, { variety: "Cedar" }),
      scored(0),
      scored(1, { season: 2026, variety: "Alder" }),
    ];
    const { columns, cases } = orderLodging(strips, rise)!;
    expect(columns).toEqual(["2025 North", "2026 North", "Birch", "Cedar", "Ostrindel", "rate"]);
    expect(cases).toMatchObject({ categories: 3, columns: 6, termsPerCase: 3 });
    // Of strips alike in everything there is one case, of two here.
    expect([...cases.count].sort()).toEqual([1, 1, 1, 2]);
    const told = [...cases.category].map((category, i) => ({
      category,
      count: cases.count[i],
      terms: [0, 1, 2].map((t) => [cases.column[3 * i + t], cases.value[3 * i + t]]),
    }));
    // The first environment and the first variety have no column of their own: 0 times the first column.
    expect(told).toEqual([
      {
        category: 1,
        count: 1,
        terms: [
          [0, 0],
          [3, 1],
          [5, 0],
        ],
      },
      {
        category: 0,
        count: 2,
        terms: [
          [0, 0],
          [4, 1],
          [5, 0],
        ],
      },
      {
        category: 2,
        count: 1,
        terms: [
          [0, 1],
          [2, 1],
          [5, 1],
        ],
      },
      {
        category: 2,
        count: 1,
        terms: [
          [1, 1],
          [0, 0],
          [5, 0],
        ],
      },
    ]);
  });

  it("are looked at where there are three to twelve of them", () => {
    const scores = (count: number): Strip[] =>
      Array.from({ length: count }, (_, i) => scored(i / 20, { rateSeedsPerM2: 300 + i }));
    expect(orderLodging(scores(2), rise)).toBeNull();
    expect(orderLodging(scores(3), rise)!.cases.categories).toBe(3);
    expect(orderLodging(scores(12), rise)!.cases.categories).toBe(12);
    expect(orderLodging(scores(13), rise)).toBeNull();
  });

  it("are looked at up to a hundred columns and 20,000 strips", () => {
    const fields = (count: number): Strip[] =>
      Array.from({ length: count }, (_, i) => scored((i % 3) / 2, { field: String(1000 + i) }));
    expect(orderLodging(fields(100), rise)!.columns).toHaveLength(100);
    expect(orderLodging(fields(101), rise)).toBeNull();
    const few = [scored(0), scored(0.5), scored(1)];
    const many = (count: number): Strip[] => Array.from({ length: count }, (_, i) => few[i % 3]!);
    expect(orderLodging(many(20_000), rise)!.cases.count.reduce((sum, one) => sum + one, 0)).toBe(20_000);
    expect(orderLodging(many(20_001), rise)).toBeNull();
  });
});

describe("the rate by the order of the scores", () => {
  it("is nothing where it has no finite effect, or scores are too few", () => {
    expect(rateByOrder([scored(0), scored(1)], rise)).toBeNull();
    const parted = [200, 300, 400].flatMap((rateSeedsPerM2, i) =>
      [1, 2, 3].map(() => scored(i / 2, { rateSeedsPerM2 })),
    );
    expect(rateByOrder(parted, rise)).toBeNull();
  });

  it("is 0 where every rate has the same scores, with a p of 1", () => {
    const even = [200, 300, 400].flatMap((rateSeedsPerM2) =>
      [0, 0.5, 0.5, 1].map((share) => scored(share, { rateSeedsPerM2 })),
    );
    const told = rateByOrder(even, rise)!;
    expect(told.name).toBe("rate");
    expect(told.estimate).toBeCloseTo(0, 8);
    expect(told.t).toBeCloseTo(0, 8);
    expect(told.p).toBeCloseTo(1, 8);
    // At a coefficient of 0 its information is that of the ranks: Σx² = 8 over 12 strips, times Σ p (below − above)² ... by
    // category, the mean density over its share. Below and above log odds of ±ln 3 lie 1/4: densities of 3/16 at both ends.
    // Lowest: 3/16 ÷ 1/4 = 3/4; middle: 0; highest: −3/4. Information 8 × (1/4 × 9/16 × 2) = 9/4.
    expect(told.standardError).toBeCloseTo(Math.sqrt(4 / 9), 6);
    // Of half the steps it is twice that, whatever the thresholds' are.
    expect(rateByOrder(even, (rate) => rise(rate) / 2)!.standardError).toBeCloseTo(4 / 3, 6);
  });

  it("rises with the rate, the more surely the more strips, and as the normal table says", () => {
    const sown = (times: number): Strip[] =>
      Array.from({ length: times }, () =>
        [
          [200, 0, 0, 0.5],
          [300, 0, 0.5, 1],
          [400, 0.5, 1, 1],
        ].flatMap(([rateSeedsPerM2, ...shares]) =>
          shares.map((share) => scored(share, { rateSeedsPerM2: rateSeedsPerM2! })),
        ),
      ).flat();
    const [once, fourTimes] = [rateByOrder(sown(1), rise)!, rateByOrder(sown(4), rise)!];
    expect(once.estimate).toBeGreaterThan(0);
    expect(fourTimes.estimate).toBeCloseTo(once.estimate, 6);
    expect(fourTimes.standardError).toBeCloseTo(once.standardError / 2, 6);
    expect(once.t).toBeCloseTo(once.estimate / once.standardError, 9);
    // In steps of 100 half as far apart the coefficient is twice as large.
    expect(rateByOrder(sown(1), (rate) => rise(rate) / 2)!.estimate).toBeCloseTo(2 * once.estimate, 6);
    // Turned round it falls as much, and is as sure. 1.96 standard errors leave 0.05 (normal table).
    const falling = rateByOrder(sown(1), (rate) => -rise(rate))!;
    expect(falling.estimate).toBeCloseTo(-once.estimate, 6);
    expect(falling.p).toBeCloseTo(once.p, 9);
    expect(once.p < 0.05).toBe(Math.abs(once.t) > 1.96);
    expect(fourTimes.p).toBeLessThan(0.01);
    expect(fourTimes.t).toBeGreaterThan(2.58);
  });
});
