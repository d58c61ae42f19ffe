/** Every variety in every environment: all forms, exactly. */
import type { FittedForm, FittedVariety, FormLeftOut, StripPoint } from "../result.ts";
import type { Settings } from "../settings.ts";
import type { Finding, Trial } from "../trial.ts";
import { akaikeWeights } from "./compare-forms.ts";
import { fitForm } from "./fit-form.ts";
import { responseForms } from "./forms/index.ts";
import { ratePoints } from "./forms/rate-points.ts";
import { cellsOf, groupByVariety, type VarietyStrips } from "./rate-cells.ts";

export interface SeasonFits {
  fits: FittedVariety[];
  strips: StripPoint[];
  findings: Finding[];
}

/**
 * Fits each variety in each environment on its own, blocks taken off.
 *
 * @returns fits sorted by variety, then season, farm and field
 */
export function fitSeasons(trial: Trial, settings: Settings): SeasonFits {
  const fits = groupByVariety(trial.strips).map((group) => fitVariety(group, settings));
  return { fits, strips: [], findings: [] };
}

function fitVariety({ variety, environment, strips }: VarietyStrips, settings: Settings): FittedVariety {
  const { cells, withinCellSs } = cellsOf(strips);
  const points = ratePoints(cells, withinCellSs);
  const forms: FittedForm[] = [];
  const formsLeftOut: FormLeftOut[] = [];
  for (const form of responseForms) {
    if (!settings.forms.includes(form.name)) continue;
    const fit = fitForm(form, points);
    if ("reason" in fit) formsLeftOut.push(fit);
    else forms.push(fit);
  }
  const weights = akaikeWeights(forms.map((fit) => fit.aicc));
  forms.forEach((fit, i) => (fit.weight = weights[i]!));
  return {
    variety,
    environment,
    strips: points.observations,
    blocks: points.groups,
    ratesSeedsPerM2: Array.from(points.starts.subarray(0, -1), (start) => points.x[start]!),
    cells,
    withinCellSs,
    forms,
    formsLeftOut,
    anova: null,
    resistant: null,
  };
}
