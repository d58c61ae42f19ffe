/** All seasons together: one mixed model, every form, and what it says about each variety. */
import { fewRatesToPool, nothingToPool, poolingUnsettled, scatterUnlike } from "../../messages/pooling.ts";
import type {
  PooledFormSupport,
  PooledVariance,
  PooledVariety,
  Pooling,
  PositionTrend,
  SeasonCovariate,
  VarietyByRate,
} from "../../vocabulary/pooled-result.ts";
import type { FittedVariety } from "../../vocabulary/result.ts";
import type { FormName, Settings } from "../../vocabulary/settings.ts";
import type { Finding } from "../../vocabulary/trial.ts";
import type { PooledTrial } from "../choose-environments.ts";
import { akaikeWeights, mixedAkaike } from "../seasons/compare-forms.ts";
import { fitPooledForm } from "./fit-pooled-form.ts";
import type { PooledForm } from "./fit-pooled-form.ts";
import { leanSlopes } from "./lean-slopes.ts";
import { pooledFormFits, slopeEstimateOf } from "./pooled-estimates.ts";
import { choosePositionTrend } from "./position-trend.ts";
import { findVarianceUncertainty } from "./satterthwaite.ts";
import { relateToSeasons } from "./season-covariates.ts";
import { layOutTrial } from "./trial-layout.ts";
import type { LaidVariety, TrialLayout } from "./trial-layout.ts";
import { unlikeScatter } from "./unlike-scatter.ts";
import { withFewerBlocks } from "./fewer-blocks.ts";
import { withFewerRates } from "../beliefs/fewer-rates.ts";
import { testVarietyByRate } from "./variety-by-rate.ts";

export interface PooledSeasons {
  pooled: PooledVariety[];
  pooling: Pooling | null;
  varietyByRate: VarietyByRate | null;
  seasonCovariates: SeasonCovariate[];
  positionTrend: PositionTrend | null;
  findings: Finding[];
}

/**
 * Pools all seasons.
 *
 * Variances by REML from the quadratic with own responses of the varieties; forms compared by ML with AICc, each with
 * variances of its own; plateau forms with a join common to a variety's environments. A trend across the field is part
 * of the model where `position` is given and AICc asks for it.
 *
 * @param fits  of the environments to be pooled; sorted by variety, then season, farm and field
 */
export function poolSeasons(
  trial: PooledTrial,
  fits: readonly FittedVariety[],
  settings: Settings,
): PooledSeasons {
  const { trend, ...sought } = choosePositionTrend(fits, trial.strips);
  const cells = withFewerBlocks(withFewerRates(sought.cells));
  const layout = layOutTrial(cells, trend?.chosen);
  if (layout === null) return { ...nothing, findings: fits.length === 0 ? [] : [nothingToPool()] };

  const { ownMl, commonMl } = fitByLikelihood(layout, settings.forms, sought.start);
  const forms = supportOf([...ownMl.values(), ...commonMl.values()], settings.forms);
  const reml = fitByRestrictedLikelihood(layout, ownMl);
  const quadratic = reml.get("quadratic")!;
  const uncertainty = findVarianceUncertainty(quadratic.model, quadratic.fit);
  const leaning = leanSlopes(layout, quadratic, uncertainty);
  const facts = factsByVariety(cells, layout);
  const formFits = fitsToTell(layout, reml, uncertainty, settings.forms);
  const pooled = facts.map(({ variety, environments, strips, testedSeedsPerM2 }, v): PooledVariety => ({
    variety,
    environments,
    strips,
    testedSeedsPerM2,
    slope: slopeEstimateOf(layout, quadratic, uncertainty, v),
    forms: formFits.flatMap((ofForm) => ofForm[v] ?? []),
    leaning: leaning?.varieties[v] ?? null,
  }));
  const seasonOf = new Map(trial.environments.map(({ id, season }) => [id, season]));
  return {
    pooled,
    pooling: poolingOf(layout, quadratic, forms, trial.environments.length),
    varietyByRate: testVarietyByRate(
      quadratic,
      uncertainty,
      { own: ownMl, common: commonMl },
      forms,
      leaning,
      settings,
    ),
    seasonCovariates: relateToSeasons(
      layout,
      quadratic,
      cells,
      trial.strips,
      trend?.chosen ?? "none",
      seasonOf,
      settings,
    ),
    positionTrend: trend,
    findings: [
      ...sought.findings,
      ...scatterFinding(fits),
      ...facts.flatMap(({ variety, rates }) => (rates < 3 ? [fewRatesToPool(variety, rates)] : [])),
      ...[...reml.values()].flatMap(unsettled),
    ],
  };
}

const unsettled = ({ form, converged, fit }: PooledForm): Finding[] =>
  converged ? [] : [poolingUnsettled(form, fit.reason)];

const nothing: Omit<PooledSeasons, "findings"> = {
  pooled: [],
  pooling: null,
  varietyByRate: null,
  seasonCovariates: [],
  positionTrend: null,
};

