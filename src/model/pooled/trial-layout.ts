/** Environments, blocks, plots and varieties of all seasons as the rows and random terms of a mixed model. */
import type { PooledVariance, PositionTerm } from "../../vocabulary/pooled-result.ts";
import type { FittedVariety, RateCell } from "../../vocabulary/result.ts";
import { gatherSums } from "./gather-sums.ts";
import type { RandomTerm, TrialSums } from "./gather-sums.ts";
import { trendTerm } from "./position-terms.ts";

/** The random terms of a trial; `tell` has a name for each. */
export type TermName = Exclude<PooledVariance["term"], "strip">;

/** Strips of one variety in one environment that are alike in all that a model sees. */
export interface LaidCell extends RateCell {
  /** Place across the field, given where the cell is a single strip. */
  position?: number | null;
}

/** One variety in one environment. */
export interface LaidVariety extends Pick<FittedVariety, "variety" | "environment" | "withinCellSs"> {
  /** Sorted by rate, then block. */
  cells: LaidCell[];
}

/** A treatment: one variety at one rate in one environment. */
export interface Treatment {
  variety: number;
  environment: number;
  rateSeedsPerM2: number;
  /** (rate − centre) ÷ scale. */
  u: number;
}

/** What an environment offers for separating the random terms. */
interface LayoutCounts {
  environments: number;
  strips: number;
  blocks: number;
  varieties: number;
  wholePlots: number;
}

export interface TrialLayout {
  sums: TrialSums;
  treatments: Treatment[];
  varieties: string[];
  environments: string[];
  /** One an environment. */
  counts: LayoutCounts[];
  /** Middle of the rates: mean over all strips; the scale is half of the tested range. */
  centreSeedsPerM2: number;
  scaleSeedsPerM2: number;
  /** Mean of all strips, subtracted from every yield before anything else. */
  meanKgPerHa: number;
}

/**
 * Lays out the cells of all varieties and environments.
 *
 * Random terms: environment, block in environment, variety in environment, whole plot (variety in block), and slopes of
 * the rate by environment and by variety in environment, each only where the layout can separate it from the others.
 * Slopes are in rates centred at the mean rate and independent of the levels: a field's level is then its level at the
 * rates in use, and its slope says whether its curve tilts there. Centred at zero seeds, a random slope independent of
 * the level would claim that fields agree where nothing is sown and spread out toward the tested rates. Criterion and
 * variances differ between the two, and the second makes no sense in a field.
 *
 * @param fits   sorted by variety, then season, farm and field
 * @param trend  a trend across the field to be modelled too; cells without a position take no part in it
 * @param seasonOf  season of each environment: slopes of the rate may then differ by season too
 * @returns null where no variety has two rates in one environment
 */
export function layOutTrial(
  fits: readonly LaidVariety[],
  trend: PositionTerm | "none" = "none",
  seasonOf?: ReadonlyMap<string, number>,
): TrialLayout | null {
  const scale = rateScaleOf(fits);
  if (scale === null) return null;
  const { treatments, varieties, environments, levels, found, ...rows } = sweepCells(fits, scale);
  const { u } = rows;
  const ones = new Float64Array(u.length).fill(1);
  const total = addCounts(found);
  const random = termsFor(total).map((name): RandomTerm => {
    const [levelOf, levelCount] = {
      environment: [levels.environment, total.environments] as const,
      block: [levels.block, total.blocks] as const,
      "variety-in-environment": [levels.varietyInEnvironment, total.varieties] as const,
      "whole-plot": [levels.wholePlot, total.wholePlots] as const,
      "slope-by-environment": [levels.environment, total.environments] as const,
      "slope-by-variety-in-environment": [levels.varietyInEnvironment, total.varieties] as const,
    }[name];
    const columns = [name.startsWith("slope") ? u : ones];
    return { name, levels: levelCount, reach: 1, levelOf, columns };
  });
  if (trend !== "none") random.push(trendTerm(trend, levels.environment, levels.block, rows.positions));
  if (seasonOf !== undefined) random.push(slopeBySeason(environments, seasonOf, levels.environment, u));
  const sums = gatherSums({ ...rows, treatments: treatments.length, random });
  return { sums, treatments, varieties, environments, counts: found, ...scale };
}

