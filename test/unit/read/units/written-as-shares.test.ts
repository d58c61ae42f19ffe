import { describe, expect, it } from "vitest";
import { readFarm } from "../../../../src/farm/read-farm.ts";
import { bytesOf, readCsv, trialErrorOf } from "../read-csv.ts";

const lots = async (header: string, ...cells: readonly string[]) => {
  const rows = cells.map((cell, index) => `V${index},13000,${cell}`);
  const text = `variety,seeds_per_lb,${header}\n${rows.join("\n")}\n`;
  return (await readFarm([{ name: "lots.csv", as: "lots", bytes: bytesOf(text) }])).settings.lots;
};

describe("percents that are written as shares", () => {
  it.each(["germination", "germination (%)", "Germ %", "germination_pct", "germination (share)"])(
    "are shares below %j, for no seed is sold of which 1% germinates",
    async (header) => {
      expect((await lots(header, "0.96", "0.88")).map(({ germination }) => germination)).toEqual([
        0.96, 0.88,
      ]);
    },
  );

  it("may be beside percents", async () => {
    expect((await lots("germination (%)", "0.96", "88", "91 %")).map((lot) => lot.germination)).toEqual([
      0.96, 0.88, 0.91,
    ]);
    expect((await lots("purity (%)", "0.99", "98")).map(({ purity }) => purity)).toEqual([0.99, 0.98]);
  });

  it("are asked about where they could be either", async () => {
    await expect(lots("germination (%)", "1")).rejects.toThrow("Is 100% meant?");
  });

  it.each(["moisture", "moisture (%)", "H2O %"])("are shares of moisture below %j", (header) => {
    const { strips } = readCsv(`variety,season,rate,yield,${header}\nAlder,2026,1200000,60,0.14\n`);
    expect(strips.map(({ moisturePct }) => moisturePct)).toEqual([expect.closeTo(14, 12)]);
  });

  it("stay what they are where 0.5% may be meant", () => {
    const { strips } = readCsv(
      "variety,season,rate,yield,lodging (%),ground_cover (%)\nAlder,2026,1200000,60,0.5,0.5\n",
    );
    expect(strips).toMatchObject([{ groundCoverPct: 0.5, lodging: { share: 0.005 } }]);
    expect(trialErrorOf(() => readCsv("variety,season,rate,yield\nAlder,2026,0.9,60\n")).code).toBe(
      "unit-unclear",
    );
  });
});
