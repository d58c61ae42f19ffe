import { describe, expect, it } from "vitest";
import { believeCurves } from "../../../../src/model/beliefs/believable-curves.ts";
import { believeSoFar } from "../../../../src/model/beliefs/seasons-so-far.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { cellsByHand } from "./sums-by-hand.ts";

/** One block of three rates on the hill, whose middle one yields so much more. */
const inSeason = (season: number, more: number, variety = "Alder") =>
  cellsByHand(
    [
      ["1", 200, 1, 4000],
      ["1", 300, 1, 4000 + more],
      ["1", 400, 1, 4050],
    ],
    { season, environment: `${season} Hill`, variety },
  );

describe("what was believed after each season", () => {
  it("comes from the strips up to then, for all seasons but the last", () => {
    const fits = [inSeason(2024, 300), inSeason(987, 150), inSeason(2023, 200)];
    const { soFar, findings } = believeSoFar(fits, defaultSettings);
    expect(findings).toEqual([]);
    expect(soFar.map(({ season }) => season)).toEqual([987, 2023]);
    expect(soFar[0]!.beliefs).toEqual(believeCurves([fits[1]!], defaultSettings, false));
    expect(soFar[1]!.beliefs).toEqual(believeCurves(fits.slice(1), defaultSettings, false));
  });

  it("is nothing of a single season", () => {
    expect(believeSoFar([inSeason(2024, 300)], defaultSettings)).toEqual({ soFar: [], findings: [] });
  });

  it("is not worked out for more than 400 varieties and fields over all seasons, which is said", () => {
    // After the first season 201, after the second 402; none of them of the last.
    const fits = Array.from({ length: 201 }, (_, i) => [
      inSeason(2021, 10, `Variety ${i}`),
      inSeason(2022, 10, `Variety ${i}`),
    ]).flat();
    const { soFar, findings } = believeSoFar([...fits, inSeason(2023, 10)], defaultSettings);
    expect(soFar).toEqual([]);
    expect(findings.map(({ code }) => code)).toEqual(["earlier-seasons-not-followed"]);
    expect(findings[0]!.message).toContain("603");
  });
});
