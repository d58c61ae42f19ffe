/** Strips of one variety in one environment: what duplicates and layouts are looked at in. */
import { environmentId } from "../vocabulary/environments.ts";
import type { Strip } from "../vocabulary/trial.ts";
import type { Some } from "../maths/group-by.ts";

/** One variety in one environment; strips in the order read. */
export interface VarietyGroup {
  variety: string;
  environment: string;
  strips: Some<Strip>;
}

export const textOrder = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0);

/** The groups sorted by variety, then environment. Linear in the strips. */
export function groupStrips(strips: readonly Strip[]): VarietyGroup[] {
  const environments = new Map<string, Map<string, VarietyGroup>>();
  for (const strip of strips) {
    const environment = environmentId(strip);
    let varieties = environments.get(environment);
    if (varieties === undefined) environments.set(environment, (varieties = new Map()));
    const group = varieties.get(strip.variety);
    if (group === undefined) {
      varieties.set(strip.variety, { variety: strip.variety, environment, strips: [strip] });
    } else {
      group.strips.push(strip);
    }
  }
  return [...environments.values()]
    .flatMap((varieties) => [...varieties.values()])
    .sort((a, b) => textOrder(a.variety, b.variety) || textOrder(a.environment, b.environment));
}
