/** The strips that the drill sowed, in the order in which they lie, with the rows of the field's sheet. */
import {
  headlandsSeen,
  noOverlap,
  noStripsSeeded,
  sheetEitherWay,
  sheetUnmatched,
} from "../messages/harvest.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import type { Finding } from "../vocabulary/trial.ts";
import { matchSheet, type SheetRow } from "./field-sheet.ts";
import { namesOf, type Machine, type Machines } from "./machines.ts";
import { middleOf } from "./middle.ts";
import type { PointCloud } from "./point-cloud.ts";
import { directionOf, seededGround, type SeededGround } from "./seeded-ground.ts";
import { stripAt } from "./strip-raster.ts";

export interface SownStrips {
  ground: SeededGround;
  /** Strips of the ground as they lie side by side. */
  order: number[];
  /** Row of the sheet for each in order; null where there is no sheet, or none that fits. */
  rows: (SheetRow | null)[] | null;
}

/**
 * @param sheet     the field's sheet with its rows
 * @param findings  what is doubtful is added
 * @throws TrialError where no strips were sown, or the combine was nowhere on them
 */
export function sownStrips(
  { combine, drill, swapped }: Machines,
  sheet: { file: InputFile; rows: SheetRow[] } | null,
  findings: Finding[],
): SownStrips {
  const sown = groundWithSheet(drill, sheet, findings);
  const { ground } = sown;
  if (ground.strips.length === 0) throw noStripsSeeded(namesOf(drill.read));
  if (ground.acrossRuns > 0) findings.push(headlandsSeen(namesOf(drill.read), ground.acrossRuns));
  if (!meets(combine.read.cloud, ground))
    throw noOverlap(namesOf(combine.read), namesOf(drill.read), swapped);
  return sown;
}

function meets(cloud: PointCloud, ground: SeededGround): boolean {
  const every = Math.max(1, Math.floor(cloud.count / 20_000));
  for (let i = 0; i < cloud.count; i += every)
    if (stripAt(ground.raster, cloud.numbers.x![i]!, cloud.numbers.y![i]!) >= 0) return true;
  return false;
}

function groundWithSheet(
  { read: { cloud }, passes, widthM, fullM }: Machine,
  sheet: { file: InputFile; rows: SheetRow[] } | null,
  findings: Finding[],
): SownStrips {
  const joined = seededGround(cloud, passes, widthM, true, fullM);
  const order = acrossField(joined);
  if (sheet === null) return { ground: joined, order, rows: null };
  const { file, rows } = sheet;
  // Neighbours that were seeded alike hang together; a sheet that lists them one by one parts them.
  for (const ground of [joined, seededGround(cloud, passes, widthM, false, fullM)]) {
    const inOrder = ground === joined ? order : acrossField(ground);
    const strips = inOrder.map((s) => ground.strips[s]!);
    const match = matchSheet(
      strips.map(({ rate }) => rate),
      strips.map(({ variety }) => variety),
      rows,
    );
    if (match.kind === "unmatched") continue;
    if (match.eitherWay) findings.push(sheetEitherWay(file.name));
    return {
      ground,
      order: match.turned ? inOrder.reverse() : inOrder,
      rows: match.turned ? match.rows.reverse() : match.rows,
    };
  }
  findings.push(sheetUnmatched(file.name, joined.strips.length, rows.length));
  return { ground: joined, order, rows: null };
}

/** Strips in the order in which they lie: side by side from the west or the south, row behind row where there are several. */
function acrossField(ground: SeededGround): number[] {
  const direction = directionOf(ground);
  const [cos, sin] = [Math.cos(direction), Math.sin(direction)];
  const toward = -sin + cos * 1e-9 >= 0 ? 1 : -1;
  const along = ground.strips.map(({ x, y }) => x * cos + y * sin);
  const across = ground.strips.map(({ x, y }) => toward * (-x * sin + y * cos));
  // Rows of strips: middles farther apart along than half a strip are of different rows.
  const byAlong = ground.strips.map((_, s) => s).sort((a, b) => along[a]! - along[b]!);
  const tier = new Array<number>(ground.strips.length).fill(0);
  const half = 0.5 * middleOf(ground.strips.map(({ lengthM }) => lengthM));
  let [at, first] = [0, along[byAlong[0] ?? 0] ?? 0];
  for (const s of byAlong) {
    if (along[s]! - first > half) [at, first] = [at + 1, along[s]!];
    tier[s] = at;
  }
  return ground.strips.map((_, s) => s).sort((a, b) => tier[a]! - tier[b]! || across[a]! - across[b]!);
}
