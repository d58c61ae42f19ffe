/** Ends of plateau optima, by hand and against looking at every join and every multiple in turn. */
import { describe, expect, it } from "vitest";
import { linearPlateauEnds, quadraticPlateauEnds } from "../../../../src/decide/optima/plateau-interval.ts";
import { groupPoints } from "../../../../src/maths/grouped-points.ts";
import { hingeStretches, type HingeStretches } from "../../../../src/maths/hinge.ts";

const quarters = [0, 0.25, 0.5, 0.75, 1];

/** One strip at each of five rates, in u from 0 to 1, without blocks. */
const stretchesOf = (yields: readonly number[], degree: 1 | 2): HingeStretches =>
  hingeStretches(groupPoints(quarters, [1, 1, 1, 1, 1], yields, [0, 0, 0, 0, 0], 1, 0), degree)!;

/** Residual sum of squares of y = level − multiple·max(join − u, 0)^degree as squares·m² + 2·products·m + sum. */
function parabolaInMultiple(yields: readonly number[], join: number, degree: 1 | 2) {
  const f = quarters.map((u) => Math.max(join - u, 0) ** degree);
  const mean = (values: readonly number[]): number =>
    values.reduce((sum, one) => sum + one, 0) / values.length;
  const about = (a: readonly number[], b: readonly number[]): number =>
    a.reduce((sum, one, i) => sum + (one - mean(a)) * (b[i]! - mean(b)), 0);
  return { squares: about(f, f), products: about(f, yields), sum: about(yields, yields) };
}

/** Multiples that keep the residual sum of squares within the limit at one join, null where none does. */
function multiples(
  yields: readonly number[],
  join: number,
  degree: 1 | 2,
  limit: number,
): [number, number] | null {
  const { squares, products, sum } = parabolaInMultiple(yields, join, degree);
  const under = products ** 2 - squares * (sum - limit);
  if (under < 0) return null;
  return [(-products - Math.sqrt(under)) / squares, (-products + Math.sqrt(under)) / squares];
}

const step = 1 / 4000;
/** From the second-lowest rate to the highest. */
const joins = Array.from({ length: 3001 }, (_, i) => 0.25 + i * step);

/** The ends as the docstring of `linearPlateauEnds` says them, join by join. */
function searchLinear(yields: readonly number[], limit: number, ratio: number) {
  const near = joins.flatMap((join) => {
    const range = multiples(yields, join, 1, limit);
    return range === null ? [] : [{ join, range }];
  });
  const paying = near.filter(({ range }) => range[1] > ratio).map(({ join }) => join);
  const mayNotPay = near.some(({ range }) => range[0] <= ratio);
  return { lowest: Math.min(...paying), highest: Math.max(...paying), mayNotPay };
}

/** The lowest and the highest best rate of all curves within the limit, each with the join of its curve. */
function searchQuadratic(yields: readonly number[], limit: number, ratio: number) {
  const rates = joins.flatMap((join) =>
    (multiples(yields, join, 2, limit) ?? []).map((multiple) => ({
      join,
      rate: multiple > 0 ? join - ratio / (2 * multiple) : -Infinity,
    })),
  );
  const [first] = rates;
  if (first === undefined) return expect.unreachable("no curve is within the limit");
  return {
    lowest: rates.reduce((best, one) => (one.rate < best.rate ? one : best), first),
    highest: rates.reduce((best, one) => (one.rate > best.rate ? one : best), first),
  };
}

/** Rises by 100 to the middle rate and is level beyond it: join 0.5, multiple 200 a range of rates. */
const straight = [0, 50, 100, 100, 100];
/** 100 − 400·(0.5 − u)² below the middle rate, and level beyond it. */
const bent = [0, 75, 100, 100, 100];
const [lateLine, earlyLine] = [
  [0, 30, 65, 90, 100],
  [0, 90, 100, 96, 101],
];
const [late, early] = [
  [0, 40, 72, 92, 100],
  [0, 92, 100, 98, 101],
];

