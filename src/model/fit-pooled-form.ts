/** One response form over all seasons: joins, curves and variances together. */
import type { FormName } from "../settings.ts";
import { JoinSearch } from "./join-search.ts";
import { buildMixedModel, fitMixedModel } from "./mixed-model.ts";
import type { MixedFit, MixedModel } from "./mixed-model.ts";
import { columnsOfForm, hasJoin, hingeDegree, unitsOf } from "./pooled-forms.ts";
import type { FormColumns, ResponseUnit, Sharing } from "./pooled-forms.ts";
import { weighTreatments } from "./treatment-sums.ts";
import type { WeightedSums } from "./treatment-sums.ts";
import type { TrialLayout } from "./trial-layout.ts";

export interface PooledForm {
  form: FormName;
  sharing: Sharing;
  units: ResponseUnit[];
  columns: FormColumns;
  model: MixedModel;
  /** Maximum likelihood, for comparing forms. */
  ml: MixedFit;
  /** One a unit, in u; null where the unit has no join. */
  joins: (number | null)[];
  /** Fixed coefficients, joins, variances. */
  parameters: number;
  converged: boolean;
}

/** Rounds of joins and variances in turn; the second seldom moves anything. */
const mostRounds = 12;

/** A join has settled when it moves by less than this share of half the tested range. */
const settled = 1e-6;

/**
 * Maximum likelihood of a form.
 *
 * Polynomial forms are one fit. For the plateau forms the joins are found at the current variances over their whole
 * range (see `join-search.ts`), then the variances at these joins, in turn, each raising the likelihood, until no join
 * moves. Starts from variances of a similar model.
 */
export function fitPooledForm(
  layout: TrialLayout,
  form: FormName,
  sharing: Sharing,
  start?: Float64Array,
): PooledForm {
  const units = unitsOf(layout, sharing);
  const degree = hingeDegree(form);
  const joins = Float64Array.from(units, ({ rates }) => (rates[0] + rates[rates.length - 1]) / 2);
  const finish = (
    columns: FormColumns,
    model: MixedModel,
    ml: MixedFit,
    joinsSettled: boolean,
  ): PooledForm => {
    const found = units.map((unit, i) => (degree !== null && hasJoin(unit) ? joins[i] : null));
    return {
      form,
      sharing,
      units,
      columns,
      model,
      ml,
      joins: found,
      parameters: ml.parameters + found.filter((join) => join !== null).length,
      converged: ml.converged && joinsSettled,
    };
  };
  const fitAt = (theta: Float64Array | undefined) => {
    const columns = columnsOfForm(layout, form, units, joins);
    const model = buildMixedModel(layout.sums, columns.fixed);
    return { columns, model, ml: fitMixedModel(model, "ML", theta) };
  };
  if (degree === null || !units.some(hasJoin)) {
    const { columns, model, ml } = fitAt(start);
    return finish(columns, model, ml, true);
  }
  let theta = start ?? fitAt(undefined).ml.theta;
  for (let round = 0; ; round++) {
    const weighted = weighTreatments(layout.sums, theta);
    const moved = moveJoins(layout, form, units, joins, weighted);
    const { columns, model, ml } = fitAt(theta);
    if (moved < settled || round === mostRounds) return finish(columns, model, ml, moved < settled);
    theta = ml.theta;
  }
}

/** Takes each unit's join in turn until none moves; gives the largest way that one ended from where it began. */
function moveJoins(
  layout: TrialLayout,
  form: FormName,
  units: ResponseUnit[],
  joins: Float64Array,
  weighted: WeightedSums,
): number {
  const before = joins.slice();
  const search = new JoinSearch(
    weighted,
    layout.treatments,
    columnsOfForm(layout, form, units, joins),
    units,
    hingeDegree(form)!,
  );
  for (let cycle = 0; cycle < 30; cycle++) {
    let moved = 0;
    units.forEach((unit, i) => {
      const join = hasJoin(unit) ? search.bestJoinOf(i) : null;
      if (join === null) return;
      moved = Math.max(moved, Math.abs(join - joins[i]));
      joins[i] = join;
      search.moveJoin(i, join);
    });
    if (moved < settled / 100) break;
  }
  return joins.reduce((most, join, i) => Math.max(most, Math.abs(join - before[i])), 0);
}
