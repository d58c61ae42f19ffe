/** Names of site-years and fields, as short as possible while each is still unique. */
import { environmentId, fieldOf } from "../../vocabulary/environments.ts";
import type { NextRate, Result } from "../../vocabulary/result.ts";

/** On one farm "2026 Hill"; with several farms "2026 Windlass", or both where a farm has two fields in a season. */
export function placeNames({ environments }: Pick<Result, "environments">): Map<string, string> {
  const part = new Set(environments.map((place) => place.farm)).size > 1 ? "farm" : "field";
  const short = new Map(environments.map((place) => [place.id, `${place.season} ${place[part]}`]));
  const clear =
    environments.every((place) => place[part] !== "") && new Set(short.values()).size === environments.length;
  return clear ? short : new Map(environments.map(({ id }) => [id, id]));
}

/** A variety's advice with its fields, or grounds, as they are told: without their farm where all are of one. */
export function withFieldNames(next: NextRate, { environments }: Pick<Result, "environments">): NextRate {
  const [farm = "", other] = new Set(environments.map((place) => place.farm));
  if (next.byField === null || farm === "" || other !== undefined) return next;
  const written = fieldOf({ environment: environmentId({ season: 0, farm, field: "" }), season: 0 });
  const prefix = [`${written}, `, `${farm}, `];
  const fields = next.byField.fields.map((one) => ({
    ...one,
    field: one.field.slice(prefix.find((start) => one.field.startsWith(start))?.length ?? 0),
  }));
  return { ...next, byField: { ...next.byField, fields } };
}
