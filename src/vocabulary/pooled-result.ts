/**
 * The part of the result that rests on all seasons together: plain JSON, rates in seeds/m², yields in kg/ha.
 *
 * What `model` finds has no price in it; the optima beside it are read from it by `decide`, again whenever a price moves.
 */
import type { Coefficients, Optimum, StandardErrors } from "./fitted-curve.ts";
import type { FormName } from "./settings.ts";

/** Variances of the two coefficients of a slope and their covariance. */
export interface SlopeVariance {
  linear: number;
  covariance: number;
  quadratic: number;
}

/**
 * The slope of a response curve, linear + 2·quadratic·x [kg/ha per seed/m²], and how well it is known at every rate.
 *
 * Variance of the slope at x: linear + 4x·covariance + 4x²·quadratic. Its Satterthwaite df follow from the slopes of that
 * variance in the variance parameters of the mixed model and their covariance matrix.
 */
export interface SlopeEstimate {
  linear: number;
  quadratic: number;
  variance: SlopeVariance;
  /** One a variance parameter that was not found to be zero. */
  varianceSlopes: SlopeVariance[];
  /** Covariance matrix of these parameters. */
  uncertainty: number[][];
}

/** What the likelihood says of a join, other coefficients at their best for each: `maths/hinge.ts` says what the numbers mean. */
export interface JoinProfile {
  degree: 1 | 2;
  /** Ends of the stretches between tested rates, as shares of the range from the lowest to the highest. */
  ends: number[];
  products: number[];
  squares: number[];
  below: number[];
  groupedSs: number;
  /** Least residual sum of squares, the residual variance, and the df of an interval. */
  rss: number;
  residualVariance: number;
  df: number;
}

/** One response form of one variety over all of its environments. */
export interface PooledFormFit {
  form: FormName;
  /** Of the mean over environments; by REML, the join by maximum likelihood. */
  coefficients: Coefficients;
  /** Given the join; null where the form has no such term. */
  standardErrors: StandardErrors;
  joinProfile: JoinProfile | null;
}

/** One variety over all environments, before any price. */
export interface PooledVariety {
  variety: string;
  environments: number;
  strips: number;
  testedSeedsPerM2: [number, number];
  /** Slope of the quadratic; null with fewer than three rates. */
  slope: SlopeEstimate | null;
  forms: PooledFormFit[];
  /** Null with one variety. */
  leaning: Leaning | null;
}

/** How far a variety leans on the others. */
export interface Leaning {
  /** Share by which slope and bend, at the mean rate of the trial, are drawn to the mean of all varieties: 0 alone, 1 wholly. */
  slopeShare: number;
  bendShare: number;
  /** Slope after leaning. */
  slope: SlopeEstimate;
}

/** The same with the rates of highest yield and most profit on the quadratic, alone and after leaning. */
export interface PooledVarietyOptima extends PooledVariety {
  forms: (PooledFormFit & { yieldOptimum: Optimum; economicOptimum: Optimum })[];
  leanedYieldOptimum: Optimum | null;
  leanedEconomicOptimum: Optimum | null;
}

/** A source of variation in the mixed model. */
export interface PooledVariance {
  term:
    | "environment"
    | "block"
    | "variety-in-environment"
    | "whole-plot"
    | "slope-by-environment"
    | "slope-by-variety-in-environment"
    | PositionTerm
    | "strip";
  /** Environments, blocks … that it was estimated from; strips for `strip`. */
  levels: number;
  /** kg/ha; for slopes kg/ha per `scaleSeedsPerM2`. */
  standardDeviation: number;
  /** The strips show none of it. */
  zero: boolean;
}

/** How one form explains all strips: own responses of the varieties, or one response common to all (the same thing for `none`). */
export interface PooledFormSupport {
  form: FormName;
  sharing: "own" | "common";
  /** −2 log likelihood by ML; null where strips do not scatter. */
  minusTwoLogLikelihood: number | null;
  /** Fixed coefficients, joins and variances. */
  parameters: number;
  /** Null with too few strips for the correction. */
  aicc: number | null;
  /** Akaike weight among all forms, own and common. */
  weight: number | null;
  converged: boolean;
}