describe("the interval of a linear-plateau", () => {
  it("is its best join alone where nothing but the best is near enough", () => {
    const ends = linearPlateauEnds(stretchesOf(straight, 1), 1e-9, 0.5, 60);
    expect(ends.lower).toBeCloseTo(0.5, 4);
    expect(ends.upper).toBeCloseTo(0.5, 4);
  });

  it("reaches to the joins whose residual is the limit", () => {
    // A join j between 0.5 and 0.75 has f = (j, j − 0.25, j − 0.5, 0, 0). At j = 0.6 that is 0.6, 0.35, 0.1: its sum 1.05,
    // Σf² = 0.4925 − 1.05²/5 = 0.272; Σfy = 0.35·50 + 0.1·100 − 1.05·350/5 = −46; Σy² = 32,500 − 350²/5 = 8,000.
    // Residual 8,000 − 46²/0.272 = 220.588.
    const { upper } = linearPlateauEnds(stretchesOf(straight, 1), 8000 - 46 ** 2 / 0.272, 0.5, 1);
    expect(upper).toBeCloseTo(0.6, 9);
    // At j = 0.4: f = (0.4, 0.15, 0, 0, 0), sum 0.55, Σf² = 0.1825 − 0.0605 = 0.122; Σfy = 7.5 − 0.55·70 = −31.
    // Residual 8,000 − 31²/0.122 = 122.951.
    const { lower } = linearPlateauEnds(stretchesOf(straight, 1), 8000 - 31 ** 2 / 0.122, 0.5, 1);
    expect(lower).toBeCloseTo(0.4, 9);
  });

  it.each([
    ["cheap seed", straight, 220, 1],
    ["dear seed, at which some slopes just pay", straight, 220, 150],
    ["dear seed, at which some do not", straight, 220, 165],
    ["seed that only the steepest slopes pay", straight, 220, 215],
    ["a wide limit", straight, 900, 30],
    ["uneven yields", [10, 40, 105, 95, 100], 400, 60],
    ["a late join", lateLine, 300, 40],
    ["an early join", earlyLine, 300, 40],
  ])("is what each join in turn says: %s", (_, yields, limit, ratio) => {
    const { lowest, highest, mayNotPay } = searchLinear(yields, limit, ratio);
    const ends = linearPlateauEnds(stretchesOf(yields, 1), limit, 0.5 * (lowest + highest), ratio);
    if (mayNotPay || lowest <= 0.25) expect(ends.lower).toBeNull();
    else expect(Math.abs(ends.lower! - lowest)).toBeLessThan(1.5 * step);
    if (highest >= 1) expect(ends.upper).toBeNull();
    else expect(Math.abs(ends.upper! - highest)).toBeLessThan(1.5 * step);
  });

  it("has each kind of end among those cases", () => {
    expect(searchLinear(straight, 220, 1)).toMatchObject({ mayNotPay: false });
    expect(searchLinear(straight, 220, 165)).toMatchObject({ mayNotPay: true });
    expect(searchLinear(lateLine, 300, 40).highest).toBe(1);
    expect(searchLinear(earlyLine, 300, 40).lowest).toBe(0.25);
  });

  it("has no lower end where a slope of just the price ratio is near enough", () => {
    // At its join of 0.5, f = (0.5, 0.25, 0, 0, 0): Σf² = 0.3125 − 0.75²/5 = 0.2. A multiple of 150 leaves 50² × 0.2 = 500.
    const stretches = stretchesOf(straight, 1);
    expect(linearPlateauEnds(stretches, 501, 0.5, 150).lower).toBeNull();
    expect(linearPlateauEnds(stretches, 501, 0.5, 100).lower).not.toBeNull();
  });
});

describe("the interval of a quadratic-plateau", () => {
  it("is its best rate alone where nothing but the best is near enough", () => {
    // 2·400·(0.5 − u) = 80 at 0.4.
    const ends = quadraticPlateauEnds(stretchesOf(bent, 2), 1e-6, 0.4, 80);
    expect(ends.lower).toBeCloseTo(0.4, 3);
    expect(ends.upper).toBeCloseTo(0.4, 3);
  });

  it.each([
    ["cheap seed", bent, 20, 1],
    ["dear seed", bent, 20, 150],
    ["free seed", bent, 20, 0],
    ["seed so dear that the lowest rate may be best", bent, 60, 390],
    ["a wide limit", bent, 700, 40],
    ["uneven yields", [5, 70, 108, 97, 100], 150, 60],
    ["a late join", late, 40, 30],
    ["an early join", early, 100, 60],
  ])("is what each join in turn says: %s", (_, yields, limit, ratio) => {
    const { lowest, highest } = searchQuadratic(yields, limit, ratio);
    const best = 0.5 * (Math.max(lowest.rate, 0) + highest.rate);
    const { lower, upper } = quadraticPlateauEnds(stretchesOf(yields, 2), limit, best, ratio);
    // An end that is reached at the end of the joins allowed is none of the data's.
    if (lowest.rate <= 0 || lowest.join === joins[0]) expect(lower).toBeNull();
    else expect(Math.abs(lower! - lowest.rate)).toBeLessThan(4 * step);
    if (highest.join === joins.at(-1)) expect(upper).toBeNull();
    else expect(Math.abs(upper! - highest.rate)).toBeLessThan(4 * step);
  });

  it("has each kind of end among those cases", () => {
    expect(searchQuadratic(bent, 60, 390).lowest.rate).toBeLessThanOrEqual(0);
    expect(searchQuadratic(early, 100, 60).lowest).toMatchObject({ join: 0.25 });
    expect(searchQuadratic(late, 40, 30).highest).toMatchObject({ join: 1 });
    expect(searchQuadratic(bent, 20, 1).highest.join).toBeLessThan(0.9);
  });
});
