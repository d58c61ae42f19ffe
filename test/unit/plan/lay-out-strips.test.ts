import { describe, expect, it } from "vitest";
import { chiSquareQuantile } from "../../../src/maths/distributions.ts";
import { random } from "../../../src/maths/random.ts";
import { layOutStrips, measureGround, orderBlock } from "../../../src/plan/lay-out-strips.ts";
import type { Ground, LayoutKind, PlanRequest } from "../../../src/vocabulary/strip-plan.ts";
import { TrialError } from "../../../src/vocabulary/trial.ts";
import { feet, quarterMile, request as requestOf } from "./requests.ts";

const units = { system: "us", currency: "$" } as const;
const ground = quarterMile;
const request = (changes: Partial<Ground> = {}, layout: LayoutKind = "varieties-in-strips"): PlanRequest =>
  requestOf({ ground: { ...ground, ...changes }, layout });

const two = [
  { variety: "Ostrindel", ratesSeedsPerM2: [200, 250, 300] },
  { variety: "Quavenby", ratesSeedsPerM2: [220, 280, 340] },
];

const codeOf = (act: () => unknown): string => {
  try {
    act();
  } catch (error) {
    if (error instanceof TrialError) return `${error.code}: ${error.message}`;
    throw error;
  }
  return "no error";
};

describe("the ground", () => {
  it("makes a strip of whole drill passes with the cut inside it", () => {
    expect(measureGround(ground, units).passes).toBe(1);
    expect(measureGround({ ...ground, harvestWidthM: feet(38) }, units).passes).toBe(1);
    expect(measureGround({ ...ground, harvestWidthM: feet(39) }, units).passes).toBe(2);
    expect(measureGround({ ...ground, drillWidthM: feet(10) }, units).passes).toBe(4);
  });

  it("holds 31 strips of 40 ft and two borders in a quarter mile", () => {
    expect(measureGround(ground, units).stripsAcross).toBe(31);
  });
});

describe("the strips on the ground", () => {
  it("stay inside the field and never lie on each other", () => {
    for (const kind of ["blocks", "varieties-in-strips", "rates-in-strips"] as const) {
      const layout = layOutStrips(request({ fieldWidthM: feet(600) }, kind), two, 4, 1, units);
      expect(layout.tiers).toBe(2);
      expect(layout.stripLengthM).toBeCloseTo(feet(580), 9);
      for (const strip of layout.strips) {
        expect(strip.acrossM + strip.widthM).toBeLessThanOrEqual(feet(600) + 1e-6);
        expect(strip.alongM + strip.lengthM).toBeLessThanOrEqual(feet(1200) + 1e-6);
      }
      const corners = layout.strips.map((strip) => `${strip.acrossM} ${strip.alongM}`);
      expect(new Set(corners).size).toBe(layout.strips.length);
      expect(new Set(layout.strips.map((strip) => strip.label)).size).toBe(layout.strips.length);
    }
  });

  it("hold every variety and rate once in every block, and borders at both ends", () => {
    const { strips } = layOutStrips(request(), two, 4, 1, units);
    for (const block of ["1", "2", "3", "4"]) {
      const inside = strips
        .filter((strip) => strip.block === block)
        .map((strip) => `${strip.variety} ${strip.rateSeedsPerM2}`);
      expect(inside.sort()).toEqual(
        two.flatMap((t) => t.ratesSeedsPerM2.map((rate) => `${t.variety} ${rate}`)).sort(),
      );
    }
    expect(strips.map((strip) => strip.border).filter(Boolean)).toHaveLength(2);
    expect([strips[0]!.border, strips.at(-1)!.border]).toEqual([true, true]);
    expect(strips[0]!.rateSeedsPerM2).toBe(strips[1]!.rateSeedsPerM2);
  });

  it("keep a variety together when varieties lie in strips, and a rate level when rates do", () => {
    const changes = (keys: (string | number)[]): number =>
      keys.filter((key, i) => i > 0 && key !== keys[i - 1]).length;
    const varieties = orderBlock("varieties-in-strips", two, random(3, "order"));
    expect(changes(varieties.map((strip) => strip.variety))).toBe(1);
    const levels = orderBlock("rates-in-strips", two, random(3, "order")).map((strip) =>
      two.find((t) => t.variety === strip.variety)!.ratesSeedsPerM2.indexOf(strip.rateSeedsPerM2),
    );
    expect(changes(levels)).toBe(2);
  });

  it("lie the same for the same seed and otherwise for another", () => {
    const order = (seed: number): string =>
      layOutStrips(request(), two, 4, seed, units)
        .strips.map((strip) => `${strip.variety} ${strip.rateSeedsPerM2}`)
        .join();
    expect(order(1)).toBe(order(1));
    expect(order(1)).not.toBe(order(2));
  });
});

