/** Numbers that somebody typed as a wish, held to what they can be. */
import { wishOutOfRange } from "../messages/ranges.ts";
import { within, type Range } from "./ranges.ts";

/**
 * @param what  name of the option or the field, for the message
 * @param tell  a value as the person reads it
 * @throws TrialError `value-out-of-range`
 */
export function holdWish(
  what: string,
  value: number,
  range: Range,
  tell: (value: number) => string = String,
): void {
  if (!within(value, range)) throw wishOutOfRange(what, tell(value), tell(range[0]), tell(range[1]));
}
