/** What changed since an earlier result. */
import { decideAgain } from "../decide/decide.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import type { Earlier } from "../tell/wording/since.ts";
import type { PageMaker } from "./page-maker.ts";
import type { Farm } from "./farm.ts";
import { holdToTrial, readResult } from "./read-result.ts";

/**
 * The earlier result, and what the same strips give at today's prices, lots and limits, so that a report can say what
 * changed.
 *
 * @param maker gives the schema, `schemas/result.schema.json`
 * @throws TrialError as `readResult` and `holdToTrial` do
 */
export async function changesSince(
  file: InputFile,
  { settings, units }: Pick<Farm, "settings" | "units">,
  maker: Pick<PageMaker, "builtFile">,
): Promise<Earlier> {
  const result = await readResult(file, maker);
  holdToTrial(file.name, result, settings, units);
  return { result, atTodaysPrices: decideAgain(result, settings) };
}
