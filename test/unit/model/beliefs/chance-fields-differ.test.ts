import { describe, expect, it } from "vitest";
import { drawNormal, random } from "../../../../src/maths/random.ts";
import type { SeenThere } from "../../../../src/model/beliefs/fields-and-seasons.ts";
import { aboutFields } from "../../../../src/model/beliefs/needs-in-environments.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";

const { priors } = defaultSettings;
const errorSd = 0.1;

const meanOf = (needs: readonly SeenThere[]): number =>
  needs.reduce((sum, { shift }) => sum + shift, 0) / needs.length;

/** Farms of three fields with two varieties, whose sds are drawn from the priors as they are stated. */
function drawnFarm(number: number, seasons: number): { needs: SeenThere[]; ofField: number[] } {
  const draw = random(number, "farms as the priors have them");
  const sd = (scale: number): number => Math.abs(scale * drawNormal(draw));
  const [lasting, own, common] = [
    sd(priors.fieldSpread),
    sd(priors.seasonSpread),
    sd(priors.fieldInSeasonSpread),
  ];
  const ofField = [0, 1, 2].map(() => lasting * drawNormal(draw));
  const needs = Array.from({ length: seasons }, (_, season) => season).flatMap((season) => {
    const everywhere = 0.15 * drawNormal(draw);
    return ofField.flatMap((lies, f) => {
      const together = everywhere + lies + common * drawNormal(draw);
      return [0, 1].map(() => ({
        environment: `${season} ${f}`,
        field: `${f}`,
        season,
        shift: together + Math.hypot(own, errorSd) * drawNormal(draw),
        variance: errorSd ** 2,
      }));
    });
  });
  return { needs, ofField };
}

describe("the chance that fields differ", () => {
  // What a chance means: of farms drawn from the priors, that share turns out so (Cook, Gelman & Rubin 2006, J. Comput. Graph.
  // Stat. 15:675, FROM MEMORY). Which pair was picked and what needs more there is told by the mean needs of the fields.
  it("is as often right as it says, at two seasons and at four", () => {
    const told = [2, 4].flatMap((seasons) =>
      Array.from({ length: 150 }, (_, number) => {
        const { needs, ofField } = drawnFarm(number, seasons);
        const { chanceTheyDiffer: chance } = aboutFields(needs, priors);
        const means = ofField.map((_lies, f) => meanOf(needs.filter(({ field }) => field === `${f}`)));
        const most = means.indexOf(Math.max(...means));
        const least = means.indexOf(Math.min(...means));
        return { chance, right: ofField[most]! > ofField[least]! };
      }),
    );
    for (const [from, to] of [
      [0.5, 0.8],
      [0.8, 0.95],
      [0.95, 1.01],
    ] as const) {
      const some = told.filter(({ chance }) => chance >= from && chance < to);
      const expected = some.reduce((sum, { chance }) => sum + chance, 0) / some.length;
      const right = some.filter((one) => one.right).length / some.length;
      expect(some.length).toBeGreaterThan(20);
      // Three standard errors of a share.
      expect(Math.abs(right - expected)).toBeLessThan(
        3 * Math.sqrt((expected * (1 - expected)) / some.length),
      );
    }
  });
});
