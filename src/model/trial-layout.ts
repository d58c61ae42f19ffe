/** Environments, blocks, plots and varieties of all seasons as the rows and random terms of a mixed model. */
import type { PooledVariance, PositionTerm } from "../pooled-result.ts";
import type { FittedVariety, RateCell } from "../result.ts";
import { gatherSums } from "./gather-sums.ts";
import type { RandomTerm, TrialSums } from "./gather-sums.ts";
import { trendTerm } from "./position-terms.ts";

/** The random terms of a trial; one sentence each in `tell/wording.ts`. */
export type TermName = Exclude<PooledVariance["term"], "strip">;

/** Strips that are alike in all that a model sees, of one variety in one environment. */
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

export interface TrialLayout {
  sums: TrialSums;
  treatments: Treatment[];
  varieties: string[];
  environments: string[];
  /** Environment of each group of `sums`; groups are single environments unless random terms cross them. */
  environmentOfGroup: number[];
  /** Middle of the rates: mean over all strips; the scale is half of the tested range. */
  centreSeedsPerM2: number;
  scaleSeedsPerM2: number;
  /** Mean of all strips, taken off every yield before anything else. */
  meanKgPerHa: number;
}

/**
 * Lays out the cells of all varieties and environments.
 *
 * Random terms: environment, block in environment, variety in environment, whole plot (variety in block), and slopes of
 * the rate by environment and by variety in environment, each only where the layout can tell it from the others. The
 * slopes are in rates centred at the mean rate, apart from the levels: so a field's level is its level at the rates
 * in use, and what is left is whether its curve tilts there. Centred at zero seeds, a random slope apart from the level
 * would claim that fields agree where nothing is sown and fan out toward the tested rates; criterion and variances differ
 * between the two, and the second has no meaning in a field.
 *
 * @param fits   sorted by variety, then season, farm and field
 * @param trend  a trend across the field to be modelled too; cells without a position take no part in it
 * @returns null where no variety has two rates in one environment
 */
export function layOutTrial(
  fits: readonly LaidVariety[],
  trend: PositionTerm | "none" = "none",
): TrialLayout | null {
  const varieties = [...new Set(fits.map((fit) => fit.variety))];
  const environments = [...new Set(fits.map((fit) => fit.environment))];
  const varietyOf = new Map(varieties.map((name, i) => [name, i]));
  const environmentOf = new Map(environments.map((id, i) => [id, i]));
  const cells = fits.reduce((sum, fit) => sum + fit.cells.length, 0);

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
  const severalRates = fits.some(({ cells: [first, ...others] }) =>
    others.some((cell) => cell.rateSeedsPerM2 !== first.rateSeedsPerM2),
  );
  if (!severalRates) return null;
  const centreSeedsPerM2 = rates / strips;
  const scaleSeedsPerM2 = (highest - lowest) / 2;
  const meanKgPerHa = yields / strips;

  const treatments: Treatment[] = [];
  const treatmentOf = new Int32Array(cells);
  const counts = new Float64Array(cells);
  const centred = new Float64Array(cells);
  const u = new Float64Array(cells);
  const levels = {
    environment: new Int32Array(cells),
    block: new Int32Array(cells),
    varietyInEnvironment: new Int32Array(cells),
    wholePlot: new Int32Array(cells),
  };
  const positions = new Float64Array(cells);
  const blocks = new Map<string, number>();
  const within = new Float64Array(cells);
  let [row, wholePlots] = [0, 0];
  fits.forEach((fit, fitNumber) => {
    const variety = varietyOf.get(fit.variety)!;
    const environment = environmentOf.get(fit.environment)!;
    within[row] = fit.withinCellSs;
    const plots = new Map<string, number>();
    for (const cell of fit.cells) {
      const blockKey = `${environment} ${cell.block}`;
      let block = blocks.get(blockKey);
      if (block === undefined) blocks.set(blockKey, (block = blocks.size));
      let plot = plots.get(cell.block);
      if (plot === undefined) plots.set(cell.block, (plot = wholePlots++));
      u[row] = (cell.rateSeedsPerM2 - centreSeedsPerM2) / scaleSeedsPerM2;
      const last = treatments[treatments.length - 1];
      if (
        last?.variety !== variety ||
        last.environment !== environment ||
        last.rateSeedsPerM2 !== cell.rateSeedsPerM2
      )
        treatments.push({ variety, environment, rateSeedsPerM2: cell.rateSeedsPerM2, u: u[row] });
      treatmentOf[row] = treatments.length - 1;
      counts[row] = cell.strips;
      centred[row] = cell.meanYieldKgPerHa - meanKgPerHa;
      positions[row] = cell.position ?? NaN;
      levels.environment[row] = environment;
      levels.block[row] = block;
      levels.varietyInEnvironment[row] = fitNumber;
      levels.wholePlot[row] = plot;
      row++;
    }
  });

  const ones = new Float64Array(cells).fill(1);
  const term = (name: TermName, levelOf: Int32Array, count: number, column: Float64Array): RandomTerm => ({
    name,
    levels: count,
    reach: 1,
    levelOf,
    columns: [column],
  });
  const [severalEnvironments, severalFits] = [environments.length > 1, fits.length > environments.length];
  const random: RandomTerm[] = [];
  if (severalEnvironments) random.push(term("environment", levels.environment, environments.length, ones));
  if (blocks.size > environments.length && blocks.size < strips)
    random.push(term("block", levels.block, blocks.size, ones));
  if (severalEnvironments && severalFits)
    random.push(term("variety-in-environment", levels.varietyInEnvironment, fits.length, ones));
  if (wholePlots > blocks.size && wholePlots > fits.length && wholePlots < strips)
    random.push(term("whole-plot", levels.wholePlot, wholePlots, ones));
  if (severalEnvironments) {
    random.push(term("slope-by-environment", levels.environment, environments.length, u));
    if (severalFits)
      random.push(term("slope-by-variety-in-environment", levels.varietyInEnvironment, fits.length, u));
  }
  if (trend !== "none") random.push(trendTerm(trend, levels.environment, levels.block, positions));
  const sums = gatherSums({
    yields: centred,
    counts,
    within,
    treatmentOf,
    treatments: treatments.length,
    random,
  });
  return {
    sums,
    treatments,
    varieties,
    environments,
    environmentOfGroup: sums.groups.map((group) => treatments[group.treatments[0]].environment),
    centreSeedsPerM2,
    scaleSeedsPerM2,
    meanKgPerHa,
  };
}
