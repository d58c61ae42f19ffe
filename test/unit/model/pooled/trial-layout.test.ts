/** Rows, treatments and random terms of small trials, counted by hand. */
import { describe, expect, it } from "vitest";
import type { TrialSums } from "../../../../src/model/pooled/gather-sums.ts";
import {
  layOutTrial,
  restrictLayout,
  type LaidVariety,
  type TrialLayout,
} from "../../../../src/model/pooled/trial-layout.ts";

/** Block, rate, strips behind the mean, mean yield, and the place across the field. */
type Cell = [block: string, rate: number, strips: number, yieldKgPerHa: number, position?: number];

const laid = (variety: string, environment: string, cells: Cell[], withinCellSs = 0): LaidVariety => ({
  variety,
  environment,
  withinCellSs,
  cells: cells.map(([block, rateSeedsPerM2, strips, meanYieldKgPerHa, position]) => ({
    block,
    rateSeedsPerM2,
    strips,
    meanYieldKgPerHa,
    ...(position === undefined ? {} : { position }),
  })),
});

const trial = [
  laid(
    "Alder",
    "2023 Hill",
    [
      ["1", 200, 1, 3000, 5],
      ["2", 200, 1, 3200, 25],
      ["1", 300, 2, 3600],
      ["2", 400, 1, 3500, 15],
    ],
    800,
  ),
  laid(
    "Alder",
    "2024 Flat",
    [
      ["1", 200, 1, 2800, 4],
      ["1", 300, 1, 3100, 6],
    ],
    50,
  ),
  laid("Alder", "2023 Bottom", [["2", 300, 2, 4000]], 200),
  laid("Birch", "2023 Hill", [
    ["1", 200, 1, 2900, 35],
    ["2", 300, 1, 3300, 45],
    ["3", 300, 1, 3400, 55],
  ]),
  laid("Birch", "2024 Flat", [
    ["1", 300, 1, 3000],
    ["2", 300, 1, 3050],
  ]),
];

/** All products of two random effects, each effect named by its term and level; what is 0 is left out. */
function productsOf({ groups }: TrialSums): Record<string, number> {
  const products: Record<string, number> = {};
  for (const { levels, random } of groups) {
    const names = levels.map(({ term, level }) => `${term.name} ${level}`);
    const at = (coefficient: number): string =>
      names[levels.findIndex(({ first }) => first === coefficient)]!;
    random.value.forEach((value, i) => {
      const key = [at(random.row[i]!), at(random.column[i]!)].sort().join(" × ");
      if (value !== 0) products[key] = (products[key] ?? 0) + value;
    });
  }
  return products;
}

const numbersOf = <Key>(keys: readonly Key[]): number[] => {
  const known = [...new Set(keys)];
  return keys.map((key) => known.indexOf(key));
};

