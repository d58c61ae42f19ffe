/** Short ways for the tests of reading. */
import { readTrial } from "../../../src/read/trial-files.ts";
import { defaultSettings, type Settings, type UnitChoice } from "../../../src/vocabulary/settings.ts";
import { TrialError, type Trial } from "../../../src/vocabulary/trial.ts";

export const us: UnitChoice = { system: "us", currency: "$" };
export const metric: UnitChoice = { system: "metric", currency: "€" };

export const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);

export const readCsv = (text: string, settings: Partial<Settings> = {}, units = us): Trial =>
  readTrial([{ name: "strips.csv", bytes: bytesOf(text) }], { ...defaultSettings, ...settings }, units);

/** The error that a call ends in; fails where there is none, or another kind. */
export function trialErrorOf(call: () => unknown): TrialError {
  try {
    call();
  } catch (error) {
    if (error instanceof TrialError) return error;
    throw error;
  }
  throw new Error("no TrialError was thrown");
}
