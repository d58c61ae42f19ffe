/** What a move brings, worked by hand on the curves of `three-curves.ts`: A 0.50, B 0.44, C 0.06; a seed/m² costs 0.3. */
import { describe, expect, it } from "vitest";
import { worthOfMove } from "../../../../src/decide/rate/moves.ts";
import { netReturns, varietyPrices } from "../../../../src/decide/rate/net-return.ts";
import { settings, three } from "./three-curves.ts";

const noQuality = { premiumPerKg: () => 0, costPerHa: () => 0 };
const net = netReturns(three, varietyPrices(three, noQuality, settings));
const worth = (from: number, to: number) => worthOfMove(three, net, from, to, settings);

describe("a move from one rate to another", () => {
  it("pays as often as the curves are believed under which it earns something", () => {
    // 260 to 286: A and B rise by more than seed costs, C does not. Back: C alone.
    expect(worth(260, 286).chanceOfGain).toBeCloseTo(0.94, 12);
    expect(worth(286, 260).chanceOfGain).toBeCloseTo(0.06, 12);
    expect(worth(286, 260).gainPerHa!.expected).toBeCloseTo(-6.5866667, 6);
    // 320 to 350: B alone.
    expect(worth(320, 350).chanceOfGain).toBeCloseTo(0.44, 12);
  });

  it("that earns exactly nothing does not pay", () => {
    const free = netReturns(three, varietyPrices(three, noQuality, { ...settings, seedPricePerThousand: 0 }));
    // Without a cost of seed, from 320 to 350 A and C stay level: no gain.
    expect(worthOfMove(three, free, 320, 350, settings).chanceOfGain).toBeCloseTo(0.44, 12);
  });

  it("is never surer than certain", () => {
    const heavy = { ...net, weights: Float64Array.of(0.6, 0.5, 0) };
    expect(worthOfMove(three, heavy, 260, 286, settings).chanceOfGain).toBe(1);
  });

  it("is not judged where no tested rate lies between", () => {
    const unknown = { gainPerHa: null, chanceOfGain: null };
    expect(worth(150, 190)).toEqual(unknown);
    expect(worth(150, 200)).toEqual(unknown);
    expect(worth(190, 150)).toEqual(unknown);
    expect(worth(400, 450)).toEqual(unknown);
    expect(worth(450, 410)).toEqual(unknown);
    // Tested are 200 to 400: to end beyond them, as a lowest rate of 450 does, is not judged either.
    expect(worth(300, 450)).toEqual(unknown);
    expect(worth(300, 190)).toEqual(unknown);
    expect(worth(300, 401).gainPerHa).not.toBeNull();
    expect(worth(150, 201).gainPerHa).not.toBeNull();
    expect(worth(450, 399).gainPerHa).not.toBeNull();
  });

  it("from a rate to itself brings nothing, without a chance", () => {
    expect(worth(260, 260)).toEqual({ gainPerHa: { expected: 0, lower: 0, upper: 0 }, chanceOfGain: null });
    expect(worth(500, 500).gainPerHa).toEqual({ expected: 0, lower: 0, upper: 0 });
  });
});
