/** Messages about single amounts: options of the command and entries of the season file. */
import { TrialError } from "../vocabulary/trial.ts";

const listedOr = (words: readonly string[]): string =>
  words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} or ${words.at(-1)!}`;

/** `what` is the option or entry as the person wrote it, "--rate" or "row_spacing". */
export const amountNotNumber = (what: string, text: string, unit: string): TrialError =>
  new TrialError("amount-not-number", `${what} "${text}": there is no number. Write it like "12.5 ${unit}".`);

export const amountAmbiguous = (what: string, text: string, point: number, comma: number): TrialError =>
  new TrialError(
    "number-ambiguous",
    `${what} "${text}": is this ${point} or ${comma}? Write it without a mark between thousands.`,
  );

export const amountUnitUnknown = (
  what: string,
  text: string,
  unit: string,
  accepted: readonly string[],
): TrialError =>
  new TrialError(
    "unit-unknown",
    `${what} "${text}": the unit "${unit}" is not known. Use ${listedOr(accepted)}.`,
  );

export const amountUnitUnclear = (what: string, text: string, accepted: readonly string[]): TrialError =>
  new TrialError(
    "unit-unclear",
    `${what} "${text}": in what unit? Write it after the number: ${listedOr(accepted)}.`,
  );

export const amountOutOfRange = (what: string, text: string, rule: string): TrialError =>
  new TrialError("amount-out-of-range", `${what} "${text}": ${rule}.`);

export const grainPriceNotPositive = (pricePerKg: number): TrialError =>
  new TrialError("grain-price", `The price of grain must be above zero; it is ${pricePerKg}.`);

export const seedSizeNeeded = (): TrialError =>
  new TrialError(
    "seeds-per-weight-unknown",
    "The number of seeds in a pound or kg depends on the lot: give --seeds-per-lb, --seeds-per-kg or --tkw.",
  );

export const rateUnknown = (): TrialError =>
  new TrialError("rate-unknown", "No rate is given: type it, or give today's rate of this lot.");

/** @param place  in the result, of the first value that is not a number */
export const numberLost = (place: string): TrialError =>
  new TrialError(
    "number-lost",
    `With these prices, rates and strips, one number cannot be worked out (${place}), so no answer is given. ` +
      "Look for a value that is far too large or too small: prices, seeds per weight, rates.",
  );
