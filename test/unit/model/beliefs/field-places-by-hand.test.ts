/** Where fields last: places by their formula, shifts against every shift weighed on the same grid of curves. */
import { describe, expect, it } from "vitest";
import { coarseGrid, type FarmState } from "../../../../src/model/beliefs/curve-grid.ts";
import { fieldPlaces, type VarietyEvidence } from "../../../../src/model/beliefs/field-places.ts";
import { gridLikelihood } from "../../../../src/model/beliefs/grid-likelihood.ts";
import { aboutFields } from "../../../../src/model/beliefs/needs-in-environments.ts";
import { rateEvidence } from "../../../../src/model/beliefs/rate-evidence.ts";
import { withErrors } from "../../../../src/model/beliefs/strip-error.ts";
import { defaultSettings, type Priors } from "../../../../src/vocabulary/settings.ts";
import { cellsByHand } from "./sums-by-hand.ts";

const priors: Priors = { ...defaultSettings.priors };
const around = [300, 300] as const;
const rates = [170, 230, 290, 350, 410, 470];
const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

/** Strips of one variety, whose yields lose 8 % at 0.6 and at 1.4 of the need, and differ by about 1 %. */
function variety(name: string, needs: Record<string, number>, seasons = 2, noise = 0.014): VarietyEvidence {
  let strip = name.length;
  const mine = Object.entries(needs).flatMap(([field, need]) =>
    Array.from({ length: seasons }, (_, s) =>
      rateEvidence(
        cellsByHand(
          ["1", "2"].flatMap((block) =>
            rates.map(
              (rate) =>
                [
                  block,
                  rate,
                  1,
                  4000 * (1 - 0.08 * ((rate / need - 1) / 0.4) ** 2 + noise * Math.sin(12.9898 * ++strip)),
                ] as const,
            ),
          ) as never,
          { variety: name, season: 2023 + s, environment: `${2023 + s} ${field}` },
        ),
      )!,
    ),
  );
  return { mine: withErrors(mine, priors) };
}
const found = (varieties: readonly VarietyEvidence[], some: Partial<Priors> = {}) =>
  fieldPlaces(varieties, around, 300, { ...priors, ...some });

describe("fields that are not distinguished", () => {
  it("are those of a farm with one, or where each was seen in a season of its own", () => {
    expect(found([variety("Alder", { Hill: 300 })])).toBeNull();
    const { mine } = variety("Alder", { Hill: 300, Flat: 300 });
    // Hill in 2023, Flat in 2024.
    expect(found([{ mine: [mine[0]!, mine[3]!] }])).toBeNull();
    // Side by side in one season, or Hill in both.
    expect(found([{ mine: [mine[0]!, mine[2]!] }])).not.toBeNull();
    expect(found([{ mine: [mine[0]!, mine[1]!, mine[3]!] }])).not.toBeNull();
  });
});

/** Normal about zero with one of five sds, each by a half-normal prior: the places' own prior. */
const priorOf = (shifts: readonly number[], fieldSpread = priors.fieldSpread): number =>
  sum(
    [0.07, 0.13, 0.2, 0.3, 0.45].map(
      (sd) =>
        Math.exp(-0.5 * (sd / fieldSpread) ** 2 - sum(shifts.map((one) => one ** 2)) / (2 * sd ** 2)) /
        sd ** (shifts.length - 1),
    ),
  );

/** Log likelihood of each shift of the hill, and the other way of the flat, over all curves and needs. */
function weighShifts({ mine }: VarietyEvidence, differences: readonly number[], unrest: number): number[] {
  const states = differences.map((shift, place): FarmState => ({
    season: 0,
    fieldInSeason: unrest,
    place,
    shifts: new Map([
      ["Hill", shift],
      ["Flat", -shift],
    ]),
    logPrior: 0,
    logFlatPrior: 0,
  }));
  const grid = coarseGrid(priors, around, states);
  const needs = grid.needs.count;
  const weights = differences.map(() => 0);
  const { rays } = gridLikelihood(mine, grid, 1, priors.strengthSpread, 12);
  const scale = Math.max(...rays.map(({ log }) => log));
  for (const { ray, log, values } of rays)
    values.forEach((value, i) => {
      const about = grid.needs.from + (i % needs) * grid.needs.step - Math.log(300);
      weights[Math.floor(i / needs)]! +=
        Math.exp(log - scale + ray.logPrior - 0.5 * (about / priors.needSdLog) ** 2) * value;
    });
  return weights.map((weight) => scale + Math.log(weight));
}

