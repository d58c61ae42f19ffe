/** An earlier result, as `fit --json` wrote it, checked against its published schema. */
import { Validator, type OutputUnit, type Schema } from "@cfworker/json-schema";
import { checkEarlierResult } from "../check/earlier-result.ts";
import { sinceImpossible, sinceNoResult, sinceOtherTrial, sinceOtherVersion } from "../messages/since.ts";
import { pairIn } from "../read/pair-in.ts";
import { seasonEntries } from "../read/season-file/season-entries.ts";
import { readSeason } from "../read/season-file/season.ts";
import { decodeText } from "../read/tables/decode.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import { engineVersion } from "../version.ts";
import { crops } from "../vocabulary/crops.ts";
import type { Result } from "../vocabulary/result.ts";
import type { Settings, UnitChoice } from "../vocabulary/settings.ts";
import { TrialError } from "../vocabulary/trial.ts";
import type { PageMaker } from "./page-maker.ts";

/**
 * @param maker gives the schema, `schemas/result.schema.json`
 * @throws TrialError `since-no-result` where the file holds something else; `since-other-version` where the form of the
 *   result has changed since; `value-out-of-range` and `since-impossible` for what in it cannot be
 */
export async function readResult(
  { name, bytes }: InputFile,
  maker: Pick<PageMaker, "builtFile">,
): Promise<Result> {
  const found = parsed(name, bytes);
  if (!/^stripcurve-result-/.test(textOf(found, "schema"))) throw sinceNoResult(name);
  const wrong = firstMismatch(found, await maker.builtFile("schemas/result.schema.json"));
  if (wrong !== null) throw sinceOtherVersion(name, engineVersion, wrong, textOf(found, "engineVersion"));
  const result = found as Result;
  checkEarlierResult(result, name);
  holdSettings(result, name);
  return result;
}

/** Settings that no season file may hold were edited by somebody, or broke on their way. */
function holdSettings({ settings, units }: Result, name: string): void {
  const context = { crop: crops[settings.crop], units, currencies: new Set<string>() };
  const entries = seasonEntries
    .map((entry) => ({ key: entry.key, text: entry.tell(settings, context), from: entry.key }))
    .filter(({ text }) => text !== "");
  try {
    readSeason(null, entries, { settings, units });
  } catch (error) {
    throw error instanceof TrialError ? sinceImpossible(name, error.message) : error;
  }
}

/**
 * Checks that a result fits what is shown with it.
 *
 * @throws TrialError `since-other-trial` where crop or money differ
 */
export function holdToTrial(
  name: string,
  result: Pick<Result, "settings" | "units">,
  settings: Pick<Settings, "crop">,
  units: Pick<UnitChoice, "currency">,
): void {
  if (result.settings.crop !== settings.crop)
    throw sinceOtherTrial(name, "crop", result.settings.crop, settings.crop);
  if (result.units.currency !== units.currency)
    throw sinceOtherTrial(name, "money", result.units.currency, units.currency);
}

function parsed(name: string, bytes: Uint8Array): unknown {
  try {
    return JSON.parse(decodeText(bytes, name).text);
  } catch {
    return null;
  }
}

const textOf = (found: unknown, key: string): string => {
  const value =
    typeof found === "object" && found !== null
      ? Object.entries(found).find(([one]) => one === key)?.[1]
      : null;
  return typeof value === "string" ? value : "";
};

/** Schema keywords that only lead to the place where something is wrong. */
const leading = new Set(["$ref", "properties", "additionalProperties", "items"]);

/** What the schema check found wrong, in plain words. */
const plainFault = (error: string): string => {
  const kinds = pairIn(/^Instance type "(\w+)" is invalid\. Expected "(.+)"\.$/, error);
  if (kinds !== null) return `is of kind ${kinds[0]}, and has to be ${kinds[1].replaceAll('", "', " or ")}`;
  const missing = /^Instance does not have required property "(.+)"\.$/.exec(error)?.[1];
  if (missing !== undefined) return `lacks ${missing}`;
  return `is not as it should be (${error.replace(/\.$/, "").replace("Instance ", "it ")})`;
};

/** Where something does not have the form of a result; null for a result. Extra entries are allowed. */
function firstMismatch(found: unknown, schemaText: string): string | null {
  const schema = JSON.parse(schemaText, (key, value: unknown) =>
    key === "additionalProperties" && value === false ? undefined : value,
  ) as Schema;
  const { valid, errors } = new Validator(schema, "7").validate(found);
  if (valid) return null;
  const { instanceLocation, error } = errors.find(({ keyword }) => !leading.has(keyword)) as OutputUnit;
  const place = instanceLocation.replace(/^#\/?/, "").replaceAll("/", ".");
  return `${place === "" ? "the whole" : place} ${plainFault(error)}`;
}
