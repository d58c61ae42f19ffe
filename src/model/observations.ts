/** What was seen in the strips between seeding and harvest, against the rate: stand, heads, lodging, protein. */
import { lodgingScalesApart } from "../check/findings/field.ts";
import type { Result } from "../result.ts";
import type { Finding, Strip } from "../trial.ts";
import { modelLodging } from "./lodging.ts";
import { modelProtein } from "./protein.ts";
import { modelStand } from "./stand.ts";
import { modelTillering } from "./tillering.ts";

/** The sections of the result that rest on other columns than yield. No price and no limit is in them. */
export function modelObservations(strips: readonly Strip[]): {
  sections: Pick<Result, "stand" | "tillering" | "lodging" | "protein">;
  findings: Finding[];
} {
  const { stand, findings } = modelStand(strips);
  const lodging = modelLodging(strips);
  return {
    sections: {
      stand,
      tillering: modelTillering(strips),
      lodging,
      protein: modelProtein(strips),
    },
    findings:
      lodging.length < 2 ? findings : [...findings, lodgingScalesApart(lodging.map(({ scale }) => scale))],
  };
}