describe("the places of two fields", () => {
  it("are three even steps of their difference, weighed by how unlike fields may be", () => {
    const { places } = found([variety("Alder", { Hill: 250, Flat: 340 })])!;
    expect(places).toHaveLength(3);
    const shifts = places.map((place) => [...place.shifts.values()]);
    expect([...places[0]!.shifts.keys()]).toEqual(["Flat", "Hill"]);
    for (const [flat, hill] of shifts) expect(flat! + hill!).toBeCloseTo(0, 12);
    const [low, middle, high] = shifts.map(([flat]) => flat!);
    // Steps of −1.5 ÷ √2 and 1.5 ÷ √2 sds, of which the mean is taken off.
    expect(middle! - low!).toBeCloseTo(high! - middle!, 10);
    expect(Math.abs(high! - middle!)).toBeGreaterThan(0.01);
    shifts.forEach((one, i) => expect(places[i]!.logWeight).toBeCloseTo(Math.log(priorOf(one)), 10));
    const wider = found([variety("Alder", { Hill: 250, Flat: 340 })], { fieldSpread: 0.3 })!.places;
    for (const { shifts: own, logWeight } of wider)
      expect(logWeight).toBeCloseTo(Math.log(priorOf([...own.values()], 0.3)), 10);
  });

  it.each([
    [250, 340],
    [330, 280],
    [300, 300],
    // Strips that differ by chance more than they answer.
    [250, 340, 0.3],
    [250, 340, 0.5],
  ])("are about the likeliest shifts where needs are %i and %i", (hill, flat, noise = 0.014) => {
    const alder = variety("Alder", { Hill: hill, Flat: flat }, 2, noise);
    const { places } = found([alder])!;
    const middle = places[1]!.shifts.get("Hill")!;
    const differences = Array.from({ length: 31 }, (_, k) => (k - 18) * 0.0125);
    // With a little unrest besides.
    const logs = weighShifts(alder, differences, 0.04);
    const believed = logs.map(
      (log, k) => Math.exp(log - Math.max(...logs)) * priorOf([differences[k]!, -differences[k]!]),
    );
    const mean = sum(believed.map((one, k) => one * differences[k]!)) / sum(believed);
    const sd = Math.sqrt(sum(believed.map((one, k) => one * (differences[k]! - mean) ** 2)) / sum(believed));
    expect(Math.abs(middle - mean)).toBeLessThan(0.4 * sd);
    const out = Math.abs(places[2]!.shifts.get("Hill")! - middle) / 1.5;
    // Places are taken as near as the curves that are believed at the middle say, which is nearer than all curves do.
    expect(out / sd).toBeGreaterThan(0.45);
    expect(out / sd).toBeLessThan(1);
  });

  it("are the same for two varieties that say the same, and closer", () => {
    const alone = found([variety("Alder", { Hill: 250, Flat: 340 })])!;
    const both = found([
      variety("Alder", { Hill: 250, Flat: 340 }),
      variety("Birch", { Hill: 265, Flat: 360 }),
    ])!;
    const at = ({ places }: typeof alone, i: number): number => places[i]!.shifts.get("Hill")!;
    expect(Math.abs(at(alone, 1) - at(both, 1))).toBeLessThan(0.03);
    expect(Math.abs(at(both, 2) - at(both, 0))).toBeLessThan(Math.abs(at(alone, 2) - at(alone, 0)));
    // What both have in common in a field and season counts less than twice.
    expect(alone.share).toBe(1);
    expect(both.share).toBeGreaterThan(0.5);
    expect(both.share).toBeLessThan(1);
    expect(alone.chanceTheyDiffer).toBeGreaterThan(0.9);
    expect(found([variety("Alder", { Hill: 300, Flat: 300 })])!.chanceTheyDiffer).toBeLessThan(0.8);
  });
});

