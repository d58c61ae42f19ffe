/** The response forms as columns over the treatments of all seasons. */
import { formNamed } from "../forms/index.ts";
import type { FormName } from "../../vocabulary/settings.ts";
import type { FixedColumns } from "./mixed-model.ts";
import type { TrialLayout } from "./trial-layout.ts";

/** Own: each variety has its own response. Common: varieties differ only by a shift. */
export type Sharing = "own" | "common";

/** Who shares one response, and the rates that it was tested at. */
export interface ResponseUnit {
  varieties: number[];
  /** Distinct rates in u, in ascending order. */
  rates: number[];
}

/** The responses of a pooled model: one for each variety, or one that all share, each with its rates in u from 0 to 1. */
export function unitsOf(layout: TrialLayout, sharing: Sharing): ResponseUnit[] {
  const everyone = layout.varieties.map((_, variety) => variety);
  const groups = sharing === "own" ? everyone.map((variety) => [variety]) : [everyone];
  return groups.map((varieties) => {
    const rates = new Set<number>();
    for (const treatment of layout.treatments)
      if (varieties.includes(treatment.variety)) rates.add(treatment.u);
    return { varieties, rates: [...rates].sort((a, b) => a - b) };
  });
}

/** Power of the distance below the join that a plateau form falls by; null for a form without a join. */
export const hingeDegree = (form: FormName): 1 | 2 | null => formNamed(form).hingeDegree;

/** Whether a unit has the rates that a join needs. */
export const hasJoin = (unit: ResponseUnit): boolean => unit.rates.length > 2;

/**
 * The positions of a unit's coefficients.
 *
 * Column `variety` is the level of that variety. A response begins at `first`: powers of u for the polynomial forms,
 * −(join − u)₊ᵈ for the plateau forms, so that its coefficient is positive where yield rises.
 */
export interface FormColumns {
  fixed: FixedColumns;
  /** First response column of each unit, and how many it has. */
  first: number[];
  widths: number[];
}

/**
 * X of a form, one row a treatment.
 *
 * A unit with two rates gets a straight line in place of a plateau form, one with a single rate only its level.
 *
 * @param joins  one a unit, in u; not used by the polynomial forms
 */
export function columnsOfForm(
  layout: TrialLayout,
  form: FormName,
  units: ResponseUnit[],
  joins: ArrayLike<number>,
): FormColumns {
  const degree = hingeDegree(form);
  const { powers } = formNamed(form);
  const widths = units.map((unit) => Math.min(powers, unit.rates.length - 1));
  const first: number[] = [];
  let count = layout.varieties.length;
  for (const width of widths) {
    first.push(count);
    count += width;
  }
  const unitOf = new Int32Array(layout.varieties.length);
  units.forEach((unit, i) => unit.varieties.forEach((variety) => (unitOf[variety] = i)));

  const start = new Int32Array(layout.treatments.length + 1);
  const column: number[] = [];
  const value: number[] = [];
  layout.treatments.forEach(({ variety, u }, row) => {
    column.push(variety);
    value.push(1);
    const unit = unitOf[variety]!;
    for (let k = 0; k < widths[unit]!; k++) {
      column.push(first[unit]! + k);
      value.push(
        degree !== null && hasJoin(units[unit]!) ? -(Math.max(0, joins[unit]! - u) ** degree) : u ** (k + 1),
      );
    }
    start[row + 1] = column.length;
  });
  return {
    fixed: { count, start, column: Int32Array.from(column), value: Float64Array.from(value) },
    first,
    widths,
  };
}
