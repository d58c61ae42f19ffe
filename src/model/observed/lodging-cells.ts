/** Lodging scores as cells: all strips with the same environment, variety and rate make one. */
import { environmentId } from "../../vocabulary/environments.ts";
import { poolingScale } from "../../numbers/lodging-scales.ts";
import type { LogitCells } from "../../maths/grouped-logit.ts";
import type { LodgingScale, Strip } from "../../vocabulary/trial.ts";

/** A strip that was scored for lodging, in the numbers of its scale's table. */
export interface LodgingCell {
  environment: number;
  variety: number;
  rateSeedsPerM2: number;
  strips: number;
  sum: number;
  sumOfSquares: number;
  sumOfEntropy: number;
}

/** All cells of scores that may be pooled. Environments and varieties are sorted by name. */
export interface LodgingTable {
  scale: LodgingScale;
  strips: number;
  environments: { id: string; season: number }[];
  varieties: string[];
  cells: LodgingCell[];
  /** The strips themselves, each with a score. */
  scored: readonly Strip[];
}

const entropy = (y: number): number => (y <= 0 || y >= 1 ? 0 : y * Math.log(y) + (1 - y) * Math.log(1 - y));

/** One table for each scale, or set of scales, that may be pooled. Linear in the strips. */
export function tabulateLodging(strips: readonly Strip[]): LodgingTable[] {
  const byScale = new Map<LodgingScale, Strip[]>();
  for (const strip of strips) {
    if (strip.lodging === null) continue;
    const scale = poolingScale(strip.lodging.scale);
    const others = byScale.get(scale);
    if (others === undefined) byScale.set(scale, [strip]);
    else others.push(strip);
  }
  return [...byScale.keys()].sort().map((scale) => tabulate(scale, byScale.get(scale)!));
}

function tabulate(scale: LodgingScale, strips: readonly Strip[]): LodgingTable {
  const seasons = new Map<string, number>();
  const ids = strips.map((strip) => {
    const id = environmentId(strip);
    seasons.set(id, strip.season);
    return id;
  });
  const environments = [...seasons.keys()].sort();
  const varieties = [...new Set(strips.map((strip) => strip.variety))].sort();
  const environmentNumber = new Map(environments.map((id, i) => [id, i]));
  const varietyNumber = new Map(varieties.map((variety, i) => [variety, i]));

  const cells = new Map<string, LodgingCell>();
  strips.forEach((strip, i) => {
    const environment = environmentNumber.get(ids[i]!)!;
    const variety = varietyNumber.get(strip.variety)!;
    const share = strip.lodging!.share;
    const key = `${environment} ${variety} ${strip.rateSeedsPerM2}`;
    let cell = cells.get(key);
    if (cell === undefined) {
      cell = {
        environment,
        variety,
        rateSeedsPerM2: strip.rateSeedsPerM2,
        strips: 0,
        sum: 0,
        sumOfSquares: 0,
        sumOfEntropy: 0,
      };
      cells.set(key, cell);
    }
    cell.strips++;
    cell.sum += share;
    cell.sumOfSquares += share * share;
    cell.sumOfEntropy += entropy(share);
  });
  return {
    scale,
    strips: strips.length,
    scored: strips,
    environments: environments.map((id) => ({ id, season: seasons.get(id)! })),
    varieties,
    cells: [...cells.values()].sort(
      (a, b) => a.environment - b.environment || a.variety - b.variety || a.rateSeedsPerM2 - b.rateSeedsPerM2,
    ),
  };
}

/** The terms of one cell: which column, and its value. */
export type Terms = readonly (readonly [column: number, value: number])[];

/**
 * Cells and their terms as `maths/grouped-logit.ts` takes them.
 *
 * @param nesting  for each level of groups, finest first, the name of a cell's group; groups are numbered as they come
 */
export function toLogitCells(
  cells: readonly LodgingCell[],
  columns: number,
  nesting: readonly ((cell: LodgingCell) => string | number)[],
  termsOf: (cell: LodgingCell) => Terms,
): LogitCells {
  const units = nesting.map((nameOf) => {
    const numbers = new Map<string | number, number>();
    return Int32Array.from(cells, (cell) => {
      const name = nameOf(cell);
      const number = numbers.get(name) ?? numbers.size;
      if (number === numbers.size) numbers.set(name, number);
      return number;
    });
  });
  const [first] = cells;
  const termsPerCell = first === undefined ? 0 : termsOf(first).length;
  const column = new Int32Array(cells.length * termsPerCell);
  const value = new Float64Array(column.length);
  let next = 0;
  for (const cell of cells) for (const term of termsOf(cell)) [column[next], value[next++]] = term;
  return {
    columns,
    levels: units.map((unit, level) => {
      const above = units[level + 1];
      const count = unit.reduce((most, number) => Math.max(most, number + 1), 0);
      const parent = new Int32Array(above === undefined ? 0 : count);
      if (above !== undefined) unit.forEach((number, cell) => (parent[number] = above[cell]!));
      return { units: count, parent };
    }),
    unit: units[0]!,
    count: Float64Array.from(cells, (cell) => cell.strips),
    mean: Float64Array.from(cells, (cell) => cell.sum / cell.strips),
    sumOfSquares: Float64Array.from(cells, (cell) => cell.sumOfSquares),
    sumOfEntropy: Float64Array.from(cells, (cell) => cell.sumOfEntropy),
    termsPerCell,
    column,
    value,
  };
}
