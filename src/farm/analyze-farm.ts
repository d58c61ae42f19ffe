/** A farm as read → its result, and the same at other prices. */
import { analyze, type AnalysisStep } from "../analyze.ts";
import { analyzeBeside, type StepsApart } from "../analyze-beside.ts";
import { allFinite } from "./finite.ts";
import type { Result } from "../vocabulary/result.ts";
import type { Farm } from "./farm.ts";

export type { AnalysisStep } from "../analyze.ts";
export { stepsApart, type StepsApart } from "../analyze-beside.ts";

/**
 * Everything that follows from the farm's strips: curves, next season's rates, advice for strips.
 *
 * @throws TrialError `number-lost` if any number of the result cannot be worked out
 * @param begin called as each step begins, to show progress
 */
export const analyzeFarm = (
  { trial, settings, units }: Pick<Farm, "trial" | "settings" | "units">,
  begin?: (step: AnalysisStep) => void,
): Result => allFinite(analyze(trial, settings, units, begin));

/** The same as `analyzeFarm`, with two steps in a second thread. */
export const analyzeFarmBeside = async (
  steps: StepsApart,
  { trial, settings, units }: Pick<Farm, "trial" | "settings" | "units">,
  begin?: (step: AnalysisStep) => void,
): Promise<Result> => allFinite(await analyzeBeside(steps, trial, settings, units, begin));
