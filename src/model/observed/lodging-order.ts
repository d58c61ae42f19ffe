/** Lodging scores by their order alone: whether the rate's effect depends on uneven steps of the scale. */
import { environmentId } from "../../vocabulary/environments.ts";
import { normalCdf } from "../../maths/distributions.ts";
import { fitOrderedLogit, type OrderedCases } from "../../maths/ordered-logit.ts";
import type { Coefficient } from "../../vocabulary/result.ts";
import type { Strip } from "../../vocabulary/trial.ts";

/** Beyond these limits the shares are no longer a few ordered scores, or the sums cost more than they add. */
const mostScores = 12;
const mostStrips = 20_000;
const mostColumns = 100;

/**
 * Scores as ordered categories against environment, variety and rate, treatment contrasts to the first of each.
 *
 * @param strips  scored on one scale
 * @param rise  the rate of a strip in the units of the regression
 * @returns null where there are too many scores, strips or environments, or fewer than three scores
 */
export function orderLodging(
  strips: readonly Strip[],
  rise: (rateSeedsPerM2: number) => number,
): { cases: OrderedCases; columns: string[] } | null {
  if (strips.length > mostStrips) return null;
  const scores = sorted(strips.map((strip) => strip.lodging!.share));
  const environments = sorted(strips.map(environmentId));
  const varieties = sorted(strips.map((strip) => strip.variety));
  const columns = [...environments.slice(1), ...varieties.slice(1), "rate"];
  if (scores.length < 3 || scores.length > mostScores) return null;
  if (columns.length > mostColumns) return null;

  const category = new Map(scores.map((score, i) => [score, i]));
  const environment = new Map(environments.map((id, i) => [id, i]));
  const variety = new Map(varieties.map((name, i) => [name, i]));
  const counts = new Map<string, { strip: Strip; count: number }>();
  for (const strip of strips) {
    const key = JSON.stringify([
      environmentId(strip),
      strip.variety,
      strip.rateSeedsPerM2,
      strip.lodging!.share,
    ]);
    const known = counts.get(key);
    if (known === undefined) counts.set(key, { strip, count: 1 });
    else known.count++;
  }
  const cases = [...counts].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, one]) => one);
  const terms = cases.flatMap(({ strip }): [number, number][] => {
    const e = environment.get(environmentId(strip))!;
    const v = variety.get(strip.variety)!;
    return [
      e === 0 ? [0, 0] : [e - 1, 1],
      v === 0 ? [0, 0] : [environments.length - 1 + v - 1, 1],
      [columns.length - 1, rise(strip.rateSeedsPerM2)],
    ];
  });
  return {
    columns,
    cases: {
      categories: scores.length,
      columns: columns.length,
      category: Int32Array.from(cases, ({ strip }) => category.get(strip.lodging!.share)!),
      count: Float64Array.from(cases, ({ count }) => count),
      termsPerCase: 3,
      column: Int32Array.from(terms, ([column]) => column),
      value: Float64Array.from(terms, ([, value]) => value),
    },
  };
}

/** The rate's coefficient by the order of the scores alone; null where there is none. */
export function rateByOrder(
  strips: readonly Strip[],
  rise: (rateSeedsPerM2: number) => number,
): Coefficient | null {
  const ordered = orderLodging(strips, rise);
  if (ordered === null) return null;
  const fit = fitOrderedLogit(ordered.cases);
  const last = fit.thresholds.length + ordered.columns.length - 1;
  const variance = fit.covariance[last * (last + 1) + last]!;
  if (!fit.converged || !(variance > 0)) return null;
  const estimate = fit.coefficients.at(-1)!;
  const standardError = Math.sqrt(variance);
  const t = estimate / standardError;
  return { name: "rate", estimate, standardError, t, p: 2 * normalCdf(-Math.abs(t)) };
}

const sorted = <T extends string | number>(values: readonly T[]): T[] =>
  [...new Set(values)].sort((a, b) => (a < b ? -1 : a > b ? 1 : 0));
