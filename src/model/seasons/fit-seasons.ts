/** Every variety in every environment on its own: exact fits of all forms, analysis of variance, outlying strips. */
import { stripsThinned } from "../../messages/fitting.ts";
import type { GroupedPoints } from "../../maths/grouped-points.ts";
import type { FittedForm, FittedVariety, FormLeftOut, StripPoint } from "../../vocabulary/result.ts";
import type { Settings } from "../../vocabulary/settings.ts";
import type { Finding, Strip, Trial } from "../../vocabulary/trial.ts";
import { akaikeWeights } from "./compare-forms.ts";
import { fitForm } from "./fit-form.ts";
import { responseForms } from "../forms/index.ts";
import { ratePoints } from "../forms/rate-points.ts";
import { departuresOf, farStrips, scatterByEnvironment, type Departures } from "./far-strips.ts";
import { outlyingStrips, stripsOfInfluence } from "./influence.ts";
import { rateFollows } from "./rate-follows.ts";
import { rateAnova } from "./rate-anova.ts";
import { cellsOf, groupByVariety, type VarietyStrips } from "./rate-cells.ts";
import { fitResistant } from "./resistant-fit.ts";
import { mostStripsListed, stripPoints, type JudgedStrips } from "./strip-points.ts";
import { stripResiduals, type StripResiduals } from "./strip-residuals.ts";

export interface SeasonFits {
  /** Sorted by variety, then season, farm and field. */
  fits: FittedVariety[];
  strips: StripPoint[];
  findings: Finding[];
}

/** Fits each variety in each environment on its own, with blocks removed. It depends on no price. */
export function fitSeasons(trial: Trial, settings: Settings): SeasonFits {
  const varieties = groupByVariety(trial.strips).map((seasons) =>
    seasons.map((group) => fitGroup(group, settings)),
  );
  const groups = varieties.flat();
  const scatterIn = scatterByEnvironment(
    groups.map(({ group: { environment }, departures }) => ({ environment, departures })),
  );
  const result: SeasonFits = { fits: groups.map(({ fit }) => fit), strips: [], findings: [] };
  const every = Math.ceil(trial.strips.length / mostStripsListed);
  for (const seasons of varieties) {
    const judged = seasons.map(({ group, fit, residuals, departures }): JudgedStrips => {
      const outlying = outlyingStrips(group, residuals, trial.strips.length, settings);
      const known = new Set(outlying.map(({ strip }) => strip));
      const far = farStrips(group, departures, scatterIn(group.environment), trial.strips.length, settings);
      const doubts = [...outlying, ...far.filter(({ strip }) => !known.has(strip))];
      result.findings.push(...doubts.map(({ finding }) => finding));
      const named = new Set([
        ...doubts.map(({ strip }) => strip),
        ...stripsOfInfluence(group, residuals, settings),
      ]);
      return { ...group, cells: fit.cells, residuals, named };
    });
    for (const point of stripPoints(judged, every)) result.strips.push(point);
  }
  if (every > 1) result.findings.push(stripsThinned(result.strips.length, trial.strips.length));
  return result;
}

/** A word for the ground that all the strips share. */
function groundOf(strips: readonly Strip[]): Pick<FittedVariety, "ground"> {
  const [{ farm, ground } = { farm: "", ground: undefined }] = strips;
  if (ground === undefined || strips.some((strip) => strip.ground !== ground)) return {};
  return { ground: farm === "" ? ground : `${farm}, ${ground}` };
}

interface FittedGroup {
  group: VarietyStrips;
  fit: FittedVariety;
  residuals: StripResiduals;
  departures: Departures;
}

function fitGroup(group: VarietyStrips, settings: Settings): FittedGroup {
  const { cells, withinCellSs } = cellsOf(group.strips);
  const points = ratePoints(cells, withinCellSs);
  const fit: FittedVariety = {
    variety: group.variety,
    environment: group.environment,
    season: group.strips[0].season,
    ...groundOf(group.strips),
    ...rateFollows(group.strips),
    strips: points.observations,
    blocks: points.groups,
    ratesSeedsPerM2: Array.from(points.starts.subarray(0, -1), (start) => points.x[start]!),
    cells,
    withinCellSs,
    ...fitForms(group, points, settings),
  };
  const residuals = stripResiduals(group.strips, cells, points);
  return {
    group,
    fit,
    residuals,
    departures: departuresOf(group, residuals),
  };
}

/** All forms that the settings name, what they leave out, and the statistics beside them. */
function fitForms(
  { strips }: VarietyStrips,
  points: GroupedPoints,
  settings: Settings,
): Pick<FittedVariety, "forms" | "formsLeftOut" | "anova" | "resistantSlope"> {
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
    forms,
    formsLeftOut,
    anova: rateAnova(points, forms, settings),
    resistantSlope: fitResistant(strips),
  };
}
