import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { demoVarieties, trueBestRates } from "../../../data-demo/farm.ts";
import { analyze } from "../../../src/analyze.ts";
import { readLots } from "../../../src/read/lots.ts";
import { readSeason } from "../../../src/read/season-file/season.ts";
import { readTrial } from "../../../src/read/trial-files.ts";
import type { Result } from "../../../src/vocabulary/result.ts";
import { toPerAcre } from "../../../src/numbers/units.ts";

const file = (name: string) => ({
  name,
  bytes: readFileSync(new URL(`../../../data-demo/${name}`, import.meta.url)),
});

describe("the answer for the demo farm", () => {
  let result: Result;
  const nextOf = (variety: string) => result.next.find((next) => next.variety === variety)!;

  beforeAll(() => {
    const { settings: season, units } = readSeason(file("season.yaml"));
    const lots = readLots(file("lots.csv"), season, units);
    expect(lots.findings).toEqual([]);
    const settings = { ...season, lots: lots.lots };
    const strips = [2024, 2025, 2026].map((year) => file(`strips-${year}.csv`));
    result = analyze(readTrial(strips, settings, units), settings, units);
  });

  it("backs off, goes up, stays, and is unsure, where that is right", () => {
    const move = (variety: string): number =>
      Math.sign(nextOf(variety).rateNextSeedsPerM2 - nextOf(variety).rateNowSeedsPerM2);
    expect([move("Ostrindel"), move("Quavenby"), move("Brimsolt"), move("Telluwick")]).toEqual([-1, 1, 0, 0]);
    expect(nextOf("Telluwick").evidence).toBe("weak");
    const byWorth = [...result.stripAdvice].sort((a, b) => b.valueOfTrialPerHa - a.valueOfTrialPerHa);
    expect(byWorth[0]).toMatchObject({ variety: "Telluwick" });
    expect(byWorth[0]!.need).not.toBe("settled");
    expect(byWorth.slice(2).map((one) => one.need)).toEqual(["settled", "settled"]);
  });

  it("has every true best rate inside its 95 % interval", () => {
    for (const variety of demoVarieties) {
      const [, wide] = nextOf(variety.name).intervals;
      const truth = trueBestRates(variety).money * 1e6;
      expect(toPerAcre(wide!.lower), variety.name).toBeLessThan(truth);
      expect(toPerAcre(wide!.upper), variety.name).toBeGreaterThan(truth);
    }
  });

  it("points at the swapped yield and the misplaced decimal, and leaves out the strips not harvested", () => {
    const doubts = result.findings.filter((finding) => finding.severity === "doubt");
    expect(doubts.some(({ file: name, row }) => name === "strips-2024.csv" && row === 24)).toBe(true);
    expect(result.rows.leftOut).toBe(5);
    const swapped = result.strips.find(
      ({ variety, environment, block, yieldKgPerHa, rateSeedsPerM2 }) =>
        variety === "Brimsolt" &&
        environment === "2025 Windlass Farm, Hill" &&
        block === "2" &&
        Math.round(toPerAcre(rateSeedsPerM2)) === 1_100_000 &&
        yieldKgPerHa > 0,
    )!;
    expect(Math.abs(swapped.studentizedResidual!)).toBeGreaterThan(3);
    expect(result.findings.some(({ file: name, row }) => name === swapped.file && row === swapped.row)).toBe(
      true,
    );
  });
});
