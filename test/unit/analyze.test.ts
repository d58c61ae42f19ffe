import { expect, it } from "vitest";
import { analyze, type AnalysisStep } from "../../src/analyze.ts";
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
