/** From what was typed to what is analysed: season file, options, lots and strips, read in that order. */
import { readTrial } from "../read/trial-files.ts";
import { defaultSettings, defaultUnits, type Settings, type UnitChoice } from "../settings.ts";
import { TrialError, type Trial } from "../trial.ts";
import { readInputs, standardStream } from "./files.ts";
import type { Progress } from "./messages.ts";
import type { SharedOptions } from "./shared-options.ts";

/** What a command works on. */
export interface Asked {
  /** As read, not yet checked. */
  trial: Trial;
  settings: Settings;
  units: UnitChoice;
  /** Strip files as the person named them. */
  fileNames: string[];
}

/**
 * Reads all that a command needs.
 *
 * @throws TrialError whatever cannot be read or understood, with the file and what to do
 */
export async function readAsked(
  paths: readonly string[],
  options: SharedOptions,
  progress: Progress,
): Promise<Asked> {
  const sources = [...paths, options.lots, options.season];
  if (sources.filter((path) => path === standardStream).length > 1) {
    throw new TrialError("standard-input-twice", "Standard input (-) can stand for one file only.");
  }
  if (options.lots ?? options.season ?? options.grainPrice ?? options.seedPrice) {
    throw new TrialError("not-yet", "Lots, season file and prices are not read yet.");
  }
  const units: UnitChoice = { ...defaultUnits, ...(options.units ? { system: options.units } : {}) };
  const settings: Settings = { ...defaultSettings, ...(options.crop ? { crop: options.crop } : {}) };
  progress.at("Reading the strips");
  const files = await readInputs(paths);
  return {
    trial: readTrial(files, settings, units),
    settings,
    units,
    fileNames: files.map((file) => file.name),
  };
}
