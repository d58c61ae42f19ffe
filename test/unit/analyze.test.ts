import { expect, it } from "vitest";
import { analyze, type AnalysisStep } from "../../src/analyze.ts";
import { checkTrial } from "../../src/check/index.ts";
import { curveDoubts } from "../../src/messages/fitting.ts";
import { defaultSettings, defaultUnits } from "../../src/vocabulary/settings.ts";
import { makeTrial } from "../make-trial.ts";

it("tells each step of the story as it begins, in order and once", () => {
  const trial = makeTrial(
    [200, 260, 320, 380].flatMap((rateSeedsPerM2) =>
      ["1", "2"].map((block) => ({
        block,
        rateSeedsPerM2,
        yieldKgPerHa: 4000 - (rateSeedsPerM2 - 300) ** 2 / 50,
      })),
    ),
  );
  const begun: AnalysisStep[] = [];
  analyze(trial, defaultSettings, defaultUnits, (step) => begun.push(step));
  expect(begun).toEqual(["check", "seasons", "observed", "beliefs", "pooled", "decide", "plan"]);
});

it("knows the doubts that checking cannot list, of stands as well", () => {
  const trial = makeTrial(
    [200, 260, 320, 380].flatMap((rateSeedsPerM2) =>
      ["1", "2", "3"].map((block) => ({
        block,
        rateSeedsPerM2,
        yieldKgPerHa: 4000 - (rateSeedsPerM2 - 300) ** 2 / 50 + (block === "2" ? 12 : 0),
        // One count is a slip of the pen, and the others are more plants than seeds.
        standPlantsPerM2: rateSeedsPerM2 * (rateSeedsPerM2 === 260 && block === "1" ? 0.4 : 1.08),
      })),
    ),
  );
  const checked = new Set(checkTrial(trial, defaultSettings, defaultUnits).findings.map(({ code }) => code));
  const later = analyze(trial, defaultSettings, defaultUnits)
    .findings.filter(({ severity, code }) => severity === "doubt" && !checked.has(code))
    .map(({ code }) => code);
  expect(later).toContain("stand-loss-unusual");
  expect(later).toContain("stand-out-of-line");
  expect(later.filter((code) => !curveDoubts.has(code))).toEqual([]);
});
