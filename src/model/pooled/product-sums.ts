/** Sums of products by row and column of a symmetric table that is mostly empty. */

/** Entries that were touched, by row and column. */
export interface SparseSums {
  row: Int32Array;
  column: Int32Array;
  value: Float64Array;
}

/** Adds up products by row and column, row ≥ column; only what was touched is kept. Small orders use a table, large a map. */
export class ProductSums {
  private order = 0;
  private table = new Float64Array(0);
  private touched = new Uint8Array(0);
  private readonly keys: number[] = [];
  private readonly map = new Map<number, number>();

  /** Starts again for a group with this many rows and columns. */
  begin(order: number): void {
    this.order = order;
    if (order <= largestTable && this.table.length < order * order) {
      this.table = new Float64Array(order * order);
      this.touched = new Uint8Array(order * order);
    }
  }

  /** Adds to the sum of one pair of terms, in whichever order they are named. */
  add(a: number, b: number, product: number): void {
    const key = a >= b ? a * this.order + b : b * this.order + a;
    if (this.order <= largestTable) {
      if (this.touched[key] === 0) {
        this.touched[key] = 1;
        this.keys.push(key);
      }
      this.table[key]! += product;
    } else this.map.set(key, (this.map.get(key) ?? 0) + product);
  }

  /** The sums by row and column, in order; forgets them. */
  take(): SparseSums & { keys: Float64Array } {
    const { order, table, touched, map } = this;
    const small = order <= largestTable;
    const keys = Float64Array.from(small ? this.keys : map.keys()).sort();
    const sums = {
      keys,
      row: Int32Array.from(keys, (key) => Math.floor(key / order)),
      column: Int32Array.from(keys, (key) => key % order),
      value: Float64Array.from(keys, (key) => (small ? table[key]! : map.get(key)!)),
    };
    for (const key of this.keys) {
      table[key] = 0;
      touched[key] = 0;
    }
    this.keys.length = 0;
    map.clear();
    return sums;
  }
}

const largestTable = 600;
