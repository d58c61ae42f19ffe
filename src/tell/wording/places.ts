/** Names of field-seasons, as short as they can be told apart. */
import type { Result } from "../../result.ts";

/** "2026 Hill", with the farm before the field where there are several farms. */
export function placeNames(result: Pick<Result, "environments">): Map<string, string> {
  const farms = new Set(result.environments.map((place) => place.farm));
  return new Map(
    result.environments.map((place) => [
      place.id,
      farms.size > 1 || place.field === "" ? place.id : `${place.season} ${place.field}`,
    ]),
  );
}
