/** Strips in; usable strips and findings out. */
import { environmentsOf } from "../vocabulary/environments.ts";
import type { Settings, UnitChoice } from "../vocabulary/settings.ts";
import { measuresOf } from "../numbers/measures.ts";
import type { Trial } from "../vocabulary/trial.ts";
import { checkAverages } from "./averages.ts";
import { checkDuplicates } from "./duplicates.ts";
import { sortFindings } from "../messages/finding.ts";
import { groupStrips } from "./groups.ts";
import { checkLayout } from "./layout.ts";
import { checkNames } from "./names.ts";
import { inOneOrder } from "./one-order.ts";
import { checkValues } from "./values.ts";
import { checkColumnUnits } from "./column-units.ts";

/**
 * The trial with the strips that can be used and all that was found about it.
 *
 * Leaves out strips with impossible values, strips read twice and averages of strips, and counts them as left out: rows read stay the sum
 * of strips and rows left out. Everything else stays in, with a finding. The trial given is not changed.
 *
 * @param trial   as `readTrial` gives it
 * @param units   in which amounts are told in the messages
 * @returns a new trial, its strips in one order whatever that of the rows; findings of reading and checking together, gravest first
 */
export function checkTrial(trial: Trial, settings: Settings, units: UnitChoice): Trial {
  const measures = measuresOf({ units, settings });
  const ordered = inOneOrder(trial.strips);
  const values = checkValues(ordered, settings.crop, measures);
  const groups = groupStrips(values.strips);
  const { twice, findings: repeated } = checkDuplicates(groups);
  const { averages, findings: means } = checkAverages(groups);
  const without = twice.size + averages.size;
  const strips = values.strips.filter((strip) => !twice.has(strip) && !averages.has(strip));
  return {
    ...trial,
    strips,
    environments: environmentsOf(strips),
    rowsLeftOut: trial.rowsLeftOut + trial.strips.length - strips.length,
    findings: sortFindings([
      ...trial.findings,
      ...checkColumnUnits({ ...trial, strips: ordered }, settings.crop),
      ...values.findings,
      ...repeated,
      ...means,
      ...checkNames(strips, settings.lots, trial.namesApart),
      ...checkLayout(without === 0 ? groups : groupStrips(strips), settings, measures),
    ]),
  };
}
