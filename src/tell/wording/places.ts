/** Names of site-years, as short as possible while each is still unique. */
import type { Result } from "../../vocabulary/result.ts";

/** On one farm "2026 Hill"; with several farms "2026 Windlass", or both where a farm has two fields in a season. */
export function placeNames({ environments }: Pick<Result, "environments">): Map<string, string> {
  const part = new Set(environments.map((place) => place.farm)).size > 1 ? "farm" : "field";
  const short = new Map(environments.map((place) => [place.id, `${place.season} ${place[part]}`]));
  const clear =
    environments.every((place) => place[part] !== "") && new Set(short.values()).size === environments.length;
  return clear ? short : new Map(environments.map(({ id }) => [id, id]));
}
