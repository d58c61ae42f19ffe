/** Two grounds, two states and an axis of a few needs, in sums that are written out. */
import { describe, expect, it } from "vitest";
import type { FarmState } from "../../../../src/model/beliefs/curve-grid.ts";
import {
  beforeStrips,
  explain,
  groundsAfter,
  leanOnOthers,
  needOnGrounds,
  standAlone,
  unbelievable,
} from "../../../../src/model/beliefs/lean-varieties.ts";

const near = (found: ArrayLike<number>, wanted: readonly number[]): void => {
  expect(found).toHaveLength(wanted.length);
  wanted.forEach((one, i) => expect(found[i]).toBeCloseTo(one, 12));
};
const logs = (...values: number[]): Float64Array => Float64Array.from(values, Math.log);
const stateOf = (place: number, prior: number, flat: number): FarmState => ({
  season: 0,
  fieldInSeason: 0,
  place,
  shifts: new Map(),
  logPrior: Math.log(prior),
  logFlatPrior: Math.log(flat),
});
const states = [stateOf(0, 0.7, 0.5), stateOf(1, 0.3, 0.5)];

/** Of two grounds: where they put the need of a variety with two needs, and how well each agrees with its rate. */
const alder = {
  priorsOfNeed: [Float64Array.of(0.9, 0.1), Float64Array.of(0.2, 0.8)],
  told: [0, Math.log(2)],
};
const birch = { priorsOfNeed: [Float64Array.of(0.6, 0.4), Float64Array.of(0.3, 0.7)], told: [0, 0] };
/** How well the strips are explained by each ground with each state. */
const ofAlder = [0.5, 0.1, 0.2, 0.4];
const ofBirch = [0.3, 0.6, 0.1, 0.2];
const both = [
  { ...alder, explained: logs(...ofAlder) },
  { ...birch, explained: logs(...ofBirch) },
];
/** Grounds at 0.6 and 0.4, with states at 0.7 and 0.3. */
const before = [0.42, 0.18, 0.28, 0.12];

/** [state][need] under these weights of grounds with states. */
function mixed(weights: readonly number[], { priorsOfNeed }: typeof alder): number[] {
  const total = weights.reduce((a, b) => a + b, 0);
  return [0, 1].flatMap((state) =>
    [0, 1].map(
      (need) =>
        (weights[state]! * priorsOfNeed[0]![need]! + weights[2 + state]! * priorsOfNeed[1]![need]!) / total,
    ),
  );
}

describe("where a ground puts a need", () => {
  const whole = { from: 0, step: 0.1, count: 11 };
  const part = (weight: number, logNeed: number, sd: number) => ({ weight, logNeed, sd });
  const onGrounds = (needs: typeof whole, parts: ReturnType<typeof part>[]) =>
    needOnGrounds("Alder", needs, whole, [{ needOf: () => parts }] as never, null);

  it("is shared out over the whole axis, by each part's density", () => {
    const parts = [part(0.3, 0.2, 0.1), part(0.7, 0.6, 0.2)];
    const density = (x: number): number =>
      (0.3 / 0.1) * Math.exp(-0.5 * ((x - 0.2) / 0.1) ** 2) +
      (0.7 / 0.2) * Math.exp(-0.5 * ((x - 0.6) / 0.2) ** 2);
    const all = Array.from({ length: 11 }, (_, j) => density(0.1 * j));
    const total = all.reduce((a, b) => a + b, 0);
    const { priorsOfNeed, told } = onGrounds(whole, parts);
    near(
      priorsOfNeed[0]!,
      all.map((one) => one / total),
    );
    expect(told).toEqual([0]);
    // An axis of half the step from 0.2 to 0.4 has half of it at each place.
    near(
      onGrounds({ from: 0.2, step: 0.05, count: 5 }, parts).priorsOfNeed[0]!,
      [0.2, 0.25, 0.3, 0.35, 0.4].map((x) => density(x) / total / 2),
    );
  });

  it("is that of a single part by its bell alone", () => {
    const bells = Array.from({ length: 11 }, (_, j) => Math.exp(-0.5 * ((0.1 * j - 0.4) / 0.15) ** 2));
    const total = bells.reduce((a, b) => a + b, 0);
    near(
      onGrounds(whole, [part(1, 0.4, 0.15)]).priorsOfNeed[0]!,
      bells.map((one) => one / total),
    );
  });
});

