/** Points by place: those near another are found without looking at all. */

/** At most so many points of a cell are kept: where a machine stood, thousands say no more than a few. */
const mostInCell = 64;
/** Where points lie far apart, cells are larger, so that there are no more than this. */
const mostCells = 4_000_000;

export class Nearby {
  readonly #x: Float64Array;
  readonly #y: Float64Array;
  readonly #cellM: number;
  readonly #columns: number;
  readonly #rows: number;
  readonly #left: number;
  readonly #bottom: number;
  /** Where the points of each cell begin in `#points`; its last holds their number. */
  readonly #begins: Uint32Array;
  readonly #points: Uint32Array;

  /** @param members indices of the points to be found */
  constructor(x: Float64Array, y: Float64Array, members: ArrayLike<number>, cellM: number) {
    [this.#x, this.#y] = [x, y];
    let [left, right, bottom, top] = [Infinity, -Infinity, Infinity, -Infinity];
    for (let m = 0; m < members.length; m++) {
      const i = members[m]!;
      left = Math.min(left, x[i]!);
      right = Math.max(right, x[i]!);
      bottom = Math.min(bottom, y[i]!);
      top = Math.max(top, y[i]!);
    }
    if (members.length === 0) [left, right, bottom, top] = [0, 0, 0, 0];
    this.#cellM = Math.max(cellM, Math.sqrt(((right - left) * (top - bottom)) / mostCells));
    [this.#left, this.#bottom] = [left, bottom];
    this.#columns = Math.floor((right - left) / this.#cellM) + 1;
    this.#rows = Math.floor((top - bottom) / this.#cellM) + 1;
    const most = mostInCell * (this.#cellM / cellM) ** 2;
    const counts = new Uint32Array(this.#columns * this.#rows + 1);
    const cellOf = new Int32Array(members.length).fill(-1);
    for (let m = 0; m < members.length; m++) {
      const cell =
        this.#row(y[members[m]!]!) * this.#columns + Math.floor((x[members[m]!]! - left) / this.#cellM);
      if (counts[cell]! >= most) continue;
      counts[cell]!++;
      cellOf[m] = cell;
    }
    let before = 0;
    for (let cell = 0; cell < counts.length; cell++) {
      const own = counts[cell]!;
      counts[cell] = before;
      before += own;
    }
    this.#begins = counts;
    this.#points = new Uint32Array(before);
    const filled = counts.slice();
    for (let m = 0; m < members.length; m++)
      if (cellOf[m]! >= 0) this.#points[filled[cellOf[m]!]!++] = members[m]!;
  }

  #row(y: number): number {
    return Math.floor((y - this.#bottom) / this.#cellM);
  }

  /**
   * Calls `take` with every point in the cells around a place; all within `cellM` are among them.
   *
   * @param within  squared distance beyond which points are skipped; what `take` returns is the next one's
   */
  around(
    x: number,
    y: number,
    take: (point: number, distanceSquared: number) => number | void,
    within = Infinity,
  ): void {
    let limit = within;
    const [xs, ys, points] = [this.#x, this.#y, this.#points];
    const column = Math.floor((x - this.#left) / this.#cellM);
    const row = this.#row(y);
    const [first, last] = [Math.max(0, column - 1), Math.min(this.#columns - 1, column + 1)];
    if (first > last) return;
    for (let r = Math.max(0, row - 1); r <= Math.min(this.#rows - 1, row + 1); r++) {
      const end = this.#begins[r * this.#columns + last + 1]!;
      for (let at = this.#begins[r * this.#columns + first]!; at < end; at++) {
        const i = points[at]!;
        const dx = xs[i]! - x;
        const dy = ys[i]! - y;
        const distanceSquared = dx * dx + dy * dy;
        if (distanceSquared > limit) continue;
        limit = take(i, distanceSquared) ?? limit;
      }
    }
  }
}
