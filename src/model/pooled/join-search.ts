/**
 * The best common join of a plateau form over all seasons, at known variances.
 *
 * With everything but one join known, the generalized residual sum of squares is, between neighbouring tested rates, a
 * ratio of polynomials in the join, exactly as for one environment alone; only the products are weighted by V⁻¹ and
 * summed over environments. So each join is found over its whole range, and joins are taken in turn until none moves.
 */
import { dot } from "../../maths/dot.ts";
import { gather } from "../../maths/group-by.ts";
import { cholesky, solveCholesky } from "../../maths/cholesky.ts";
import { bestJoin } from "../../maths/hinge.ts";
import type { HingeDegree, HingeStretches } from "../../maths/hinge.ts";
import type { FormColumns, ResponseUnit } from "./pooled-forms.ts";
import type { WeightedGroup, WeightedSums } from "./treatment-sums.ts";
import type { Treatment } from "./trial-layout.ts";

interface SearchedGroup extends WeightedGroup {
  /** C'V⁻¹X, one row a treatment. */
  carried: Float64Array;
}

interface SearchedUnit {
  rates: ResponseUnit["rates"];
  /** Column of its hinge. */
  column: number;
  /** Its treatments, as places in each group that has some. */
  members: { group: SearchedGroup; places: Int32Array }[];
}

/** The generalized least squares of a plateau form, as its joins move. */
export class JoinSearch {
  private readonly weighted: WeightedSums;
  private readonly treatments: Treatment[];
  private readonly units: SearchedUnit[];
  private readonly degree: HingeDegree;
  private readonly columns: number;
  /** X'V⁻¹X, full, and X'V⁻¹y. */
  private readonly normal: Float64Array;
  private readonly withYield: Float64Array;

  /** @param form  the columns at the joins to begin with */
  constructor(
    weighted: WeightedSums,
    treatments: Treatment[],
    form: FormColumns,
    units: ResponseUnit[],
    degree: HingeDegree,
  ) {
    this.weighted = weighted;
    this.treatments = treatments;
    this.units = units.map(({ rates }, i) => ({ rates, column: form.first[i]!, members: [] }));
    this.degree = degree;
    this.columns = form.fixed.count;
    this.normal = new Float64Array(this.columns ** 2);
    this.withYield = new Float64Array(this.columns);
    const unitOf = new Map(
      this.units.flatMap((own, i) => units[i]!.varieties.map((variety) => [variety, own])),
    );
    for (const one of weighted.groups) {
      const group = { ...one, carried: this.carry(one, form) };
      const byUnit = gather([...group.treatments.keys()], (place) =>
        unitOf.get(this.treatmentAt(group, place).variety)!,
      );
      for (const [unit, places] of byUnit) unit.members.push({ group, places: Int32Array.from(places) });
    }
  }

  private treatmentAt(group: WeightedGroup, place: number): Treatment {
    return this.treatments[group.treatments[place]!]!;
  }

  /** A group's C'V⁻¹X; adds what it has to the normal equations. */
  private carry(
    { treatments: present, products, withYield }: WeightedGroup,
    { fixed }: FormColumns,
  ): Float64Array {
    const p = this.columns;
    const size = present.length;
    const carried = new Float64Array(size * p);
    for (let k = 0; k < size; k++) {
      for (let i = fixed.start[present[k]!]!; i < fixed.start[present[k]! + 1]!; i++) {
        const column = fixed.column[i]!;
        const value = fixed.value[i]!;
        this.withYield[column]! += value * withYield[k]!;
        for (let row = 0; row < size; row++) carried[row * p + column]! += products[row * size + k]! * value;
      }
    }
    for (let k = 0; k < size; k++) {
      for (let i = fixed.start[present[k]!]!; i < fixed.start[present[k]! + 1]!; i++) {
        for (let j = 0; j < p; j++)
          this.normal[fixed.column[i]! * p + j]! += fixed.value[i]! * carried[k * p + j]!;
      }
    }
    return carried;
  }

  /** Puts a unit's join elsewhere. */
  moveJoin(unit: number, join: number): void {
    const { degree, columns: p } = this;
    const { column, members } = this.units[unit]!;
    const products = new Float64Array(p);
    this.withYield[column] = 0;
    for (const { group, places } of members) {
      const { carried } = group;
      const size = group.treatments.length;
      const hinge = Float64Array.from(
        places,
        (k) => -(Math.max(0, join - this.treatmentAt(group, k).u) ** degree),
      );
      for (let row = 0; row < size; row++) {
        let sum = 0;
        for (let i = 0; i < places.length; i++) sum += group.products[row * size + places[i]!]! * hinge[i]!;
        carried[row * p + column] = sum;
      }
      places.forEach((k, i) => {
        this.withYield[column]! += hinge[i]! * group.withYield[k]!;
        for (let j = 0; j < p; j++) products[j]! += hinge[i]! * carried[k * p + j]!;
      });
    }
    for (let j = 0; j < p; j++) {
      this.normal[column * p + j] = products[j]!;
      this.normal[j * p + column] = products[j]!;
    }
  }

  /** A unit's treatments by their rates. */
  private treatmentsByRate({ members }: SearchedUnit): Map<number, TreatmentOfUnit[]> {
    const powers = this.degree + 1;
    const all = members.flatMap(({ group, places }) => {
      const reached = new Float64Array(powers * group.treatments.length);
      return Array.from(places, (place): TreatmentOfUnit => ({ group, places, place, reached }));
    });
    return gather(all, ({ group, place }) => this.treatmentAt(group, place).u);
  }