describe("how well grounds and states explain strips", () => {
  it("is the sum over needs, and what no response explains", () => {
    const explained = explain(
      { byNeed: Float64Array.of(2, 3, 0.5, 4), noResponse: 5, noResponseChance: 0.1 },
      alder,
      2,
    );
    near(explained, [
      Math.log(0.9 * (0.9 * 2 + 0.1 * 3) + 0.5),
      Math.log(0.9 * (0.9 * 0.5 + 0.1 * 4) + 0.5),
      Math.log(0.9 * (0.2 * 2 + 0.8 * 3) + 0.5),
      Math.log(0.9 * (0.2 * 0.5 + 0.8 * 4) + 0.5),
    ]);
  });

  it("is never nothing", () => {
    near(
      explain({ byNeed: new Float64Array(4), noResponse: 0, noResponseChance: 0.1 }, alder, 2),
      Array.from({ length: 4 }, () => Math.log(unbelievable)),
    );
  });
});

describe("what is believed before strips", () => {
  it("is each ground with each state, as stated or evenly", () => {
    near(beforeStrips([0.6, 0.4], states, false).map(Math.exp), before);
    near(beforeStrips([0.6, 0.4], states, true).map(Math.exp), [0.3, 0.3, 0.2, 0.2]);
  });

  it("moves with the rate that came with the variety, and no other's", () => {
    // Alder's rate speaks for the second ground, two to one.
    const [first, second] = standAlone([alder, birch], logs(...before));
    near(first!, mixed([0.42, 0.18, 0.56, 0.24], alder));
    near(second!, mixed(before, birch));
  });
});

describe("what the other varieties make believable", () => {
  /** Grounds with states by the rates and the other's strips. */
  const leftTo = (strips: readonly number[]): number[] =>
    strips.map((one, i) => before[i]! * (i < 2 ? 1 : 2) * one);

  it("is weighed by their strips, and by the rates that came with all", () => {
    const [first, second] = leanOnOthers(both, logs(...before), states, null);
    near(first!, mixed(leftTo(ofBirch), alder));
    near(second!, mixed(leftTo(ofAlder), birch));
    const places = [new Map<string, number>(), new Map<string, number>()].map((shifts, p) => ({
      shifts,
      logWeight: Math.log([0.7, 0.3][p]!),
    }));
    near(leanOnOthers(both, logs(...before), states, { places, share: 1 } as never)[0]!, [...first!]);
  });

  it("counts in part for places of fields where varieties share what came with a season", () => {
    const places = [0.7, 0.3].map((weight) => ({ shifts: new Map(), logWeight: Math.log(weight) }));
    const [first] = leanOnOthers(both, logs(...before), states, { places, share: 0.25 } as never);
    // All strips say of the first place what its states have together, over its prior; three quarters of that are taken off,
    // up to a factor common to both.
    const all = leftTo(ofBirch.map((one, i) => one * ofAlder[i]!));
    const said = [(all[0]! + all[2]!) / 0.7, (all[1]! + all[3]!) / 0.3];
    near(
      first!,
      mixed(
        leftTo(ofBirch).map((weight, i) => weight / said[i % 2]! ** 0.75),
        alder,
      ),
    );
  });

  it("leaves each ground what all strips and rates say of it", () => {
    const all = leftTo(ofBirch.map((one, i) => one * ofAlder[i]!));
    const total = all.reduce((a, b) => a + b, 0);
    near(groundsAfter(both, logs(...before), 2), [(all[0]! + all[1]!) / total, (all[2]! + all[3]!) / total]);
  });

  it("stays a number where strips say very much", () => {
    const sure = both.map((one) => ({ ...one, explained: one.explained.map((log) => log - 3000) }));
    const [here] = leanOnOthers(sure, logs(...before), states, null);
    const [there] = leanOnOthers(both, logs(...before), states, null);
    here!.forEach((value, c) => expect(value).toBeCloseTo(there![c]!, 9));
    const places = [0.7, 0.3].map((weight) => ({ shifts: new Map(), logWeight: Math.log(weight) }));
    const inPart = { places, share: 0.25 } as never;
    const [mine] = leanOnOthers(sure, logs(...before), states, inPart);
    const [wanted] = leanOnOthers(both, logs(...before), states, inPart);
    mine!.forEach((value, c) => expect(value).toBeCloseTo(wanted![c]!, 9));
    groundsAfter(sure, logs(...before), 2).forEach((one, g) =>
      expect(one).toBeCloseTo(groundsAfter(both, logs(...before), 2)[g]!, 9),
    );
  });
});
