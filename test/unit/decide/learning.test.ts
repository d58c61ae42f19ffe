import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { analyze } from "../../../src/analyze.ts";
import { believeSoFar } from "../../../src/model/beliefs/seasons-so-far.ts";
import { readTrial } from "../../../src/read/trial-files.ts";
import type { Result } from "../../../src/vocabulary/result.ts";
import { defaultSettings, defaultUnits } from "../../../src/vocabulary/settings.ts";
import { demoResult } from "../../fixtures/demo.ts";

describe("what was known after each season", () => {
  const all = demoResult();

  it("is after the last one what is advised now, number by number", () => {
    const last = all.learning.at(-1)!;
    expect(last.season).toBe(2026);
    expect(last.varieties.map(({ variety }) => variety)).toEqual(all.varieties);
    for (const { variety, economicOptimum, yieldOptimum } of last.varieties)
      expect(all.next.find((one) => one.variety === variety)).toMatchObject({
        economicOptimum,
        yieldOptimum,
      });
  });

  it("is after an earlier one the answer that its strips alone give", () => {
    // No lodging and no protein here: those are known from all seasons.
    const [header, ...rows] = readFileSync(
      new URL("../../fixtures/two-fields/strips.csv", import.meta.url),
      "utf8",
    )
      .trim()
      .split(/\r?\n/);
    const answer = (upTo: number): Result => {
      const known = rows.filter((row) => Number(row.split(",")[0]) <= upTo);
      const bytes = new TextEncoder().encode([header, ...known].join("\n"));
      const trial = readTrial([{ name: "strips.csv", bytes }], defaultSettings, defaultUnits);
      return analyze(trial, defaultSettings, defaultUnits);
    };
    const seasons = [...new Set(rows.map((row) => Number(row.split(",")[0])))].sort((a, b) => a - b);
    const followed = answer(Infinity);
    expect(followed.learning.map(({ season }) => season)).toEqual(seasons);
    expect(followed.learning[1]!.varieties).toEqual(answer(seasons[1]!).learning.at(-1)!.varieties);
  });

  it("is not followed over very many curves, and that is said", () => {
    const fits = Array.from({ length: 30 }, (_, i) => ({ ...all.fits[0]!, season: 2000 + i }));
    const { soFar, findings } = believeSoFar(fits, defaultSettings);
    expect(soFar).toEqual([]);
    expect(findings.map(({ code, message }) => [code, message])).toEqual([
      ["earlier-seasons-not-followed", expect.stringContaining("There are 435")],
    ]);
  });
});