  /** The other columns' normal equations, solved; null where these columns are not independent. */
  private withoutUnit(
    column: number,
  ): { factor: Float64Array; withYield: Float64Array; groupedSs: number } | null {
    const p = this.columns;
    // The unit's own column is made independent of everything else, so it has no effect.
    const normal = this.normal.slice();
    const withYield = this.withYield.slice();
    for (let j = 0; j < p; j++) {
      normal[column * p + j] = 0;
      normal[j * p + column] = 0;
    }
    normal[column * p + column] = 1;
    withYield[column] = 0;
    const factor = cholesky(normal, p);
    if (factor === null) return null;
    let groupedSs = this.weighted.squares;
    const solvedYield = solveCholesky(factor, p, withYield);
    for (let i = 0; i < p; i++) groupedSs -= withYield[i]! * solvedYield[i]!;
    return { factor, withYield, groupedSs };
  }

  /**
   * Products of a unit's hinge with itself and with y, as polynomials in its join, all other columns projected out.
   *
   * @returns joins run from 0 to 1 over the unit's tested rates; null where the other columns are not independent
   */
  stretchesOf(unit: number): HingeStretches | null {
    const { degree, columns: p } = this;
    const own = this.units[unit]!;
    const { rates, column } = own;
    const others = this.withoutUnit(column);
    if (others === null) return null;
    const { factor, withYield, groupedSs } = others;

    const lowest = rates[0]!;
    const range = rates[rates.length - 1]! - lowest;
    const byRate = this.treatmentsByRate(own);
    const powers = degree + 1;
    const count = rates.length - 2;
    const stretches: HingeStretches = {
      degree,
      count,
      ends: new Float64Array(count + 1).fill(1),
      products: new Float64Array(count * powers),
      squares: new Float64Array(count * (2 * degree + 1)),
      below: new Float64Array(count),
      groupedSs,
    };
    const below = this.nothingBelow(powers);
    for (let k = 0; k <= count; k++) {
      const v = (rates[k]! - lowest) / range;
      const power = [1, v, v * v];
      for (const one of byRate.get(rates[k]!) ?? []) this.addBelow(below, one, power);
      if (k === 0) continue;
      const { squares, withX, withY } = below;
      for (const q of withX) q[column] = 0;
      const solved = withX.map((q) => solveCholesky(factor, p, q));
      const square = (l: number, m: number): number => squares[l * powers + m]! - dot(withX[l]!, solved[m]!);
      const product = (l: number): number => withY[l]! - dot(solved[l]!, withYield);
      stretches.ends[k - 1] = v;
      stretches.below[k - 1] = below.strips;
      setPolynomials(stretches, k - 1, square, product);
    }
    return stretches;
  }

  private nothingBelow(powers: number): BelowJoin {
    return {
      squares: new Float64Array(powers * powers),
      withX: Array.from({ length: powers }, () => new Float64Array(this.columns)),
      withY: new Float64Array(powers),
      strips: 0,
    };
  }

  /** Takes one more treatment of the unit into the sums below the join; `power` holds the powers of its v. */
  private addBelow(
    below: BelowJoin,
    { group, places, place, reached: acc }: TreatmentOfUnit,
    power: number[],
  ): void {
    const p = this.columns;
    const { squares, withX, withY } = below;
    const powers = withY.length;
    const { products, withYield: yields, treatments: present, carried } = group;
    const size = present.length;
    const own = products[place * size + place]!;
    for (let l = 0; l < powers; l++) {
      for (let m = 0; m < powers; m++) {
        squares[l * powers + m]! +=
          power[l]! * acc[m * size + place]! +
          power[m]! * acc[l * size + place]! +
          power[l]! * power[m]! * own;
      }
      withY[l]! += power[l]! * yields[place]!;
      for (let j = 0; j < p; j++) withX[l]![j]! += power[l]! * carried[place * p + j]!;
    }
    for (let l = 0; l < powers; l++) {
      for (const other of places) acc[l * size + other]! += power[l]! * products[place * size + other]!;
    }
    below.strips += this.weighted.strips[present[place]!]!;
  }

  /** The join of least generalized residual sum of squares, in u; null where it cannot be found. */
  bestJoinOf(unit: number): number | null {
    const stretches = this.stretchesOf(unit);
    const { rates } = this.units[unit]!;
    return stretches === null
      ? null
      : rates[0]! + (rates[rates.length - 1]! - rates[0]!) * bestJoin(stretches);
  }
}

/** One treatment of a unit, by its place in its group. */
interface TreatmentOfUnit {
  group: SearchedGroup;
  /** Of all of the unit's treatments in the group. */
  places: Int32Array;
  place: number;
  /** V⁻¹ products of vˡ over those below the join, shared by the group. */
  reached: Float64Array;
}

/** Sums over a unit's treatments below the join, for powers l of v = (u − lowest)/range. */
interface BelowJoin {
  /** vˡ with vᵐ, with the fixed columns, and with y. */
  squares: Float64Array;
  withX: Float64Array[];
  withY: Float64Array;
  strips: number;
}

/**
 * Σ f y and Σ f² of stretch s as polynomials in the join.
 *
 * @param square   (l, m) → sum of products of vˡ and vᵐ below the join, other columns projected out
 * @param product  l → the same of vˡ and y
 */
function setPolynomials(
  stretches: HingeStretches,
  s: number,
  square: (l: number, m: number) => number,
  product: (l: number) => number,
): void {
  if (stretches.degree === 1) {
    stretches.products.set([-product(1), product(0)], 2 * s);
    stretches.squares.set([square(1, 1), -2 * square(0, 1), square(0, 0)], 3 * s);
  } else {
    stretches.products.set([product(2), -2 * product(1), product(0)], 3 * s);
    const middle = 2 * square(0, 2) + 4 * square(1, 1);
    stretches.squares.set([square(2, 2), -4 * square(1, 2), middle, -4 * square(0, 1), square(0, 0)], 5 * s);
  }
}
