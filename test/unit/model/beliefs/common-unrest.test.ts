import { describe, expect, it } from "vitest";
import { drawNormal, random } from "../../../../src/maths/random.ts";
import { independentShare, type NeedThere } from "../../../../src/model/beliefs/common-unrest.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

const { priors } = defaultSettings;
const errorSd = 0.1;

/** Two fields with three varieties in many seasons, whose needs move by what they share and by what each has of its own. */
function grown(shared: number, own: number, { seasons = 40, ofSeason = 0 } = {}): NeedThere[] {
  const draw = random(1, `unrest ${shared} ${own}`);
  return Array.from({ length: seasons }, (_, season) => season).flatMap((season) => {
    const everywhere = ofSeason * drawNormal(draw);
    return ["Hill", "Bottom"].flatMap((field) => {
      const together = everywhere + (field === "Hill" ? -0.2 : 0.2) + shared * drawNormal(draw);
      return Array.from({ length: 3 }, () => ({
        environment: `${season} ${field}`,
        field,
        season,
        shift: together + Math.hypot(own, errorSd) * drawNormal(draw),
        variance: errorSd ** 2,
      }));
    });
  });
}

/** One over the design effect of clusters of three: 1 + (3 − 1) × the correlation within (Kish 1965, section 5.4, FROM MEMORY). */
const kish = (shared: number, own: number): number =>
  1 / (1 + (2 * shared ** 2) / (shared ** 2 + own ** 2 + errorSd ** 2));

describe("what the varieties of a field and season say by themselves", () => {
  it.each([
    [0.16, 0],
    [0.12, 0.12],
    [0.2, 0.08],
  ])("is one over the design effect where they share %f and have %f of their own", (shared, own) => {
    expect(Math.abs(independentShare(grown(shared, own), priors) - kish(shared, own))).toBeLessThan(0.06);
  });

  it("is nearly all where they share nothing", () => {
    expect(independentShare(grown(0, 0.16), priors)).toBeGreaterThan(0.9);
  });

  it("is no less where a season moves all fields alike, as that tells no field from another", () => {
    const share = independentShare(grown(0, 0.16, { ofSeason: 0.3 }), priors);
    expect(share).toBeGreaterThan(0.9);
  });

  it("is between a third and all of three where a single season cannot tell", () => {
    const share = independentShare(grown(0.1, 0, { seasons: 1 }), priors);
    expect(share).toBeGreaterThan(1 / 3);
    expect(share).toBeLessThan(0.9);
  });

  it("is all for one variety", () => {
    const one = grown(0.2, 0).filter((_, i) => i % 3 === 0);
    expect(independentShare(one, priors)).toBe(1);
  });
});