function slopeBySeason(
  environments: readonly string[],
  seasonOf: ReadonlyMap<string, number>,
  environmentOfRow: Int32Array,
  u: Float64Array,
): RandomTerm {
  const seasons = environments.map((id) => seasonOf.get(id)!);
  const numberOf = new Map([...new Set(seasons)].map((season, i) => [season, i]));
  return {
    name: "slope-by-season",
    levels: numberOf.size,
    reach: 1,
    levelOf: environmentOfRow.map((environment) => numberOf.get(seasons[environment]!)!),
    columns: [u],
  };
}

/**
 * The same layout with only some of its environments, without sweeping the strips again.
 *
 * @returns null where these environments cannot separate the same random terms
 */
export function restrictLayout(layout: TrialLayout, kept: ReadonlySet<string>): TrialLayout | null {
  const environments = [...layout.environments.entries()].filter(([, id]) => kept.has(id));
  const environmentNumber = new Map(environments.map(([old], i) => [old, i]));
  const counts = layout.counts.filter((_, environment) => environmentNumber.has(environment));
  if (counts.length === 0) return null;
  const [before, left] = [termsFor(addCounts(layout.counts)), termsFor(addCounts(counts))];
  if (before.join() !== left.join()) return null;
  const newNumber = new Map<number, number>();
  const treatments = layout.treatments.filter(({ environment }, old) => {
    const isKept = environmentNumber.has(environment);
    if (isKept) newNumber.set(old, newNumber.size);
    return isKept;
  });
  const groups = layout.sums.groups.flatMap((group) =>
    newNumber.has(group.treatments[0]!)
      ? [{ ...group, treatments: group.treatments.map((old) => newNumber.get(old)!) }]
      : [],
  );
  const observations = addCounts(counts).strips;
  const sums = { ...layout.sums, groups, observations, treatments: treatments.length };
  const present = new Set(treatments.map(({ variety }) => variety));
  const varietyNumber = new Map([...present].sort((a, b) => a - b).map((old, i) => [old, i]));
  return {
    ...layout,
    sums,
    counts,
    treatments: treatments.map((treatment) => ({
      ...treatment,
      environment: environmentNumber.get(treatment.environment)!,
      variety: varietyNumber.get(treatment.variety)!,
    })),
    environments: environments.map(([, id]) => id),
    varieties: layout.varieties.filter((_, variety) => present.has(variety)),
  };
}

/**
 * Random terms that a layout can separate: each has more levels than those it divides, and fewer than there are strips.
 */
function termsFor(counts: LayoutCounts): Exclude<TermName, PositionTerm>[] {
  const { environments, strips, blocks, varieties, wholePlots } = counts;
  const several = environments > 1;
  const severalVarieties = several && varieties > environments;
  return [
    ...(several ? (["environment"] as const) : []),
    ...(blocks > environments && blocks < strips ? (["block"] as const) : []),
    ...(severalVarieties ? (["variety-in-environment"] as const) : []),
    ...(wholePlots > blocks && wholePlots > varieties && wholePlots < strips
      ? (["whole-plot"] as const)
      : []),
    ...(several ? (["slope-by-environment"] as const) : []),
    ...(severalVarieties ? (["slope-by-variety-in-environment"] as const) : []),
  ];
}

const addCounts = (counts: readonly LayoutCounts[]): LayoutCounts =>
  counts.reduce((sum, one) => ({
    environments: sum.environments + one.environments,
    strips: sum.strips + one.strips,
    blocks: sum.blocks + one.blocks,
    varieties: sum.varieties + one.varieties,
    wholePlots: sum.wholePlots + one.wholePlots,
  }));

type RateScale = Pick<TrialLayout, "centreSeedsPerM2" | "scaleSeedsPerM2" | "meanKgPerHa">;

