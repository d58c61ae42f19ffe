/** What must hold for the fits of any trial, however odd. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { addOptima } from "../../src/decide/optima/season-optima.ts";
import { hingeStretches } from "../../src/maths/hinge.ts";
import { fitSeasons } from "../../src/model/seasons/fit-seasons.ts";
import { formNamed, responseForms } from "../../src/model/forms/index.ts";
import { ratePoints } from "../../src/model/forms/rate-points.ts";
import type { FormFit, Optimum, VarietyFit } from "../../src/vocabulary/result.ts";
import { defaultSettings, type Settings } from "../../src/vocabulary/settings.ts";
import type { Strip } from "../../src/vocabulary/trial.ts";
import { makeTrial } from "../make-trial.ts";

const seeded = { seed: 20_270_424, numRuns: 75 };

type FewStrips = (Pick<Strip, "block" | "rateSeedsPerM2" | "yieldKgPerHa"> & Partial<Strip>)[];

/** Few rates or a rate of its own for each strip; tied, constant or odd yields; missing cells; one block or several. */
const stripsOf = (minLength: number): fc.Arbitrary<FewStrips> =>
  fc
    .record({
      rate: fc.constantFrom(
        fc.constantFrom(100, 200, 300, 400, 500),
        fc.double({ min: 1, max: 1000, noNaN: true }),
        fc.constantFrom(1e6, 1e6 + 1, 1.5e6),
      ),
      grain: fc.constantFrom(
        fc.integer({ min: 3000, max: 3006 }),
        fc.double({ min: 0, max: 9000, noNaN: true }),
        fc.constant(4000),
        fc.double({ min: 1e-3, max: 2e-3, noNaN: true }),
      ),
      blocks: fc.constantFrom("A", "ABC", "ABCDEF"),
    })
    .chain(({ rate, grain, blocks }) =>
      fc.array(fc.record({ block: fc.constantFrom(...blocks), rateSeedsPerM2: rate, yieldKgPerHa: grain }), {
        minLength,
        maxLength: 30,
        size: "max",
      }),
    );

const anyStrips = stripsOf(1);

const settingsAt = (grainPricePerKg: number, seedPricePerThousand: number): Settings => ({
  ...defaultSettings,
  grainPricePerKg,
  seedPricePerThousand,
});

const fitsOf = (strips: FewStrips, settings = defaultSettings): VarietyFit[] =>
  addOptima(fitSeasons(makeTrial(strips), settings).fits, settings);

const rateOf = (optimum: Optimum): number | null => (optimum.kind === "none" ? null : optimum.rateSeedsPerM2);

/** Numbers and words of a fit in one list, so that two fits can be held against each other. */
function leaves(value: unknown): unknown[] {
  return typeof value === "object" && value !== null ? Object.values(value).flatMap(leaves) : [value];
}

