/** Which lodging scores of a variety speak, where they were given on scales that do not convert. */
import type { LodgingModel, VarietyLodging } from "./result.ts";

/**
 * The lodging of each variety that decides: of the scale with the most strips, among those whose scores say anything. A few
 * strips scored otherwise, or upright ones on another scale, do not silence it.
 */
export function speakingLodgings(models: readonly Pick<LodgingModel, "varieties">[]): VarietyLodging[] {
  const speaking = new Map<string, VarietyLodging>();
  for (const lodging of models.flatMap(({ varieties }) => varieties)) {
    const other = speaking.get(lodging.variety);
    if (other === undefined || speaksBefore(lodging, other)) speaking.set(lodging.variety, lodging);
  }
  return [...speaking.values()];
}

const speaksBefore = (one: VarietyLodging, other: VarietyLodging): boolean =>
  (one.reason === "") === (other.reason === "") ? one.strips > other.strips : one.reason === "";
