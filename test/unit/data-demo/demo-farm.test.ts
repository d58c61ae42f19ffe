import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { demoFiles, demoVarieties, growDemoFarm, trueBestRates } from "../../../data-demo/farm.ts";

const stored = (name: string): string =>
  readFileSync(new URL(`../../../data-demo/${name}`, import.meta.url), "utf8");

describe("the demo farm", () => {
  it("is made again byte for byte", () => {
    for (const [name, text] of Object.entries(demoFiles())) expect(text, name).toBe(stored(name));
  });

  it("has its strips in another order in every block", () => {
    const orders = new Map<string, string>();
    for (const strip of growDemoFarm()) {
      const block = `${strip.season} ${strip.field} ${strip.block}`;
      orders.set(block, `${orders.get(block) ?? ""} ${strip.variety} ${strip.rate}`);
    }
    expect(orders.size).toBe(3 * (4 + 3));
    expect(new Set(orders.values()).size).toBe(orders.size);
  });

  it("holds one variety that should be sown thinner, one that should go up and one that is right as it is", () => {
    const change = Object.fromEntries(
      demoVarieties.map((variety) => [variety.name, trueBestRates(variety).money / variety.rateNow - 1]),
    );
    expect(change.Ostrindel).toBeLessThan(-0.2);
    expect(change.Quavenby).toBeGreaterThan(0.2);
    expect(Math.abs(change.Brimsolt!)).toBeLessThan(0.02);
  });

  it("says in its README what truth.csv says", () => {
    const readme = stored("README.md").replace(/ +/g, " ");
    for (const row of stored("truth.csv").trim().split("\n").slice(1)) {
      const [variety, ...rates] = row.split(",");
      const told = rates.slice(0, 3).map((rate) => Number(rate).toLocaleString("en-US"));
      expect(readme).toContain(`| ${variety} | ${told.join(" | ")} |`);
    }
  });
});
