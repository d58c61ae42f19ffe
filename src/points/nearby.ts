/** Points by place: those near another are found without looking at all. */

/** At most so many points of a cell are kept: where a machine stood, thousands say no more than a few. */
const mostInCell = 64;

export class Nearby {
  readonly #x: Float64Array;
  readonly #y: Float64Array;
  readonly #cellM: number;
  readonly #cells = new Map<number, number[]>();

  /** @param members indices of the points to be found */
  constructor(x: Float64Array, y: Float64Array, members: Iterable<number>, cellM: number) {
    [this.#x, this.#y, this.#cellM] = [x, y, cellM];
    for (const i of members) {
      const key = this.#key(Math.floor(x[i]! / cellM), Math.floor(y[i]! / cellM));
      const cell = this.#cells.get(key);
      if (cell === undefined) this.#cells.set(key, [i]);
      else if (cell.length < mostInCell) cell.push(i);
    }
  }

  #key(column: number, row: number): number {
    return column * 67_108_864 + row;
  }

  /** Calls `take` with every point in the cells around a place; all within `cellM` are among them. */
  around(x: number, y: number, take: (point: number, distanceSquared: number) => void): void {
    const [column, row] = [Math.floor(x / this.#cellM), Math.floor(y / this.#cellM)];
    for (let c = column - 1; c <= column + 1; c++) {
      for (let r = row - 1; r <= row + 1; r++) {
        for (const i of this.#cells.get(this.#key(c, r)) ?? []) {
          const [dx, dy] = [this.#x[i]! - x, this.#y[i]! - y];
          take(i, dx * dx + dy * dy);
        }
      }
    }
  }
}