describe("the fits of any trial", () => {
  it("hold numbers that JSON keeps, and optima within the tested rates", () => {
    fc.assert(
      fc.property(anyStrips, (strips) => {
        const trial = makeTrial(strips);
        const { fits, strips: points, findings } = fitSeasons(trial, defaultSettings);
        const decided = addOptima(fits, defaultSettings);
        for (const leaf of leaves([decided, points, findings]))
          if (typeof leaf === "number") expect(Number.isFinite(leaf)).toBe(true);
          else expect(leaf).toBeDefined();
        for (const { forms, ratesSeedsPerM2 } of decided)
          for (const optimum of forms.flatMap((form) => [form.yieldOptimum, form.economicOptimum])) {
            const [lowest, highest] = [ratesSeedsPerM2[0]!, ratesSeedsPerM2.at(-1)!];
            const told = [
              rateOf(optimum),
              ...(optimum.kind === "found" ? [optimum.lower, optimum.upper] : []),
            ];
            for (const rate of told.filter((one) => one !== null)) {
              expect(rate).toBeGreaterThanOrEqual(lowest);
              expect(rate).toBeLessThanOrEqual(highest);
            }
            if (optimum.kind === "found" && optimum.lower !== null)
              expect(optimum.lower).toBeLessThanOrEqual(optimum.rateSeedsPerM2 * (1 + 1e-12));
            if (optimum.kind === "found" && optimum.upper !== null)
              expect(optimum.upper).toBeGreaterThanOrEqual(optimum.rateSeedsPerM2 * (1 - 1e-12));
          }
      }),
      seeded,
    );
  });

  it("leave out a form with its reason or fit it, never both, never neither", () => {
    fc.assert(
      fc.property(anyStrips, (strips) => {
        for (const { forms, formsLeftOut } of fitsOf(strips))
          expect([...forms, ...formsLeftOut].map(({ form }) => form).sort()).toEqual(
            responseForms.map(({ name }) => name).sort(),
          );
      }),
      seeded,
    );
  });

  it("are the same to the last digit in whatever order the strips stand", () => {
    fc.assert(
      fc.property(
        anyStrips.chain((strips) =>
          fc.tuple(fc.constant(strips), fc.shuffledSubarray(strips, { minLength: strips.length })),
        ),
        ([strips, shuffled]) => {
          expect(JSON.stringify(fitsOf(shuffled))).toBe(JSON.stringify(fitsOf(strips)));
        },
      ),
      seeded,
    );
  });

  it("change only their labels with new names of varieties", () => {
    fc.assert(
      fc.property(anyStrips, (strips) => {
        const named = (variety: string): VarietyFit[] =>
          fitsOf(strips.map((strip) => ({ ...strip, variety })));
        expect({ ...named("Zebra")[0], variety: "" }).toEqual({ ...named("Alder")[0], variety: "" });
      }),
      seeded,
    );
  });

  it("put the economic optimum at the same rate when both prices double", () => {
    fc.assert(
      fc.property(anyStrips, fc.double({ min: 0.05, max: 1, noNaN: true }), (strips, grain) => {
        const optima = (factor: number): (number | null)[] =>
          fitsOf(strips, settingsAt(grain * factor, 0.03 * factor))[0]!.forms.map(({ economicOptimum }) =>
            rateOf(economicOptimum),
          );
        expect(optima(2)).toEqual(optima(1));
      }),
      seeded,
    );
  });

  it("never raise the economic optimum of a curve that bends down when seed gets dearer", () => {
    const bendsDown = ({ form, coefficients: { linear, quadratic } }: FormFit): boolean =>
      form === "linear" || (quadratic === null ? (linear ?? 0) > 0 : quadratic < 0);
    fc.assert(
      fc.property(anyStrips, fc.double({ min: 0, max: 1, noNaN: true }), (strips, seed) => {
        const cheap = fitsOf(strips, settingsAt(0.2, seed))[0]!.forms;
        const dear = fitsOf(strips, settingsAt(0.2, seed + 0.02))[0]!.forms;
        cheap.forEach((form, i) => {
          const [before, after] = [rateOf(form.economicOptimum), rateOf(dear[i]!.economicOptimum)];
          if (bendsDown(form) && before !== null && after !== null)
            expect(after).toBeLessThanOrEqual(before * (1 + 1e-12));
        });
      }),
      seeded,
    );
  });
});

describe("the best join", () => {
  it("is the best of all: no join of a fine grid leaves a smaller residual", () => {
    let searched = 0;
    fc.assert(
      fc.property(anyStrips, fc.constantFrom("linear-plateau", "quadratic-plateau"), (strips, name) => {
        const fit = fitsOf(strips)[0]!;
        const found = fit.forms.find(({ form }) => form === name);
        if (found === undefined) return;
        searched++;
        const points = ratePoints(fit.cells, fit.withinCellSs);
        const [second, highest] = [fit.ratesSeedsPerM2[1]!, fit.ratesSeedsPerM2.at(-1)!];
        for (let i = 0; i <= 200; i++) {
          const join = second + ((highest - second) * i) / 200;
          const rss = rssAtJoin(fit, join, name === "linear-plateau" ? 1 : 2);
          expect(found.rss).toBeLessThanOrEqual(rss + 1e-9 * points.groupedSs + 1e-20);
        }
      }),
      seeded,
    );
    expect(searched).toBeGreaterThan(10);
  });
});