describe("a trial of two varieties in three fields", () => {
  // 14 strips: 5 of Alder on the hill, 2 on the flat and 2 in the bottom, 3 and 2 of Birch.
  const rates = 1400 + 500 + 600 + 800 + 600;
  const yields = 16_900 + 5900 + 8000 + 9600 + 6050;

  it("is centred at the mean rate and yield of its strips, in halves of the tested range", () => {
    const layout = layOutTrial(trial)!;
    expect(layout.centreSeedsPerM2).toBeCloseTo(rates / 14, 12);
    expect(layout.scaleSeedsPerM2).toBe(100);
    expect(layout.meanKgPerHa).toBeCloseTo(yields / 14, 12);
  });

  it("numbers varieties and environments as they come, and a treatment once for neighbours alike", () => {
    const layout = layOutTrial(trial)!;
    expect(layout.varieties).toEqual(["Alder", "Birch"]);
    expect(layout.environments).toEqual(["2023 Hill", "2024 Flat", "2023 Bottom"]);
    expect(
      layout.treatments.map(({ variety, environment, rateSeedsPerM2 }) => [
        variety,
        environment,
        rateSeedsPerM2,
      ]),
    ).toEqual([
      [0, 0, 200],
      [0, 0, 300],
      [0, 0, 400],
      [0, 1, 200],
      [0, 1, 300],
      [0, 2, 300],
      [1, 0, 200],
      [1, 0, 300],
      [1, 1, 300],
    ]);
    for (const { rateSeedsPerM2, u } of layout.treatments)
      expect(u).toBeCloseTo((rateSeedsPerM2 - rates / 14) / 100, 12);
  });

  it("counts strips, blocks, varieties and whole plots of each field", () => {
    const layout = layOutTrial(trial)!;
    expect(layout.counts).toEqual([
      // Blocks 1 to 3; Alder in two of them, Birch in all.
      { environments: 1, strips: 8, blocks: 3, varieties: 2, wholePlots: 5 },
      { environments: 1, strips: 4, blocks: 2, varieties: 2, wholePlots: 3 },
      { environments: 1, strips: 2, blocks: 1, varieties: 1, wholePlots: 1 },
    ]);
  });

  it("has a random term for each thing that divides another", () => {
    const layout = layOutTrial(trial)!;
    expect(layout.sums.terms.map(({ name, levels, width }) => [name, levels, width])).toEqual([
      ["environment", 3, 1],
      ["block", 6, 1],
      ["variety-in-environment", 5, 1],
      ["whole-plot", 9, 1],
      ["slope-by-environment", 3, 1],
      ["slope-by-variety-in-environment", 5, 1],
    ]);
  });

  it("gives each strip its own level of each term, and slopes their rate", () => {
    const layout = layOutTrial(trial)!;
    const rows = trial.flatMap(({ variety, environment, cells }) =>
      cells.map(({ block, rateSeedsPerM2, strips }) => {
        const u = (rateSeedsPerM2 - rates / 14) / 100;
        const [field, plot] = [environment, `${variety} ${environment}`];
        return { strips, keys: [field, `${field} ${block}`, plot, `${plot} ${block}`, field, plot], u };
      }),
    );
    const levels = [0, 1, 2, 3, 4, 5].map((t) => numbersOf(rows.map(({ keys }) => keys[t]!)));
    const names = layout.sums.terms.map(({ name }) => name);
    const wanted: Record<string, number> = {};
    rows.forEach(({ strips, u }, row) => {
      for (let a = 0; a < 6; a++)
        for (let b = 0; b <= a; b++) {
          const key = [a, b]
            .map((t) => `${names[t]!} ${levels[t]![row]!}`)
            .sort()
            .join(" × ");
          const value = strips * (a > 3 ? u : 1) * (b > 3 ? u : 1);
          wanted[key] = (wanted[key] ?? 0) + value;
        }
    });
    const found = productsOf(layout.sums);
    expect(Object.keys(found).sort()).toEqual(Object.keys(wanted).sort());
    for (const [key, value] of Object.entries(wanted)) expect(found[key]).toBeCloseTo(value, 10);
  });

  it("hands on strips, yields and squares of each field", () => {
    const layout = layOutTrial(trial)!;
    const { groups, observations, treatments } = layout.sums;
    expect([observations, treatments, groups.length]).toEqual([14, 9, 3]);
    const [hill, flat, bottom] = groups;
    expect([...hill!.treatments]).toEqual([0, 1, 2, 6, 7]);
    expect([...hill!.strips]).toEqual([2, 2, 1, 1, 2]);
    const mean = yields / 14;
    const off = (sum: number, strips: number): number => sum - strips * mean;
    [off(6200, 2), off(7200, 2), off(3500, 1), off(2900, 1), off(6700, 2)].forEach((one, i) =>
      expect(hill!.yields[i]).toBeCloseTo(one, 8),
    );
    expect([...flat!.treatments, ...bottom!.treatments]).toEqual([3, 4, 8, 5]);
    // What strips scatter about the mean of their cell is that of the variety in the field: 50, and 200 about a pair.
    const squares = [2800, 3100, 3000, 3050].reduce((sum, one) => sum + (one - mean) ** 2, 50);
    expect(flat!.squares).toBeCloseTo(squares, 6);
    expect(bottom!.squares).toBeCloseTo(2 * (4000 - mean) ** 2 + 200, 6);
  });

  it("has slopes by season where seasons are given", () => {
    const seasonOf = new Map([
      ["2023 Hill", 2023],
      ["2024 Flat", 2024],
      ["2023 Bottom", 2023],
    ]);
    const { sums } = layOutTrial(trial, "none", seasonOf)!;
    expect(sums.terms.at(-1)).toMatchObject({ name: "slope-by-season", levels: 2, width: 1 });
    // Fields of one season share its slope: what is summed of 2023 is both.
    const [lower, middle, upper] = [200, 300, 400].map((rate) => ((rate - rates / 14) / 100) ** 2);
    const found = productsOf(sums);
    expect(found["slope-by-season 0 × slope-by-season 0"]).toBeCloseTo(3 * lower! + 6 * middle! + upper!, 10);
    expect(found["slope-by-season 1 × slope-by-season 1"]).toBeCloseTo(lower! + 3 * middle!, 10);
    expect(sums.groups).toHaveLength(2);
  });

  it("has a trend where one is asked for, without the strips at no known place", () => {
    const { sums } = layOutTrial(trial, "straight-trend-by-environment")!;
    expect(sums.terms.at(-1)).toMatchObject({ name: "straight-trend-by-environment", levels: 3 });
    const found = productsOf(sums);
    const of = (field: number): number | undefined =>
      found[`straight-trend-by-environment ${field} × straight-trend-by-environment ${field}`];
    // The hill's places run from 5 to 55: −1, −0.2, −0.6, 0.2, 0.6, 1; the flat's two are its ends.
    expect(of(0)).toBeCloseTo(1 + 0.04 + 0.36 + 0.04 + 0.36 + 1, 10);
    expect(of(1)).toBeCloseTo(2, 10);
    expect(of(2)).toBeUndefined();
  });
});

