import { describe, expect, it } from "vitest";
import { chanceOverLimit, findLodgingCeiling } from "../../../../src/decide/rate/lodging-ceiling.ts";
import { toLodgingScore } from "../../../../src/numbers/lodging-scales.ts";
import { drawNormal, random } from "../../../../src/maths/random.ts";
import { normalCdf } from "../../../../src/maths/distributions.ts";
import { modelLodging as modelWith } from "../../../../src/model/observed/lodging.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { speakingLodgings } from "../../../../src/vocabulary/speaking-lodging.ts";
import type { LodgingScale, Strip } from "../../../../src/vocabulary/trial.ts";
import { makeStrip } from "../../check/make-strips.ts";

const rates = [200, 260, 320, 400, 500];

/** Strips of a farm, one score each from a season, a variety, a rate and a block. */
function score(
  seasons: number,
  varieties: string[],
  of: (season: number, variety: string, rate: number, block: number) => number,
  scale: LodgingScale = "zero-to-nine",
): Strip[] {
  const strips: Strip[] = [];
  for (let season = 2021; season < 2021 + seasons; season++)
    for (const variety of varieties)
      for (const rateSeedsPerM2 of rates)
        for (let block = 1; block <= 3; block++)
          strips.push(
            makeStrip({
              season,
              variety,
              rateSeedsPerM2,
              block: String(block),
              lodging: toLodgingScore(scale, of(season, variety, rateSeedsPerM2, block)),
            }),
          );
  return strips;
}

const risen = (season: number, _: string, rate: number, block: number): number =>
  Math.min(9, Math.max(0, Math.round((rate - 200) / 60 + (season - 2022) + ((block * 7) % 3) - 1)));

const lodgingPriors = defaultSettings.priors.lodging;
const modelLodging = (strips: readonly Strip[]) => modelWith(strips, lodgingPriors);

