import { describe, expect, it } from "vitest";
import { analyzeFarm } from "../../../../src/farm/analyze-farm.ts";
import { readFarm } from "../../../../src/farm/read-farm.ts";
import { drawNormal, random } from "../../../../src/maths/random.ts";
import { bartlettTest } from "../../../../src/model/pooled/unlike-scatter.ts";

describe("scatter that differs between environments", () => {
  it("is tested as R tests it", () => {
    // R 4, bartlett.test(count ~ spray, InsectSprays): K-squared 25.9598253204, p 9.08512233295e-05 (Beall 1942, Biometrika 32:243).
    const squares = [245, 200.6666666667, 42.9166666667, 68.9166666667, 33, 424.6666666667];
    const { statistic, p } = bartlettTest(squares.map((ss) => ({ ss, df: 11 })));
    expect(statistic).toBeCloseTo(25.9598253204, 8);
    expect(p / 9.08512233295e-5).toBeCloseTo(1, 8);
  });

  const doubts = async (errors: readonly number[]): Promise<string[]> => {
    const draw = random(7, "unlike scatter");
    const rows = errors.flatMap((error, i) =>
      [1, 2, 3, 4].flatMap((block) =>
        [0.8, 1.1, 1.4, 1.7, 2].map((rate) =>
          [
            "Alder",
            2023 + i,
            "North",
            block,
            rate,
            (60 - 12 * (rate - 1.4) ** 2 + error * drawNormal(draw)).toFixed(3),
          ].join(),
        ),
      ),
    );
    const text = ["variety,season,field,block,rate (million/ac),yield (bu/ac)", ...rows].join("\n");
    const farm = await readFarm([
      { name: "strips.csv", bytes: new TextEncoder().encode(text), as: "strips" },
    ]);
    return analyzeFarm(farm)
      .findings.filter(({ code }) => code === "scatter-unlike")
      .map(({ message }) => message);
  };

  it("is said where one season scatters nine times as much, and not where all scatter alike", async () => {
    expect(await doubts([1, 1, 9])).toEqual([
      expect.stringMatching(
        /^By chance, strips of 2025 North differ \d+(\.\d)? times as much as those of 202[34] North/,
      ),
    ]);
    expect(await doubts([1, 1, 1])).toEqual([]);
  });
});
