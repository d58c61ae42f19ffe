/** A farm as read → its result, and what its strips come to at other prices. */
import { analyze, analyzeBeside, type AnalysisStep, type Hands } from "../analyze.ts";
import { allFinite } from "./finite.ts";
import type { Result } from "../vocabulary/result.ts";
import type { Farm } from "./farm.ts";

export { ownHands, type AnalysisStep, type Hands } from "../analyze.ts";

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

/** The same as `analyzeFarm`, with part of the work in other hands meanwhile. */
export const analyzeFarmBeside = async (
  hands: Hands,
  { trial, settings, units }: Pick<Farm, "trial" | "settings" | "units">,
  begin?: (step: AnalysisStep) => void,
): Promise<Result> => allFinite(await analyzeBeside(hands, trial, settings, units, begin));