/** Middle and half range of the rates, and the mean yield; null where no variety has two rates in one environment. */
function rateScaleOf(fits: readonly LaidVariety[]): RateScale | null {
  let [strips, yields, rates, lowest, highest] = [0, 0, 0, Infinity, -Infinity];
  for (const fit of fits) {
    for (const cell of fit.cells) {
      strips += cell.strips;
      yields += cell.strips * cell.meanYieldKgPerHa;
      rates += cell.strips * cell.rateSeedsPerM2;
      lowest = Math.min(lowest, cell.rateSeedsPerM2);
      highest = Math.max(highest, cell.rateSeedsPerM2);
    }
  }
  const severalRates = fits.some(({ cells }) =>
    cells.some((cell) => cell.rateSeedsPerM2 !== cells[0]?.rateSeedsPerM2),
  );
  return severalRates
    ? {
        centreSeedsPerM2: rates / strips,
        scaleSeedsPerM2: (highest - lowest) / 2,
        meanKgPerHa: yields / strips,
      }
    : null;
}

/** What is swept: one row for each cell, with the levels of its random terms. */
function emptyRows(count: number) {
  return {
    treatmentOf: new Int32Array(count),
    counts: new Float64Array(count),
    yields: new Float64Array(count),
    within: new Float64Array(count),
    u: new Float64Array(count),
    positions: new Float64Array(count),
    levels: {
      environment: new Int32Array(count),
      block: new Int32Array(count),
      varietyInEnvironment: new Int32Array(count),
      wholePlot: new Int32Array(count),
    },
  };
}

/** Numbers things by their key, in order of first occurrence. */
class Numbering {
  readonly #numbers = new Map<string, number>();
  #next: number;

  constructor(first = 0) {
    this.#next = first;
  }

  get count(): number {
    return this.#next;
  }

  of(key: string): number {
    let number = this.#numbers.get(key);
    if (number === undefined) this.#numbers.set(key, (number = this.#next++));
    return number;
  }
}

/** One row for each cell: its treatment, and its level of each random term. */
function sweepCells(fits: readonly LaidVariety[], scale: RateScale) {
  const varieties = [...new Set(fits.map((fit) => fit.variety))];
  const environments = [...new Set(fits.map((fit) => fit.environment))];
  const varietyOf = new Map(varieties.map((name, i) => [name, i]));
  const environmentOf = new Map(environments.map((id, i) => [id, i]));
  const { levels, ...rows } = emptyRows(fits.reduce((sum, fit) => sum + fit.cells.length, 0));
  const treatments: Treatment[] = [];
  const found = environments.map(() => ({
    environments: 1,
    strips: 0,
    blocks: 0,
    varieties: 0,
    wholePlots: 0,
  }));
  const blocks = new Numbering();
  let [row, wholePlots] = [0, 0];
  fits.forEach((fit, fitNumber) => {
    const variety = varietyOf.get(fit.variety)!;
    const environment = environmentOf.get(fit.environment)!;
    const here = found[environment]!;
    const blocksBefore = blocks.count;
    const plots = new Numbering(wholePlots);
    rows.within[row] = fit.withinCellSs;
    for (const cell of fit.cells) {
      const { rateSeedsPerM2 } = cell;
      const u = (rateSeedsPerM2 - scale.centreSeedsPerM2) / scale.scaleSeedsPerM2;
      addTreatment(treatments, { variety, environment, rateSeedsPerM2, u });
      here.strips += cell.strips;
      rows.treatmentOf[row] = treatments.length - 1;
      rows.counts[row] = cell.strips;
      rows.yields[row] = cell.meanYieldKgPerHa - scale.meanKgPerHa;
      rows.u[row] = u;
      rows.positions[row] = cell.position ?? NaN;
      levels.environment[row] = environment;
      levels.block[row] = blocks.of(`${environment} ${cell.block}`);
      levels.varietyInEnvironment[row] = fitNumber;
      levels.wholePlot[row] = plots.of(cell.block);
      row++;
    }
    here.varieties++;
    here.blocks += blocks.count - blocksBefore;
    here.wholePlots += plots.count - wholePlots;
    wholePlots = plots.count;
  });
  return { ...rows, levels, treatments, varieties, environments, found };
}

/** Adds a treatment unless it is the last one. */
function addTreatment(treatments: Treatment[], one: Treatment): void {
  const last = treatments.at(-1);
  if (
    last?.variety !== one.variety ||
    last.environment !== one.environment ||
    last.rateSeedsPerM2 !== one.rateSeedsPerM2
  )
    treatments.push(one);
}
