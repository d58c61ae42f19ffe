/** Slopes of the pooled quadratics after using the other varieties' strips too. */
import type { Leaning } from "../../vocabulary/pooled-result.ts";
import type { PooledForm } from "./fit-pooled-form.ts";
import { leanOnOthers } from "./lean-on-others.ts";
import { inFieldUnits, varianceInFieldUnits } from "./pooled-estimates.ts";
import type { VarianceUncertainty } from "./satterthwaite.ts";
import type { TrialLayout } from "./trial-layout.ts";

export interface LeanedSlopes {
  /** Standard deviations between varieties, in field units at the mean rate. */
  slopeSpread: number;
  bendSpread: number;
  /** Null for a variety without a quadratic of its own. */
  varieties: (Leaning | null)[];
}

/** @returns null with fewer than two quadratics, or where there is no scatter to judge by */
export function leanSlopes(
  layout: TrialLayout,
  { fit, columns, model, units }: PooledForm,
  uncertainty: VarianceUncertainty,
): LeanedSlopes | null {
  const { scaleSeedsPerM2: scale } = layout;
  const curved = units.flatMap((_, variety) =>
    columns.widths[variety] === 2 &&
    [0, 1].every((k) => !model.droppedColumns.includes(columns.first[variety]! + k))
      ? [variety]
      : [],
  );
  const places = [0, 1].flatMap((k) => curved.map((variety) => columns.first[variety]! + k));
  const restrict = (matrix: Float64Array): Float64Array =>
    Float64Array.from(places.flatMap((a) => places.map((b) => matrix[a * model.columnCount + b]!)));
  const estimates = places.map((place) => fit.estimates[place]!);
  const covariance = restrict(fit.covariance);
  const leaned = leanOnOthers(estimates.slice(0, curved.length), estimates.slice(curved.length), covariance);
  if (leaned === null) return null;
  const changes = uncertainty.slopes.map(restrict);
  const varieties: (Leaning | null)[] = units.map(() => null);
  curved.forEach((variety, i) => {
    const [ofSlope, ofBend] = [leaned.drawing[i]!, leaned.drawing[curved.length + i]!];
    const estimateOf = (row: readonly number[]): number =>
      row.reduce((sum, weight, k) => sum + weight * estimates[k]!, 0);
    varieties[variety] = {
      slopeShare: leaned.slopeShares[i]!,
      bendShare: leaned.bendShares[i]!,
      slope: {
        ...inFieldUnits(layout, estimateOf(ofSlope), estimateOf(ofBend)),
        variance: varianceInFieldUnits(layout, {
          linear: rowTimesColumn(ofSlope, covariance, i),
          covariance: rowTimesColumn(ofSlope, covariance, curved.length + i),
          quadratic: rowTimesColumn(ofBend, covariance, curved.length + i),
        }),
        varianceSlopes: changes.map((change) =>
          varianceInFieldUnits(layout, {
            linear: between(ofSlope, change, ofSlope),
            covariance: between(ofSlope, change, ofBend),
            quadratic: between(ofBend, change, ofBend),
          }),
        ),
        uncertainty: uncertainty.covariance,
      },
    };
  });
  return { slopeSpread: leaned.slopeSpread / scale, bendSpread: leaned.bendSpread / scale ** 2, varieties };
}

const rowTimesColumn = (row: readonly number[], matrix: Float64Array, column: number): number =>
  row.reduce((sum, weight, k) => sum + weight * matrix[k * row.length + column]!, 0);

const between = (left: readonly number[], matrix: Float64Array, right: readonly number[]): number =>
  right.reduce((sum, weight, column) => sum + weight * rowTimesColumn(left, matrix, column), 0);