describe("whether fields differ", () => {
  /** Needs of each season on either field. */
  const needs = { Hill: [250, 300], Flat: [345, 310] };
  /** As the needs themselves have it, each seen with this sd. */
  const wanted = (sd: number) =>
    aboutFields(
      Object.entries(needs).flatMap(([field, own]) =>
        own.map((need, s) => ({
          environment: `${2023 + s} ${field}`,
          field,
          season: 2023 + s,
          shift: Math.log(need / 300),
          variance: sd ** 2,
        })),
      ),
      priors,
    ).chanceTheyDiffer;
  const seasonsApart = (name: string, noise?: number): VarietyEvidence => {
    const ofSeasons = [0, 1].map((s) =>
      variety(name, { Hill: needs.Hill[s]!, Flat: needs.Flat[s]! }, 2, noise),
    );
    const mine = ofSeasons.flatMap((one, s) => one.mine.filter(({ season }) => season === 2023 + s));
    return { mine: withErrors(mine, priors) };
  };

  it("is told from the needs of the single fields and seasons", () => {
    const chance = (noise?: number): number => found([seasonsApart("Alder", noise)])!.chanceTheyDiffer;
    expect(Math.abs(chance() - wanted(0.02))).toBeLessThan(0.03);
    // Strips that differ more by chance tell less: needs are then known to about a fifth or a third.
    expect(chance(0.2)).toBeGreaterThan(wanted(0.15));
    expect(chance(0.2)).toBeLessThan(wanted(0.02) + 0.03);
    expect(Math.abs(chance(0.5) - wanted(0.3))).toBeLessThan(0.03);
  });
});

describe("the places of more fields", () => {
  it.each([
    [3, 4],
    [4, 8],
    [5, 8],
    [9, 8],
  ])("are the middle of %i and %i about it, no two fields together", (fields, runs) => {
    const needs = Object.fromEntries(Array.from({ length: fields }, (_, f) => [`F${f}`, 260 + 20 * f]));
    const { places } = found([variety("Alder", needs, 1)])!;
    expect(places).toHaveLength(runs + 1);
    const shifts = places.map((place) => [...place.shifts.values()]);
    for (const own of shifts) expect(sum(own)).toBeCloseTo(0, 10);
    // Signs of a Hadamard matrix: over all runs each field is as often above as below, and no two agree more than not.
    const away = shifts.slice(1).map((own) => own.map((one, f) => one - shifts[0]![f]!));
    const sds = away[0]!.map((_, f) => Math.sqrt(sum(away.map((own) => own[f]! ** 2)) / runs));
    for (let f = 0; f < fields; f++) {
      expect(sum(away.map((own) => own[f]!))).toBeCloseTo(0, 9);
      expect(sds[f]).toBeGreaterThan(0.005);
    }
    const room = Math.exp(((fields - 1) * 1.44) / 2) / (runs * 0.44);
    shifts.forEach((own, i) =>
      expect(Math.exp(places[i]!.logWeight) / (priorOf(own) * (i === 0 ? 1 : room))).toBeCloseTo(1, 8),
    );
  });

  it("find the fields in the order of their needs", () => {
    const { places } = found([variety("Alder", { A: 340, B: 250, C: 295 })])!;
    const [a, b, c] = [...places[0]!.shifts.values()];
    const middle = (Math.log(340) + Math.log(250) + Math.log(295)) / 3;
    // Leaning on one another, a little nearer than their needs are.
    expect(a).toBeGreaterThan(0.06);
    expect(a).toBeLessThan(Math.log(340) - middle + 0.02);
    expect(b).toBeLessThan(-0.08);
    expect(b).toBeGreaterThan(Math.log(250) - middle - 0.02);
    expect(Math.abs(c! - (Math.log(295) - middle))).toBeLessThan(0.04);
  });
});
