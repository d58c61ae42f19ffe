import { describe, expect, it } from "vitest";
import { toPerAcre } from "../../../src/numbers/units.ts";
import { demoResult } from "../../fixtures/demo.ts";

describe("the answer for the demo farm", () => {
  const result = demoResult();
  const nextOf = (variety: string) => result.next.find((next) => next.variety === variety)!;

  it("backs off, goes up, stays, and is unsure, where that is right", () => {
    const move = (variety: string): number =>
      Math.sign(nextOf(variety).rateNextSeedsPerM2! - nextOf(variety).rateNowSeedsPerM2!);
    expect([move("Ostrindel"), move("Quavenby"), move("Brimsolt"), move("Telluwick")]).toEqual([-1, 1, 0, 0]);
    expect(nextOf("Telluwick").evidence).toBe("weak");
    const byWorth = [...result.stripAdvice].sort((a, b) => b.valueOfTrialPerHa - a.valueOfTrialPerHa);
    expect(byWorth[0]).toMatchObject({ variety: "Telluwick" });
    expect(byWorth[0]!.need).not.toBe("settled");
    expect(byWorth.slice(2).map((one) => one.need)).toEqual(["settled", "settled"]);
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
