/** Curves, needs and states of the farm with their weights before any strip, each by its formula. */
import { describe, expect, it } from "vitest";
import {
  coarseGrid,
  coarser,
  farmStates,
  gridOf,
  kindOfFall,
  lossOdds,
  needAxis,
  wholeGrid,
  type Ray,
} from "../../../../src/model/beliefs/curve-grid.ts";
import { riseShapes, shoulders } from "../../../../src/model/forms/believable-curve.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

/** Priors of their own in each test, as rays are kept by priors. */
const priors = () => ({ ...defaultSettings.priors });
const spaced = (lowest: number, highest: number, count: number): number[] =>
  Array.from({ length: count }, (_, i) => lowest * (highest / lowest) ** (i / (count - 1)));
const wholeLosses = spaced(0.009, 0.7, 12);
const wholeDeclines = spaced(0.01, 0.5, 4);
const density = (value: number, median: number, sdLog: number): number =>
  Math.exp(-0.5 * (Math.log(value / median) / sdLog) ** 2);
const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);

/** Of rises that may fall beyond the need a stated share never does; the others have one of three shoulders. */
const wanted = (one: Ray, losses: number[], declines: number[]): { stated: number; even: number } => {
  const { share, falls } = riseShapes[one.shape]!;
  const { lossMedian, lossSdLog, declineMedian, declineSdLog, noDeclineChance } = priors();
  // How many places of the whole axis one of these stands for.
  const places = 11 / (losses.length - 1);
  const ofLoss =
    (places * density(one.loss, lossMedian, lossSdLog)) /
    sum(wholeLosses.map((loss) => density(loss, lossMedian, lossSdLog)));
  const stated = share * ofLoss;
  const even = places / 12 / 6;
  if (!falls) return { stated, even };
  if (one.decline === 0) return { stated: stated * noDeclineChance, even: even / 5 };
  const ofDeclines = 3 / (declines.length - 1);
  const ofDecline =
    (ofDeclines * density(one.decline, declineMedian, declineSdLog)) /
    sum(wholeDeclines.map((decline) => density(decline, declineMedian, declineSdLog)));
  return { stated: (stated * ofDecline * (1 - noDeclineChance)) / 3, even: (even * ofDeclines) / 5 / 3 };
};

describe.each([
  ["whole", wholeLosses, wholeDeclines],
  ["coarse", spaced(0.009, 0.7, 7), spaced(0.01, 0.5, 2)],
] as const)("the %s grid", (name, losses, declines) => {
  const grid = () => (name === "whole" ? wholeGrid(priors(), [250, 350]) : coarseGrid(priors(), [250, 350]));

  it("has every rise with every loss, and where it may fall every decline beyond every shoulder", () => {
    const { patches, rays } = grid();
    const of = riseShapes.flatMap(({ falls }, shape) => [
      { shape, shoulder: 0, declines: [0] },
      ...(falls ? shoulders.map((shoulder) => ({ shape, shoulder, declines: [...declines] })) : []),
    ]);
    expect(patches.map(({ shape, shoulder }) => [shape, shoulder])).toEqual(
      of.map(({ shape, shoulder }) => [shape, shoulder]),
    );
    const curves = of.flatMap((patch, p) =>
      losses.flatMap((loss, lossAt) =>
        patch.declines.map((decline, declineAt) => ({
          ...patch,
          patch: p,
          loss,
          lossAt,
          decline,
          declineAt,
        })),
      ),
    );
    expect(rays).toHaveLength(curves.length);
    rays.forEach((ray, i) => {
      const { loss, decline, shape, shoulder, patch, lossAt, declineAt } = curves[i]!;
      expect(ray).toMatchObject({ shape, shoulder, patch, lossAt, declineAt });
      expect(ray.loss / loss).toBeCloseTo(1, 10);
      expect(ray.decline).toBeCloseTo(decline, 10);
    });
  });

  it("weighs each as stated, and evenly", () => {
    for (const ray of grid().rays) {
      const { stated, even } = wanted(ray, [...losses], [...declines]);
      expect(Math.exp(ray.logPrior) / stated).toBeCloseTo(1, 9);
      expect(Math.exp(ray.logFlatPrior) / even).toBeCloseTo(1, 9);
    }
  });
});