describe("a trial that does not fit", () => {
  it("says which size of block would", () => {
    const narrow = request({ fieldWidthM: feet(240) });
    const message = codeOf(() => layOutStrips(narrow, two, 4, 1, units));
    expect(message).toContain("plan-block-too-wide");
    expect(message).toContain("needs 320 ft across; the field is 240 ft wide");
    expect(message).toContain("1 variety × 4 rates would fit");
    const one = [{ variety: "Ostrindel", ratesSeedsPerM2: [200, 240, 280, 320] }];
    expect(layOutStrips(narrow, one, 1, 1, units).strips).toHaveLength(6);
  });

  it("says how many blocks would", () => {
    const short = request({ fieldWidthM: feet(600), fieldLengthM: feet(700) });
    const message = codeOf(() => layOutStrips(short, two, 5, 1, units));
    expect(message).toContain("plan-blocks-do-not-fit");
    expect(message).toContain("4 blocks would fit");
    expect(layOutStrips(short, two, 4, 1, units).tiers).toBe(2);
  });

  it("refuses a width of nothing", () => {
    expect(codeOf(() => layOutStrips(request({ drillWidthM: 0 }), two, 4, 1, units))).toContain(
      "Drill width is 0 ft",
    );
  });

  it("refuses rates in strips with unequal numbers of rates", () => {
    const uneven = [two[0]!, { variety: "Brimsolt", ratesSeedsPerM2: [200, 300] }];
    expect(codeOf(() => orderBlock("rates-in-strips", uneven, random(1, "x")))).toContain("3, 2");
  });
});

/** Chi-square test of equal frequencies; the 99.9 % point is passed once in a thousand fixed seeds at most. */
function expectEqualFrequencies(counts: ReadonlyMap<string, number>, cells: number): void {
  const total = [...counts.values()].reduce((sum, count) => sum + count, 0);
  const expected = total / cells;
  const chiSquare =
    [...counts.values()].reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0) +
    (cells - counts.size) * expected;
  expect(counts.size).toBe(cells);
  expect(chiSquare).toBeLessThan(chiSquareQuantile(0.999, cells - 1));
}

describe("the random order", () => {
  const seeds = 14_400;

  it("makes every order of a variety's rates equally likely (chi-square over many seeds)", () => {
    const counts = new Map<string, number>();
    const one = [{ variety: "Ostrindel", ratesSeedsPerM2: [1, 2, 3, 4] }];
    for (let seed = 0; seed < seeds; seed++) {
      const { strips } = layOutStrips(request({ borderStrips: 0 }), one, 1, seed, units);
      const order = strips.map((strip) => strip.rateSeedsPerM2).join("");
      counts.set(order, (counts.get(order) ?? 0) + 1);
    }
    expectEqualFrequencies(counts, 24);
  });

  it("makes every allowed order of a split plot equally likely", () => {
    for (const [kind, cells] of [
      ["varieties-in-strips", 2 * 6 * 6],
      ["rates-in-strips", 6 * 2 * 2 * 2],
      ["blocks", 720],
    ] as const) {
      const counts = new Map<string, number>();
      for (let seed = 0; seed < seeds; seed++) {
        const order = orderBlock(kind, two, random(seed, `order ${kind}`))
          .map((strip) => strip.rateSeedsPerM2)
          .join(" ");
        counts.set(order, (counts.get(order) ?? 0) + 1);
      }
      expectEqualFrequencies(counts, cells);
    }
  });

  it("orders one block without regard to the next", () => {
    const counts = new Map<string, number>();
    const one = [{ variety: "Ostrindel", ratesSeedsPerM2: [1, 2, 3] }];
    for (let seed = 0; seed < seeds; seed++) {
      const { strips } = layOutStrips(request({ borderStrips: 0 }), one, 2, seed, units);
      const order = strips.map((strip) => strip.rateSeedsPerM2).join("");
      counts.set(order, (counts.get(order) ?? 0) + 1);
    }
    expectEqualFrequencies(counts, 36);
  });
});
