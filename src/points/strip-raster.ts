/** Seeded ground as a fine grid: which strip each of its cells is of. */
import type { Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";
import type { Segment } from "./seeded-runs.ts";

/** Strip + 1 by cell of a fine grid; 0 where nothing was seeded, `severalStrips` where two passes of different strips overlap. */
export interface Raster {
  cellM: number;
  left: number;
  bottom: number;
  columns: number;
  rows: number;
  strip: Uint16Array;
}

export const stripAt = (
  { cellM, left, bottom, columns, rows, strip }: Raster,
  x: number,
  y: number,
): number => {
  const column = Math.floor((x - left) / cellM);
  const row = Math.floor((y - bottom) / cellM);
  return column < 0 || row < 0 || column >= columns || row >= rows ? -1 : strip[row * columns + column]! - 1;
};

const mostCells = 12_000_000;
const finestCellM = 0.15;
const cellsAcross = 80;
/** A pass is painted in straight pieces of this share of its width. */
const pieceShare = 1 / 3;

export interface Painting {
  /** Working width of each pass [m]. */
  fullM: Float64Array;
  /** Usual working width [m]. */
  widthM: number;
  /** Strip of each run; −1 for none. */
  stripOf: Int32Array;
}

/** A point is narrower than its pass below this share of the pass's width: some of the drill's sections were off. */
export const narrowerShare = 0.9;

/** Whether some of the drill's sections were off, and no column says which. */
export function isNarrower(
  { numbers: { swath, onFrom, onTo } }: PointCloud,
  i: number,
  fullM: number,
): boolean {
  const told = (onFrom?.[i] ?? NaN) >= 0 || (onTo?.[i] ?? NaN) >= 0;
  return !told && swath !== null && swath[i]! < narrowerShare * fullM;
}

/**
 * Each piece of a pass fills the cells within half a working width of it; the nearest pass, in widths, has the cell.
 *
 * Where sections were off, only the part that was on is filled. Where no column says which were off, what an earlier pass
 * has seeded is left to it: that is what sections are switched off for.
 */
export function paint(
  cloud: PointCloud,
  passes: Passes,
  segments: readonly Segment[],
  { fullM, widthM, stripOf }: Painting,
): Raster {
  const raster = emptyRaster(cloud, passes, segments, Math.max(widthM, ...fullM), widthM);
  const distance = new Float32Array(raster.strip.length).fill(Infinity);
  const { time } = cloud.numbers;
  const begun = ({ from }: Segment): number => time?.[passes.order[from]!] ?? from;
  const inOrder = [...segments.entries()].sort(([, a], [, b]) => begun(a) - begun(b));
  for (const [s, segment] of inOrder)
    for (const piece of piecesOf(cloud, passes, segment, fullM[segment.pass]!, widthM))
      fill(raster, distance, piece, stripOf[s]! + 1);
  return raster;
}

/** Grid of the ground that the runs lie in, with nothing in it. */
function emptyRaster(
  cloud: PointCloud,
  passes: Passes,
  segments: readonly Segment[],
  widestM: number,
  widthM: number,
): Raster {
  const { x, y } = cloud.numbers;
  let [left, right, bottom, top] = [Infinity, -Infinity, Infinity, -Infinity];
  let reach = 0;
  for (const { from, to, before, after } of segments) {
    reach = Math.max(reach, before, after);
    for (let k = from; k <= to; k++) {
      const i = passes.order[k]!;
      left = Math.min(left, x![i]!);
      right = Math.max(right, x![i]!);
      bottom = Math.min(bottom, y![i]!);
      top = Math.max(top, y![i]!);
    }
  }
  if (segments.length === 0) [left, right, bottom, top] = [0, 1, 0, 1];
  const border = widestM / 2 + reach;
  [left, bottom] = [left - border, bottom - border];
  const [across, up] = [right + border - left, top + border - bottom];
  const cellM = Math.max(finestCellM, widthM / cellsAcross, Math.sqrt((across * up) / mostCells));
  const columns = Math.ceil(across / cellM) + 1;
  const rows = Math.ceil(up / cellM) + 1;
  return { cellM, left, bottom, columns, rows, strip: new Uint16Array(columns * rows) };
}

/** A straight piece of a pass: where it begins, its course, and what is seeded to its sides [m]. */
interface Piece {
  x: number;
  y: number;
  cos: number;
  sin: number;
  length: number;
  /** Half the width of the pass. */
  half: number;
  /** Edges of what was on, left of the course above 0. */
  leftM: number;
  rightM: number;
  /** Whether ground that has been seeded stays as it is. */
  spares: boolean;
}

function* piecesOf(
  cloud: PointCloud,
  passes: Passes,
  { from, to, before, after }: Segment,
  fullM: number,
  widthM: number,
): Generator<Piece> {
  const { x, y, onFrom, onTo } = cloud.numbers;
  let next = from;
  for (let k = from; k < to; k = next) {
    do next++;
    while (next < to && passes.along[next]! - passes.along[k]! < pieceShare * widthM);
    const [a, b] = [passes.order[k]!, passes.order[next]!];
    let [ax, ay, bx, by] = [x![a]!, y![a]!, x![b]!, y![b]!];
    let length = Math.hypot(bx - ax, by - ay);
    if (length < 0.05) continue;
    const [cos, sin] = [(bx - ax) / length, (by - ay) / length];
    if (k === from) [ax, ay, length] = [ax - before * cos, ay - before * sin, length + before];
    if (next === to) [bx, by, length] = [bx + after * cos, by + after * sin, length + after];
    const share = (values: Float64Array | null, otherwise: number): number => {
      const value = values?.[a] ?? NaN;
      return value === value ? value : otherwise;
    };
    yield {
      x: ax,
      y: ay,
      cos,
      sin,
      length,
      half: fullM / 2,
      leftM: fullM * (0.5 - share(onFrom, 0)),
      rightM: fullM * (0.5 - share(onTo, 1)),
      spares: isNarrower(cloud, a, fullM),
    };
  }
}

function fill(raster: Raster, distance: Float32Array, piece: Piece, value: number): void {
  const { cellM, left, bottom, columns, rows, strip } = raster;
  const { x, y, cos, sin, length, half, leftM, rightM, spares } = piece;
  const [bx, by] = [x + length * cos, y + length * sin];
  const [besideX, besideY] = [half * Math.abs(sin) + cellM, half * Math.abs(cos) + cellM];
  const from0 = Math.max(0, Math.floor((Math.min(y, by) - besideY - bottom) / cellM));
  const to0 = Math.min(rows - 1, Math.ceil((Math.max(y, by) + besideY - bottom) / cellM));
  const left0 = Math.max(0, Math.floor((Math.min(x, bx) - besideX - left) / cellM));
  const right0 = Math.min(columns - 1, Math.ceil((Math.max(x, bx) + besideX - left) / cellM));
  for (let row = from0; row <= to0; row++) {
    const dy = bottom + (row + 0.5) * cellM - y;
    // Of a slanting piece a row crosses a part of its box alone.
    const [middle, part] =
      Math.abs(sin) < 0.01 ? [0, Infinity] : [(dy * cos) / sin, half / Math.abs(sin) + cellM];
    const first = Math.max(left0, Math.floor((x + middle - part - left) / cellM));
    const last = Math.min(right0, Math.ceil((x + middle + part - left) / cellM));
    for (let column = first; column <= last; column++) {
      const dx = left + (column + 0.5) * cellM - x;
      const along = dx * cos + dy * sin;
      if (along < -cellM || along > length + cellM) continue;
      const aside = dy * cos - dx * sin;
      const lateral = Math.abs(aside) / half;
      const cell = row * columns + column;
      if (aside > leftM || aside < rightM || lateral >= distance[cell]!) continue;
      if (spares && strip[cell] !== 0 && strip[cell] !== value) continue;
      distance[cell] = lateral;
      strip[cell] = value;
    }
  }
}