/** Every form by maximum likelihood, so that forms can be compared; the quadratic first, as the others start from its variances. */
function fitByLikelihood(
  layout: TrialLayout,
  forms: readonly FormName[],
  withoutTrend: Parameters<typeof fitPooledForm>[4],
): { ownMl: Map<FormName, PooledForm>; commonMl: Map<FormName, PooledForm> } {
  const ownMl = new Map<FormName, PooledForm>();
  const commonMl = new Map<FormName, PooledForm>();
  let start = withoutTrend;
  for (const form of new Set<FormName>(["quadratic", ...forms])) {
    const fit = fitPooledForm(layout, form, "own", "ML", start);
    ownMl.set(form, fit);
    start ??= fit.fit;
    if (layout.varieties.length > 1 && form !== "none")
      commonMl.set(form, fitPooledForm(layout, form, "common", "ML", start));
  }
  return { ownMl, commonMl };
}

/** The same forms by REML, each from its fit by maximum likelihood. */
function fitByRestrictedLikelihood(
  layout: TrialLayout,
  ownMl: ReadonlyMap<FormName, PooledForm>,
): Map<FormName, PooledForm> {
  return new Map(
    [...ownMl].map(([form, { fit, joins }]) => [
      form,
      fitPooledForm(layout, form, "own", "REML", { theta: fit.theta, curve: fit.curve, joins }),
    ]),
  );
}

/** The REML fits of the forms that are reported, each with what its standard errors need: [form][variety]. */
function fitsToTell(
  layout: TrialLayout,
  reml: ReadonlyMap<FormName, PooledForm>,
  ofQuadratic: ReturnType<typeof findVarianceUncertainty>,
  forms: readonly FormName[],
): ReturnType<typeof pooledFormFits>[] {
  const uncertaintyOf = ({ form, joins, model, fit }: PooledForm): typeof ofQuadratic | null => {
    if (form === "quadratic") return ofQuadratic;
    return joins.some((join) => join !== null) ? findVarianceUncertainty(model, fit) : null;
  };
  return [...reml.values()]
    .filter(({ form }) => forms.includes(form))
    .map((fit) => pooledFormFits(layout, fit, uncertaintyOf(fit)));
}

function scatterFinding(fits: readonly FittedVariety[]): Finding[] {
  const unlike = unlikeScatter(fits);
  if (unlike === null) return [];
  const { least, most } = unlike;
  return [scatterUnlike(least.environment, most.environment, most.sdKgPerHa / least.sdKgPerHa)];
}

function supportOf(fits: PooledForm[], told: FormName[]): PooledFormSupport[] {
  const shown = fits
    .filter(({ form }) => told.includes(form))
    .map((one) => ({ ...one, aicc: mixedAkaike(one) }));
  const weights = akaikeWeights(shown.map(({ aicc }) => aicc));
  return shown.map(({ form, sharing, fit, parameters, converged, aicc }, i) => ({
    form,
    sharing,
    minusTwoLogLikelihood: fit.residualVariance > 0 ? fit.minusTwoLogLikelihood : null,
    parameters,
    aicc,
    weight: weights[i]!,
    converged,
  }));
}

const poolingOf = (
  layout: TrialLayout,
  quadratic: PooledForm,
  forms: PooledFormSupport[],
  environmentsOfTrial: number,
): Pooling => ({
  strips: layout.sums.observations,
  environments: layout.environments.length,
  environmentsOfTrial,
  centreSeedsPerM2: layout.centreSeedsPerM2,
  scaleSeedsPerM2: layout.scaleSeedsPerM2,
  variances: variancesOf(layout, quadratic),
  forms,
  converged: quadratic.converged,
});

function variancesOf(layout: TrialLayout, { fit }: PooledForm): PooledVariance[] {
  return [
    ...fit.variances.map(({ term, levels, covariance: [variance], atBoundary }) => ({
      term: term as PooledVariance["term"],
      levels,
      standardDeviation: Math.sqrt(variance!),
      zero: atBoundary,
    })),
    {
      term: "strip",
      levels: layout.sums.observations,
      standardDeviation: Math.sqrt(fit.residualVariance),
      zero: !(fit.residualVariance > 0),
    },
  ];
}

interface VarietyFacts {
  variety: string;
  environments: number;
  strips: number;
  testedSeedsPerM2: [number, number];
  rates: number;
}

function factsByVariety(cells: readonly LaidVariety[], layout: TrialLayout): VarietyFacts[] {
  return layout.varieties.map((variety) => {
    const own = cells.filter((fit) => fit.variety === variety);
    const rates = own.flatMap((fit) => fit.cells.map((cell) => cell.rateSeedsPerM2));
    const distinct = new Set(rates);
    return {
      variety,
      environments: own.length,
      strips: own.reduce((sum, fit) => fit.cells.reduce((total, cell) => total + cell.strips, sum), 0),
      testedSeedsPerM2: [
        rates.reduce((least, rate) => Math.min(least, rate), Infinity),
        rates.reduce((most, rate) => Math.max(most, rate), -Infinity),
      ],
      rates: distinct.size,
    };
  });
}