describe("needs that are looked at", () => {
  it("go from 0.35 of the lower rate to 2.5 of the higher, in steps of 6 %", () => {
    const axis = needAxis([250, 350]);
    // ln(875 ÷ 87.5) is 2.3026, or 38.4 steps: 39 of them, and one place more than steps.
    expect(Math.exp(axis.from)).toBeCloseTo(87.5, 8);
    expect([axis.step, axis.count]).toEqual([0.06, 40]);
    expect(coarseGrid(priors(), [250, 350]).needs).toEqual(axis);
  });

  it("are those of a grid that is made coarser, with its states", () => {
    const states = farmStates(priors()).slice(1);
    const whole = gridOf(
      { from: 5, step: 0.1, count: 3 },
      wholeGrid(priors(), [1, 2]).patches,
      priors(),
      states,
    );
    const less = coarser(whole, priors());
    expect([less.needs, less.states]).toEqual([whole.needs, states]);
    expect(less.rays).toHaveLength(7 * 6 + 4 * 3 * 7 * 2);
  });
});

describe("rays of a grid", () => {
  it("are the same for the same patches and priors, and others for others", () => {
    const own = priors();
    const first = wholeGrid(own, [250, 350]);
    const again = wholeGrid(own, [200, 300]);
    expect(again.rays).toBe(first.rays);
    expect(coarseGrid(own, [250, 350]).rays).not.toBe(first.rays);
    const lower = wholeGrid({ ...own, lossMedian: 0.04 }, [250, 350]);
    expect(lower.rays[0]!.logPrior).toBeGreaterThan(first.rays[0]!.logPrior);
    expect(wholeGrid(own, [250, 350]).rays).toBe(first.rays);
  });

  it("never fall, fall, or come down by themselves", () => {
    expect(kindOfFall({ shape: 0, decline: 0 })).toBe("never");
    expect(kindOfFall({ shape: 3, decline: 0.1 })).toBe("falls");
    // The quadratic and the square root.
    expect([2, 4].map((shape) => kindOfFall({ shape, decline: 0 }))).toEqual([null, null]);
  });
});

describe("states of the farm", () => {
  const bell = (x: number, sd: number): number => Math.exp(-0.5 * (x / sd) ** 2);

  it("are four spreads of seasons, weighed by a half-normal prior, where fields are not distinguished", () => {
    const states = farmStates({ ...priors(), seasonSpread: 0.1 });
    expect(states.map(({ season }) => season)).toEqual([0, 0.06, 0.12, 0.2]);
    const weights = [0, 0.06, 0.12, 0.2].map((sd) => bell(sd, 0.1));
    states.forEach((state, t) => {
      expect(state).toMatchObject({ fieldInSeason: 0, place: 0, shifts: new Map() });
      expect(Math.exp(state.logPrior)).toBeCloseTo(weights[t]! / sum(weights), 12);
      expect(Math.exp(state.logFlatPrior)).toBeCloseTo(1 / 4, 12);
    });
  });

  it("are seasons crossed with fields within them at each place that fields may have", () => {
    const places = [0.3, -0.1].map((shift, i) => ({
      shifts: new Map([
        ["Hill", shift],
        ["Flat", -shift],
      ]),
      logWeight: -1 - i,
    }));
    const states = farmStates({ ...priors(), seasonSpread: 0.1, fieldInSeasonSpread: 0.2 }, places);
    const spreads = [
      [0.04, 0],
      [0.14, 0],
      [0.05, 0.12],
      [0.16, 0.12],
    ] as const;
    const weights = spreads.map(([season, field]) => bell(season, 0.1) * bell(field, 0.2));
    expect(states).toHaveLength(8);
    states.forEach((state, i) => {
      const [place, t] = [Math.floor(i / 4), i % 4];
      const [season, fieldInSeason] = spreads[t]!;
      expect(state).toMatchObject({ season, fieldInSeason, place, shifts: places[place]!.shifts });
      expect(state.logPrior).toBeCloseTo(Math.log(weights[t]! / sum(weights)) - 1 - place, 12);
      expect(state.logFlatPrior).toBeCloseTo(-Math.log(4) - 1 - place, 12);
    });
  });
});

it("a loss is as much likelier under one prior than under another as its shares of both", () => {
  const [of, than] = [
    { lossMedian: 0.05, lossSdLog: 0.4 },
    { lossMedian: 0.12, lossSdLog: 0.9 },
  ];
  const shareOf = (loss: number, { lossMedian, lossSdLog }: typeof of): number =>
    density(loss, lossMedian, lossSdLog) / sum(wholeLosses.map((one) => density(one, lossMedian, lossSdLog)));
  const odds = lossOdds(of, than);
  for (const loss of [0.02, 0.05, 0.3])
    expect(odds(loss)).toBeCloseTo(shareOf(loss, of) / shareOf(loss, than), 10);
});