/** The mixed model of all seasons. */
export interface Pooling {
  strips: number;
  /** Environments used, and how many there are: very large trials use an evenly spaced sample of them. */
  environments: number;
  environmentsOfTrial: number;
  /** Rates enter as (rate − centre) ÷ scale: the mean rate and half of the tested range. */
  centreSeedsPerM2: number;
  scaleSeedsPerM2: number;
  /** REML, quadratic with own responses. */
  variances: PooledVariance[];
  forms: PooledFormSupport[];
  converged: boolean;
}

/** Do varieties answer differently to the rate? Own quadratics against one quadratic common to all. */
export interface VarietyByRate {
  /**
   * `differ`: the F test says so at the test level. `alike`: it does not, and the information criterion prefers one response
   * by 2 or more. `not-shown`: neither.
   */
  verdict: "differ" | "alike" | "not-shown";
  likelihoodRatio: { chiSquare: number; df: number; p: number };
  /** Satterthwaite df; null where there is no scatter to judge by. */
  f: { f: number; numeratorDf: number; denominatorDf: number; p: number } | null;
  /** AICc of the best common form less that of the best own form: below zero one response will do. */
  aiccCommonLessOwn: number | null;
  /** Standard deviation between varieties of the slope [kg/ha per seed/m²] and of the bend at the mean rate; null with fewer than two curves. */
  slopeSpread: number | null;
  bendSpread: number | null;
}

/** Estimate over seasons by one method. */
export interface SeasonMean {
  /** Standard deviation of the true optimum between environments. */
  tauSeedsPerM2: number;
  rateSeedsPerM2: number;
  standardError: number;
  lower: number;
  upper: number;
  hartungKnapp: { standardError: number; lower: number; upper: number };
  /** Where the optimum of a new environment is expected; null with two environments. */
  prediction: { lower: number; upper: number } | null;
}

/** Optima of one variety season by season, each from its own quadratic, and their summary. */
export interface SeasonOptima {
  variety: string;
  /** Highest yield, or most profit. */
  of: "yield" | "economic";
  /** May lie outside the tested rates: a summary of only those inside would be too narrow. */
  optima: {
    environment: string;
    rateSeedsPerM2: number;
    standardError: number;
    lower: number;
    upper: number;
  }[];
  leftOut: { environment: string; reason: "too-few-rates" | "error-unknown" | "bends-upward" }[];
  /** Null with fewer than two optima. */
  summary: {
    fixed: { rateSeedsPerM2: number; standardError: number };
    q: number;
    qDf: number;
    qP: number;
    iSquaredPct: number;
    dersimonianLaird: SeasonMean;
    reml: SeasonMean;
  } | null;
}

/** Does the optimum move with something that differs between environments? */
export interface SeasonCovariate {
  covariate: "yield-level" | "water" | "seeding-day";
  /** Of the covariate; days count from the first of January of the season's year. */
  unit: "kg/ha" | "mm" | "days";
  environments: number;
  /** Mean over environments, and the range that the middle half of them lies in. */
  mean: number;
  low: number;
  high: number;
  /** Change of the slope for one unit more [kg/ha per seed/m²]. */
  slopeChange: { estimate: number; standardError: number; df: number; p: number };
  /** Change of the optimum for one unit more [seeds/m²]; null where the mean curve has no clear top. */
  optimumChange: { estimate: number; lower: number; upper: number } | null;
  /** The change is shown at the test level, and there is an optimum for it to move. */
  supported: boolean;
}

/** What was known of each variety after a season, from the strips up to it. */
export interface Learning {
  season: number;
  varieties: {
    variety: string;
    environments: number;
    strips: number;
    testedSeedsPerM2: [number, number];
    yieldOptimum: Optimum;
    economicOptimum: Optimum;
  }[];
}

/** A trend across the field that differs between environments (straight or smooth) or between blocks (straight). */
export type PositionTerm =
  | "straight-trend-by-environment"
  | "straight-trend-by-block"
  | "smooth-trend-by-environment";

/** Is there a trend across the field? The answer of least AICc is part of the pooled model. */
export interface PositionTrend {
  /** Strips and environments whose positions could tell. */
  strips: number;
  environments: number;
  chosen: PositionTerm | "none";
  descriptions: { trend: PositionTerm | "none"; aicc: number | null; weight: number | null }[];
  /** Standard deviation of the scatter of a strip without and with the trend chosen [kg/ha]. */
  scatterWithout: number;
  scatterWith: number;
}
