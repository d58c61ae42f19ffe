import { describe, expect, it } from "vitest";
import { analyzeFarm } from "../../../../src/farm/analyze-farm.ts";
import { readFarm } from "../../../../src/farm/read-farm.ts";
import { drawNormal, random } from "../../../../src/maths/random.ts";

describe("scatter that differs between environments", () => {
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
