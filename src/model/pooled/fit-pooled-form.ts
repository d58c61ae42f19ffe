/** One response form over all seasons: joins, curves and variances together. */
import type { FormName } from "../../vocabulary/settings.ts";
import { JoinSearch } from "./join-search.ts";
import { fitMixedModel } from "./fit-mixed-model.ts";
import type { MixedFit } from "./fit-mixed-model.ts";
import type { Criterion } from "./mixed-likelihood.ts";
import { buildMixedModel } from "./mixed-model.ts";
import type { MixedModel } from "./mixed-model.ts";
import { columnsOfForm, hasJoin, hingeDegree, unitsOf } from "./pooled-forms.ts";
import type { FormColumns, ResponseUnit, Sharing } from "./pooled-forms.ts";
import { weighTreatments } from "./treatment-sums.ts";
import type { TrialLayout } from "./trial-layout.ts";

export interface PooledForm {
  form: FormName;
  sharing: Sharing;
  units: ResponseUnit[];
  columns: FormColumns;
  model: MixedModel;
  fit: MixedFit;
  /** One a unit, in u; null where the unit has no join. */
  joins: (number | null)[];
  /** Fixed coefficients, joins, variances. */
  parameters: number;
  converged: boolean;
}

/** A similar fit to begin from. */
export interface StartingPoint {
  theta: Float64Array;
  curve?: Float64Array;
  joins?: readonly (number | null)[];
}

/** Rounds of joins and variances in turn; the third seldom changes anything. */
const mostRounds = 15;

/** A join has settled when it moves by less than this share of half the tested range. */
const settled = 1e-5;

/**
 * Fits a form.
 *
 * Polynomial forms are one fit. For the plateau forms the joins are found at the current variances over their whole
 * range (see `join-search.ts`), then the variances at these joins, in turn, until no join moves. By ML each turn raises
 * the likelihood; by REML the joins are those of generalized least squares at the REML variances.
 */
export function fitPooledForm(
  layout: TrialLayout,
  form: FormName,
  sharing: Sharing,
  criterion: Criterion,
  start?: StartingPoint,
): PooledForm {
  const units = unitsOf(layout, sharing);
  const joins = Float64Array.from(
    units,
    ({ rates }, i) => start?.joins?.[i] ?? (rates[0]! + rates[rates.length - 1]!) / 2,
  );
  const fitAt = (from: StartingPoint | undefined) => {
    const columns = columnsOfForm(layout, form, units, joins);
    const model = buildMixedModel(layout.sums, columns.fixed);
    return { columns, model, fit: fitMixedModel(model, criterion, from) };
  };
  const searches = hingeDegree(form) !== null && units.some(hasJoin);
  const first = start && { ...start, theta: awayFromZero(start.theta) };
  let last = searches && first !== undefined ? null : fitAt(first);
  let moved = 0;
  for (let round = 0; searches && round < mostRounds; round++) {
    const from = last?.fit ?? first!;
    moved = moveJoins(layout, form, units, joins, from.theta);
    if (last !== null && moved < settled) break;
    last = fitAt(from);
  }
  const { columns, model, fit } = last!;
  const found = units.map((unit, i) => (searches && hasJoin(unit) ? joins[i]! : null));
  return {
    form,
    sharing,
    units,
    columns,
    model,
    fit,
    joins: found,
    parameters: fit.parameters + found.filter((join) => join !== null).length,
    converged: fit.converged && moved < settled,
  };
}

/** A standard deviation that another model found to be zero gets a little room: at zero the likelihood is flat. */
export const awayFromZero = (theta: Float64Array): Float64Array =>
  theta.map((value) => Math.max(value, 0.05));

/** Takes each unit's join in turn until none moves; returns the largest distance that a join moved in all. */
function moveJoins(
  layout: TrialLayout,
  form: FormName,
  units: ResponseUnit[],
  joins: Float64Array,
  theta: Float64Array,
): number {
  const before = joins.slice();
  const search = startJoinSearch(layout, form, units, joins, theta);
  for (let cycle = 0; cycle < 30; cycle++) {
    let moved = 0;
    units.forEach((unit, i) => {
      const join = hasJoin(unit) ? search.bestJoinOf(i) : null;
      if (join === null) return;
      moved = Math.max(moved, Math.abs(join - joins[i]!));
      joins[i] = join;
      search.moveJoin(i, join);
    });
    if (moved < settled / 10) break;
  }
  return joins.reduce((most, join, i) => Math.max(most, Math.abs(join - before[i]!)), 0);
}

/** The least squares of a plateau form at known variances, ready to move its joins. */
export function startJoinSearch(
  layout: TrialLayout,
  form: FormName,
  units: ResponseUnit[],
  joins: ArrayLike<number>,
  theta: Float64Array,
): JoinSearch {
  return new JoinSearch(
    weighTreatments(layout.sums, theta),
    layout.treatments,
    columnsOfForm(layout, form, units, joins),
    units,
    hingeDegree(form)!,
  );
}
