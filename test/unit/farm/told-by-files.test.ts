import { strToU8 } from "fflate";
import { describe, expect, it } from "vitest";
import type { FarmFile } from "../../../src/farm/farm-files.ts";
import { readFarm } from "../../../src/farm/read-farm.ts";

const file = (name: string, as: FarmFile["as"], text: string): FarmFile => ({
  name,
  as,
  bytes: strToU8(text),
});
const strips = (crops: readonly string[], units = "(seeds/m2),yield (kg/ha)"): FarmFile =>
  file(
    "strips.csv",
    "strips",
    `variety,season,crop,rate ${units}\n${crops.map((crop, index) => `Alder,2026,${crop},${200 + 50 * index},5000\n`).join("")}`,
  );
const lots = (price: string, treatment = "(€/dt)"): FarmFile =>
  file(
    "lots.csv",
    "lots",
    `variety,germination_pct,seed_price ${price},treatment_cost ${treatment}\nAlder,95,60,5\n`,
  );

describe("what the files tell where nobody says it", () => {
  it("is the crop, the units and the currency, and is said", async () => {
    const { settings, units, trial } = await readFarm([strips(["barley", "Gerste"]), lots("(€/dt)")]);
    expect([settings.crop, units]).toEqual(["barley", { system: "metric", currency: "€" }]);
    expect(trial.strips).toHaveLength(2);
    const codes = trial.findings.map(({ code }) => code);
    expect(codes).toEqual(expect.arrayContaining(["crop-of-strips", "units-of-strips", "currency-of-lots"]));
    expect(codes).not.toContain("other-currency");
  });

  it("is none of them against a person's word", async () => {
    const said = file("season.yaml", "season", "crop: wheat\nunits: us\ncurrency: $\n");
    const { settings, units, trial } = await readFarm([strips(["barley", "barley"]), lots("(€/dt)"), said]);
    expect([settings.crop, units]).toEqual(["wheat", { system: "us", currency: "$" }]);
    expect(trial.rowsLeftOut).toBe(2);
    const codes = trial.findings.map(({ code }) => code);
    expect(codes).toContain("other-currency");
    expect(codes).not.toContain("units-of-strips");
  });

  it("is no crop of two, no unit of both systems, no currency of two", async () => {
    const { settings, units, trial } = await readFarm([
      strips(["barley", "oats"], "(seeds/m2),yield (bu/ac)"),
      lots("($/cwt)"),
    ]);
    expect([settings.crop, units]).toEqual(["wheat", { system: "us", currency: "$" }]);
    expect(trial.findings.map(({ code }) => code)).toContain("other-currency");
  });
});