describe("modelLodging", () => {
  it("is empty without scores", () => expect(modelLodging([makeStrip()])).toEqual([]));

  it("believes in lodging that rises with rate", () => {
    const [model] = modelLodging(score(3, ["Ostrindel", "Quavenby"], risen));
    expect(model!.regression!.coefficients.at(-1)!.estimate).toBeGreaterThan(0);
    for (const variety of model!.varieties) {
      expect(variety.beliefs.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12);
      expect(chanceOverLimit(variety, 500, 0.3)!).toBeGreaterThan(chanceOverLimit(variety, 200, 0.3)! + 0.3);
    }
  });

  it("says that nothing lodged, and gives no regression", () => {
    const [model] = modelLodging(score(3, ["Ostrindel"], () => 0));
    expect(model!.regression).toBeNull();
    expect(model!.varieties[0]!.reason).toBe("never-lodged");
    expect(model!.varieties[0]!.beliefs).toEqual([]);
    expect(model!.varieties[0]!.seen).toHaveLength(3);
  });

  it("leaves a season without lodging out of the regression by name, and takes the season to come for safer", () => {
    const wet = score(2, ["Ostrindel"], risen);
    const withDry = [...wet, ...score(3, ["Ostrindel"], () => 0).filter(({ season }) => season === 2023)];
    const [two] = modelLodging(wet);
    const [three] = modelLodging(withDry);
    expect(three!.regression!.withoutInformation).toEqual(["2023 North"]);
    const slopeOf = (model: typeof two): number => model!.regression!.coefficients.at(-1)!.estimate;
    expect(slopeOf(three)).toBeCloseTo(slopeOf(two), 1);
    for (const rate of rates)
      expect(chanceOverLimit(three!.varieties[0]!, rate, 0.3)!).toBeLessThan(
        0.8 * chanceOverLimit(two!.varieties[0]!, rate, 0.3)!,
      );
  });

  it("has an answer where thin and thick strips are separated completely", () => {
    const [model] = modelLodging(score(2, ["Ostrindel"], (_, __, rate) => (rate > 350 ? 9 : 0)));
    expect(model!.regression).toBeNull();
    const [variety] = model!.varieties;
    expect(chanceOverLimit(variety!, 200, 0.3)!).toBeLessThan(0.3);
    expect(chanceOverLimit(variety!, 500, 0.3)!).toBeGreaterThan(0.7);
  });

  it("keeps scales apart that do not convert, and pools those that count area", () => {
    const visual = score(2, ["Ostrindel"], risen);
    const percent = score(2, ["Quavenby"], (...strip) => 10 * risen(...strip), "percent");
    const coded = score(2, ["Brimsolt"], risen, "zero-to-nine-percent");
    const models = modelLodging([...visual, ...percent, ...coded]);
    expect(models.map(({ scale, varieties }) => [scale, varieties.map(({ variety }) => variety)])).toEqual([
      ["percent", ["Brimsolt", "Quavenby"]],
      ["zero-to-nine", ["Ostrindel"]],
    ]);
    const [area] = models;
    const shares = area!.varieties.map(({ seen }) => seen[0]!.rates.map(({ share }) => share));
    shares[0]!.forEach((share, i) => expect(share).toBeCloseTo(shares[1]![i]!, 12));
  });

  it("keeps a ceiling when a few upright strips are scored on another scale", () => {
    const visual = score(4, ["Ostrindel"], risen);
    const few = score(1, ["Ostrindel"], () => 0, "percent")
      .slice(0, 5)
      .map((strip) => ({ ...strip, season: 2030 }));
    const ceilingOf = (strips: readonly Strip[]) =>
      findLodgingCeiling(
        speakingLodgings(modelLodging(strips)).find(({ variety }) => variety === "Ostrindel"),
        defaultSettings,
      );
    expect(visual).toHaveLength(60);
    expect(ceilingOf(visual).kind).toBe("found");
    expect(ceilingOf([...visual, ...few])).toEqual(ceilingOf(visual));
    // Of two scales with something to say, the one with more strips speaks.
    const other = score(2, ["Ostrindel"], (...strip) => 10 * risen(...strip), "percent");
    expect(speakingLodgings(modelLodging([...visual, ...other]))[0]!.scale).toBe("zero-to-nine");
    expect(speakingLodgings(modelLodging([...other, ...visual.slice(0, 15)]))[0]!.scale).toBe("percent");
  });

  it("gives one variety alone, or with another, nearly the same answer where strips are many", () => {
    const alone = modelLodging(score(6, ["Ostrindel"], risen))[0]!.varieties[0]!;
    const beside = modelLodging(score(6, ["Ostrindel", "Quavenby"], risen))[0]!.varieties[0]!;
    for (const rate of rates)
      expect(Math.abs(chanceOverLimit(alone, rate, 0.3)! - chanceOverLimit(beside, rate, 0.3)!)).toBeLessThan(
        0.06,
      );
  });

  it("expects of a new field what varieties did in fields where they differed", () => {
    // In every season one variety lies and the other stands, by turns: the seasons are alike, the varieties in them not.
    const byTurns = (season: number, variety: string, rate: number): number =>
      ((season + (variety === "Ostrindel" ? 1 : 0)) % 2 === 0 ? 1 : 5) + (rate > 350 ? 1 : 0);
    const [ostrindel] = modelLodging(score(6, ["Ostrindel", "Quavenby"], byTurns))[0]!.varieties;
    expect(ostrindel!.beliefs.every(({ seasonVariance }) => seasonVariance > 0.3)).toBe(true);
    expect(chanceOverLimit(ostrindel!, 320, 0.3)!).toBeGreaterThan(0.3);
    expect(chanceOverLimit(ostrindel!, 320, 0.3)!).toBeLessThan(0.7);
  });

  it("does not depend on the order of the strips", () => {
    const strips = score(3, ["Ostrindel", "Quavenby"], risen);
    const backwards = modelLodging([...strips].reverse())[0]!.varieties;
    modelLodging(strips)[0]!.varieties.forEach((variety, i) => {
      for (const rate of rates)
        expect(chanceOverLimit(backwards[i]!, rate, 0.3)).toBeCloseTo(
          chanceOverLimit(variety, rate, 0.3)!,
          9,
        );
    });
  });

  it("starts from the beliefs that are set: more lodging believed beforehand is more believed after few scores", () => {
    const strips = score(1, ["Ostrindel"], risen);
    const levelWith = (levelMean: number): number => {
      const { beliefs } = modelWith(strips, { ...lodgingPriors, levelMean })[0]!.varieties[0]!;
      return beliefs.reduce((sum, { weight, level }) => sum + weight * level, 0);
    };
    expect(levelWith(0)).toBeGreaterThan(levelWith(-2) + 0.05);
    expect(levelWith(-4)).toBeLessThan(levelWith(-2) - 0.05);
  });

  it("keeps its promise on farms drawn from its priors: at the ceiling one season in five lodges too much", () => {
    const limit = 0.3;
    const names = ["Brimsolt", "Ostrindel", "Quavenby"];
    const mean = rates.reduce((sum, rate) => sum + rate / rates.length, 0);
    const unit = 2 * Math.sqrt(rates.reduce((sum, rate) => sum + (rate - mean) ** 2 / rates.length, 0));
    const atCeiling: number[] = [];
    const believed: number[] = [];
    const true_: number[] = [];
    for (let farm = 0; farm < 120; farm++) {
      const draw = random(farm, "lodging farm");
      const normal = (): number => drawNormal(draw);
      const { levelMean, levelSd, slopeSd, seasonSpread, fieldSpread, varietySpread, slopeSpread } =
        lodgingPriors;
      const slopes = Math.abs(slopeSpread * normal());
      const common = slopeSd * normal();
      const level = names.map(() => levelMean + levelSd * normal());
      const slope = names.map(() => (common + slopes * normal()) / unit);
      const [seasonSd, fieldSd, varietySd] = [seasonSpread, fieldSpread, varietySpread].map((scale) =>
        Math.abs(scale * normal()),
      ) as [number, number, number];
      const season = new Map([2021, 2022, 2023, 2024].map((year) => [year, seasonSd * normal()]));
      const plot = new Map(
        [...season.keys()].flatMap((year) =>
          names.map((name) => [`${year} ${name}`, varietySd * normal()] as const),
        ),
      );
      const field = new Map([...season.keys()].map((year) => [year, fieldSd * normal()]));
      const strips = score(4, names, (year, variety, rate) => {
        const v = names.indexOf(variety);
        const between = season.get(year)! + field.get(year)! + plot.get(`${year} ${variety}`)!;
        const odds = level[v]! + between + slope[v]! * (rate - mean) + 0.3 * normal();
        return Math.round(9 / (1 + Math.exp(-odds)));
      });
      const spread = Math.hypot(seasonSd, fieldSd, varietySd);
      const trueChance = (v: number, rate: number): number =>
        normalCdf(
          (level[v]! + slope[v]! * (rate - mean) - Math.log(limit / (1 - limit))) / Math.max(spread, 1e-9),
        );
      for (const variety of modelLodging(strips)[0]!.varieties) {
        const v = names.indexOf(variety.variety);
        for (const rate of variety.beliefs.length === 0 ? [] : rates) {
          believed.push(chanceOverLimit(variety, rate, limit)!);
          true_.push(trueChance(v, rate));
        }
        const ceiling = findLodgingCeiling(variety, { lodgingLimit: limit, lodgingChance: 0.2 });
        if (ceiling.kind === "found") atCeiling.push(trueChance(v, ceiling.rateSeedsPerM2));
      }
    }
    const average = (numbers: number[]): number =>
      numbers.reduce((sum, one) => sum + one, 0) / numbers.length;
    expect(atCeiling.length).toBeGreaterThan(60);
    expect(average(atCeiling)).toBeGreaterThan(0.15);
    expect(average(atCeiling)).toBeLessThan(0.25);
    // Of all that was believed at a chance of a quarter to a half, and of a half to three quarters, as much comes true.
    for (const [from, to] of [
      [0.05, 0.25],
      [0.25, 0.5],
      [0.5, 0.75],
      [0.75, 0.95],
    ] as const) {
      const among = believed.flatMap((chance, i) => (chance >= from && chance < to ? [i] : []));
      expect(among.length).toBeGreaterThan(40);
      expect(
        Math.abs(average(among.map((i) => believed[i]!)) - average(among.map((i) => true_[i]!))),
      ).toBeLessThan(0.07);
    }
  });
});
