/** `report --since`: an earlier result, as `fit --json` wrote it, held against the schema that is published with it. */
import { Ajv, type ErrorObject } from "ajv";
import { decideAgain } from "../decide/decide.ts";
import type { Result } from "../vocabulary/result.ts";
import type { Earlier } from "../tell/wording/since.ts";
import { TrialError } from "../vocabulary/trial.ts";
import { engineVersion } from "../version.ts";
import type { Asked } from "./asked.ts";
import { readInput, readOwnFile } from "./files.ts";

/**
 * The earlier result, and what its strips come to at today's prices, lots and limits.
 *
 * @throws TrialError `cannot-read`; `since-no-result` where the file holds something else; `since-other-version` where
 *   the form of the result has changed since; `since-other-trial` where crop or money differ
 */
export async function readEarlier(path: string, { settings, units }: Asked): Promise<Earlier> {
  const { name, bytes } = await readInput(path);
  const result = await readResult(name, bytes);
  for (const [what, before, today] of [
    ["crop", result.settings.crop, settings.crop],
    ["money", result.units.currency, units.currency],
  ] as const)
    if (before !== today)
      throw new TrialError(
        "since-other-trial",
        `${name} cannot be compared: its ${what} is ${before}, and now it is ${today}.`,
      );
  return { result, atTodaysPrices: decideAgain(result, settings) };
}

async function readResult(name: string, bytes: Uint8Array): Promise<Result> {
  const found = parsed(bytes);
  if (!/^stripcurve-result-/.test(textOf(found, "schema")))
    throw new TrialError(
      "since-no-result",
      `${name} is not a result of stripcurve. --since takes the file that stripcurve fit --json wrote last time.`,
    );
  const wrong = await firstMismatch(found);
  if (wrong === null) return found as Result;
  throw new TrialError(
    "since-other-version",
    `${name} does not have the form of a result that stripcurve ${engineVersion} reads: ${wrong}. It comes from ${textOf(found, "engineVersion") || "another version"}. Make it anew from the same strips: stripcurve fit --json.`,
  );
}

function parsed(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder().decode(bytes));
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

/** Where something does not have the form of a result; null for a result. More than a result needs is no fault. */
async function firstMismatch(found: unknown): Promise<string | null> {
  const schema = JSON.parse(await readOwnFile("schemas/result.schema.json"), (key, value: unknown) =>
    key === "additionalProperties" && value === false ? undefined : value,
  ) as object;
  const isResult = new Ajv({ strict: false }).compile(schema);
  if (isResult(found)) return null;
  const [error] = isResult.errors as ErrorObject[];
  const place = error!.instancePath.slice(1).replaceAll("/", ".");
  return `${place === "" ? "it" : place} ${error!.message}`;
}