describe("random terms that a layout can separate", () => {
  const [low, high] = [200, 300];
  it.each<[string, LaidVariety[], string[]]>([
    [
      "one block",
      [
        laid("A", "1", [
          ["1", low, 1, 1],
          ["1", high, 1, 2],
        ]),
      ],
      [],
    ],
    [
      "two blocks",
      [
        laid("A", "1", [
          ["1", low, 1, 1],
          ["1", high, 1, 2],
          ["2", low, 1, 3],
        ]),
      ],
      ["block"],
    ],
    [
      "a block for each strip",
      [
        laid("A", "1", [
          ["1", low, 1, 1],
          ["2", high, 1, 2],
        ]),
      ],
      [],
    ],
    [
      "a block for each of two strips",
      [
        laid("A", "1", [
          ["1", low, 2, 1],
          ["2", high, 2, 2],
        ]),
      ],
      ["block"],
    ],
    [
      "two varieties in both blocks",
      ["A", "B"].map((v) =>
        laid(v, "1", [
          ["1", low, 1, 1],
          ["1", high, 1, 2],
          ["2", low, 1, 3],
          ["2", high, 1, 4],
        ]),
      ),
      ["block", "whole-plot"],
    ],
    [
      "a block for each variety",
      ["A", "B"].map((v) =>
        laid(v, "1", [
          [v, low, 1, 1],
          [v, high, 1, 2],
        ]),
      ),
      ["block"],
    ],
    [
      "two varieties in one block",
      ["A", "B"].map((v) =>
        laid(v, "1", [
          ["1", low, 1, 1],
          ["1", high, 1, 2],
        ]),
      ),
      [],
    ],
    [
      "a whole plot for each strip",
      ["A", "B"].map((v) =>
        laid(v, "1", [
          ["1", low, 1, 1],
          ["2", high, 1, 2],
        ]),
      ),
      ["block"],
    ],
    [
      "one variety in two fields",
      ["1", "2"].map((e) =>
        laid("A", e, [
          ["1", low, 1, 1],
          ["1", high, 1, 2],
        ]),
      ),
      ["environment", "slope-by-environment"],
    ],
    [
      "a second variety in one of two fields",
      [
        ["A", "1"],
        ["A", "2"],
        ["B", "2"],
      ].map(([v, e]) =>
        laid(v!, e!, [
          ["1", low, 1, 1],
          ["1", high, 1, 2],
        ]),
      ),
      ["environment", "variety-in-environment", "slope-by-environment", "slope-by-variety-in-environment"],
    ],
  ])("are those of %s", (_, cells, names) => {
    expect(layOutTrial(cells)!.sums.terms.map(({ name }) => name)).toEqual(names);
  });

  it("are not asked where no variety has two rates in one field", () => {
    const single = [laid("A", "1", [["1", low, 1, 1]]), laid("B", "1", [["1", high, 1, 1]])];
    expect(layOutTrial(single)).toBeNull();
    expect(
      layOutTrial([
        ...single,
        laid("C", "1", [
          ["1", low, 1, 1],
          ["2", high, 1, 1],
        ]),
      ]),
    ).not.toBeNull();
  });
});

