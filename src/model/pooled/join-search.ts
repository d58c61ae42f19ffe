/**
 * The best common join of a plateau form over all seasons, at known variances.
 *
 * With everything but one join known, the generalized residual sum of squares is, between neighbouring tested rates, a
 * ratio of polynomials in the join, exactly as for one environment alone; only the products are weighted by V⁻¹ and
 * summed over environments. So each join is found over its whole range, and joins are taken in turn until none moves.
 */
import { dot } from "../../maths/dot.ts";
import { cholesky, solveCholesky } from "../../maths/cholesky.ts";
import { bestJoin } from "../../maths/hinge.ts";
import type { HingeDegree, HingeStretches } from "../../maths/hinge.ts";
import type { FormColumns, ResponseUnit } from "./pooled-forms.ts";
import type { WeightedSums } from "./treatment-sums.ts";
import type { Treatment } from "./trial-layout.ts";

/** The generalized least squares of a plateau form, as its joins move. */
export class JoinSearch {
  private readonly weighted: WeightedSums;
  private readonly treatments: Treatment[];
  private readonly units: ResponseUnit[];
  private readonly degree: HingeDegree;
  private readonly first: number[];
  private readonly columns: number;
  /** Per group C'V⁻¹X, one row a treatment. */
  private readonly carried: Float64Array[];
  /** X'V⁻¹X, full, and X'V⁻¹y. */
  private readonly normal: Float64Array;
  private readonly withYield: Float64Array;
  /** Per unit and group, the unit's treatments as places in the group. */
  private readonly members: Int32Array[][];

  /** @param form  the columns at the joins to begin with */
  constructor(
    weighted: WeightedSums,
    treatments: Treatment[],
    form: FormColumns,
    units: ResponseUnit[],
    degree: HingeDegree,
  ) {
    const { fixed } = form;
    const p = fixed.count;
    this.weighted = weighted;
    this.treatments = treatments;
    this.units = units;
    this.degree = degree;
    this.first = form.first;
    this.columns = p;
    this.normal = new Float64Array(p * p);
    this.withYield = new Float64Array(p);
    const unitOf = new Map(units.flatMap((unit, i) => unit.varieties.map((variety) => [variety, i])));
    this.members = units.map(() => weighted.groups.map(() => new Int32Array(0)));
    this.carried = weighted.groups.map(({ treatments: present, products, withYield }, g) => {
      const size = present.length;
      const carried = new Float64Array(size * p);
      const places: number[][] = units.map(() => []);
      for (let k = 0; k < size; k++) {
        places[unitOf.get(treatments[present[k]!]!.variety)!]!.push(k);
        for (let i = fixed.start[present[k]!]!; i < fixed.start[present[k]! + 1]!; i++) {
          const column = fixed.column[i]!;
          const value = fixed.value[i]!;
          this.withYield[column]! += value * withYield[k]!;
          for (let row = 0; row < size; row++)
            carried[row * p + column]! += products[row * size + k]! * value;
        }
      }
      for (let k = 0; k < size; k++) {
        for (let i = fixed.start[present[k]!]!; i < fixed.start[present[k]! + 1]!; i++) {
          for (let j = 0; j < p; j++)
            this.normal[fixed.column[i]! * p + j]! += fixed.value[i]! * carried[k * p + j]!;
        }
      }
      places.forEach((list, unit) => (this.members[unit]![g] = Int32Array.from(list)));
      return carried;
    });
  }

  /** Puts a unit's join elsewhere. */
  moveJoin(unit: number, join: number): void {
    const { weighted, treatments, degree, columns: p } = this;
    const column = this.first[unit]!;
    const products = new Float64Array(p);
    this.withYield[column] = 0;
    weighted.groups.forEach((group, g) => {
      const size = group.treatments.length;
      const carried = this.carried[g]!;
      const members = this.members[unit]![g]!;
      const hinge = Float64Array.from(
        members,
        (k) => -(Math.max(0, join - treatments[group.treatments[k]!]!.u) ** degree),
      );
      for (let row = 0; row < size; row++) {
        let sum = 0;
        for (let i = 0; i < members.length; i++) sum += group.products[row * size + members[i]!]! * hinge[i]!;
        carried[row * p + column] = sum;
      }
      members.forEach((k, i) => {
        this.withYield[column]! += hinge[i]! * group.withYield[k]!;
        for (let j = 0; j < p; j++) products[j]! += hinge[i]! * carried[k * p + j]!;
      });
    });
    for (let j = 0; j < p; j++) {
      this.normal[column * p + j] = products[j]!;
      this.normal[j * p + column] = products[j]!;
    }
  }

  /** For each rate of a unit, the positions of its treatments. */
  private treatmentsByRate(unit: number): { group: number; place: number }[][] {
    const { rates } = this.units[unit]!;
    const rateNumber = new Map(rates.map((rate, k) => [rate, k]));
    const byRate: { group: number; place: number }[][] = rates.map(() => []);
    this.weighted.groups.forEach(({ treatments: present }, group) => {
      for (const place of this.members[unit]![group]!)
        byRate[rateNumber.get(this.treatments[present[place]!]!.u)!]!.push({ group, place });
    });
    return byRate;
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
    const { rates } = this.units[unit]!;
    const column = this.first[unit]!;
    const others = this.withoutUnit(column);
    if (others === null) return null;
    const { factor, withYield, groupedSs } = others;

    const lowest = rates[0]!;
    const range = rates[rates.length - 1]! - lowest;
    const byRate = this.treatmentsByRate(unit);
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
      for (const { group, place } of byRate[k]!) this.addBelow(below, unit, group, place, power);
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
      reached: this.weighted.groups.map(({ treatments }) => new Float64Array(powers * treatments.length)),
      squares: new Float64Array(powers * powers),
      withX: Array.from({ length: powers }, () => new Float64Array(this.columns)),
      withY: new Float64Array(powers),
      strips: 0,
    };
  }

  /** Takes one more treatment of the unit into the sums below the join; `power` holds the powers of its v. */
  private addBelow(below: BelowJoin, unit: number, group: number, place: number, power: number[]): void {
    const p = this.columns;
    const { squares, withX, withY } = below;
    const powers = withY.length;
    const { products, withYield: yields, treatments: present } = this.weighted.groups[group]!;
    const size = present.length;
    const carried = this.carried[group]!;
    const acc = below.reached[group]!;
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
      for (const other of this.members[unit]![group]!)
        acc[l * size + other]! += power[l]! * products[place * size + other]!;
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

/** Sums over a unit's treatments below the join, for powers l of v = (u − lowest)/range. */
interface BelowJoin {
  /** By group: V⁻¹ products of vˡ. */
  reached: Float64Array[];
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