/** Plain least squares of y = level of the block − m·max(join − rate, 0)^degree, worked out cell by cell. */
function rssAtJoin({ cells, withinCellSs }: VarietyFit, join: number, degree: number): number {
  const range = Math.max(...cells.map((cell) => cell.rateSeedsPerM2)) - cells[0]!.rateSeedsPerM2;
  const hinge = cells.map((cell) => (Math.max(join - cell.rateSeedsPerM2, 0) / range) ** degree);
  const grain = cells.map((cell) => cell.meanYieldKgPerHa);
  const centred = (values: number[]): number[] =>
    cells.map(({ block }, i) => {
      const own = cells.flatMap((cell, k) => (cell.block === block ? [k] : []));
      const strips = own.reduce((sum, k) => sum + cells[k]!.strips, 0);
      return values[i]! - own.reduce((sum, k) => sum + cells[k]!.strips * values[k]!, 0) / strips;
    });
  const [f, y] = [centred(hinge), centred(grain)];
  const sum = (a: number[], b: number[]): number =>
    cells.reduce((total, cell, i) => total + cell.strips * a[i]! * b[i]!, 0);
  const ff = sum(f, f);
  return withinCellSs + sum(y, y) - (ff > 1e-12 ? sum(f, y) ** 2 / ff : 0);
}

describe("a known curve without noise", () => {
  const rates = [150, 210, 270, 330, 390, 450, 510];
  const truths: [name: (typeof responseForms)[number]["name"], curve: (x: number) => number][] = [
    ["none", () => 4000],
    ["linear", (x) => 3000 + 2.5 * x],
    ["quadratic", (x) => 2500 + 9 * x - 0.0125 * x * x],
    ["linear-plateau", (x) => 3000 + 4 * Math.min(x, 317)],
    ["quadratic-plateau", (x) => 4500 - 0.03 * Math.max(371 - x, 0) ** 2],
  ];
  for (const [name, curve] of truths)
    it(`comes back as ${name}, whatever the blocks add`, () => {
      fc.assert(
        fc.property(
          fc.array(fc.integer({ min: -500, max: 500 }), { minLength: 1, maxLength: 5 }),
          (blocks) => {
            const mean = blocks.reduce((sum, one) => sum + one, 0) / blocks.length;
            const [fit] = fitsOf(
              blocks.flatMap((extra, b) =>
                rates.map((x) => ({ block: `B${b}`, rateSeedsPerM2: x, yieldKgPerHa: curve(x) + extra })),
              ),
            );
            const found = fit!.forms.find(({ form }) => form === name)!;
            for (let x = 150; x <= 510; x += 7)
              expect(formNamed(name).value(found.coefficients, x)).toBeCloseTo(curve(x) + mean, 6);
            expect(found.residualSdKgPerHa ?? 0).toBeLessThan(1e-9);
            if (blocks.length > 1) expect(found.weight).toBeGreaterThan(0.5);
          },
        ),
        { ...seeded, numRuns: 15 },
      );
    });
});

describe("rates and yields in other units", () => {
  it("give the same curve in those units", () => {
    fc.assert(
      fc.property(
        stripsOf(12),
        fc.constantFrom(2 ** -20, 0.25, 4, 2 ** 20),
        fc.constantFrom(2 ** -20, 0.5, 64),
        (strips, rateUnit, yieldUnit) => {
          const [plain] = fitsOf(strips, settingsAt(1, 0));
          const [scaled] = fitsOf(
            strips.map((strip) => ({
              ...strip,
              rateSeedsPerM2: strip.rateSeedsPerM2 * rateUnit,
              yieldKgPerHa: strip.yieldKgPerHa * yieldUnit,
            })),
            settingsAt(1, 0),
          );
          expect(scaled!.forms.map(({ form }) => form)).toEqual(plain!.forms.map(({ form }) => form));
          const size = Math.max(...strips.map((strip) => strip.yieldKgPerHa)) ** 2 * strips.length;
          plain!.forms.forEach((form, i) =>
            expect(Math.abs(scaled!.forms[i]!.rss / yieldUnit ** 2 - form.rss)).toBeLessThanOrEqual(
              1e-12 * size,
            ),
          );
        },
      ),
      seeded,
    );
  });
});

it("a join needs three rates", () => {
  const points = ratePoints(
    [100, 200].map((rateSeedsPerM2) => ({ block: "", rateSeedsPerM2, strips: 1, meanYieldKgPerHa: 4000 })),
    0,
  );
  expect(hingeStretches(points, 1)).toBeNull();
});