describe("some fields of a layout", () => {
  /** Carla before the others, on the flat and the hill only. */
  const fits = [
    laid("Carla", "2024 Flat", [
      ["1", 250, 1, 3000],
      ["2", 250, 1, 3000],
    ]),
    ...trial,
    laid("Dora", "2022 Slope", [
      ["1", 200, 1, 2000],
      ["1", 300, 1, 2100],
      ["2", 300, 1, 2300],
    ]),
    laid("Eva", "2022 Slope", [
      ["1", 200, 1, 2000],
      ["2", 300, 1, 2100],
    ]),
  ];
  const told = ({ treatments, varieties, environments }: TrialLayout): unknown[] =>
    treatments.map(({ variety, environment, rateSeedsPerM2, u }) => [
      varieties[variety],
      environments[environment],
      rateSeedsPerM2,
      u,
    ]);

  it("are what they were, numbered among themselves", () => {
    const layout = layOutTrial(fits)!;
    const kept = new Set(["2023 Hill", "2022 Slope"]);
    const some = restrictLayout(layout, kept)!;
    expect(some.environments).toEqual(["2023 Hill", "2022 Slope"]);
    expect(some.varieties).toEqual(["Alder", "Birch", "Dora", "Eva"]);
    expect(told(some)).toEqual(told(layout).filter((one) => kept.has((one as string[])[1]!)));
    expect(some.counts).toEqual([layout.counts[1], layout.counts[3]]);
    expect(some.sums).toMatchObject({ observations: 13, treatments: 9, terms: layout.sums.terms });
    expect(some.sums.groups.map(({ treatments }) => [...treatments])).toEqual([
      [0, 1, 2, 3, 4],
      [5, 6, 7, 8],
    ]);
    expect(some.sums.groups[1]!.yields).toEqual(layout.sums.groups[3]!.yields);
    expect([some.centreSeedsPerM2, some.meanKgPerHa]).toEqual([layout.centreSeedsPerM2, layout.meanKgPerHa]);
  });

  it("are none where they separate other terms, or are none at all", () => {
    const layout = layOutTrial(fits)!;
    expect(restrictLayout(layout, new Set(["2023 Hill"]))).toBeNull();
    expect(restrictLayout(layout, new Set(["2023 Bottom", "2023 Hill"]))).not.toBeNull();
    expect(restrictLayout(layout, new Set(["2023 Bottom", "2024 Flat"]))).not.toBeNull();
    expect(restrictLayout(layout, new Set(["2019 Elsewhere"]))).toBeNull();
    expect(restrictLayout(layout, new Set())).toBeNull();
  });
});
