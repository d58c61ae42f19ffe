/** A farm as read → its result, and what its strips come to at other prices. */
import { analyze, type AnalysisStep } from "../analyze.ts";
import { allFinite } from "./finite.ts";
import type { Result } from "../vocabulary/result.ts";
import type { Farm } from "./farm.ts";

/**
 * Everything that follows from the farm's strips: curves, next season's rates, advice for strips.
 *
 * @throws TrialError `number-lost` rather than tell a number that is none
 * @param begin told each step as it begins, for a line of progress
 */
export const analyzeFarm = (
  { trial, settings, units }: Pick<Farm, "trial" | "settings" | "units">,
  begin?: (step: AnalysisStep) => void,
): Result => allFinite(analyze(trial, settings, units, begin));
