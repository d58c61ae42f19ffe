/** When each row was logged: its time, with the date of another column where it names none; and times too coarse for points. */
import { dayComesFirst, isClock, parseSeconds } from "./clock.ts";
import { middleOf } from "./middle.ts";
import type { Rows } from "./point-rows.ts";
import type { PointCloud } from "./point-cloud.ts";

/**
 * @param timeAt column of the time, and of the date; undefined where there is none
 * @returns seconds of a row, NaN where it says none; null where there is no such column
 */
export function timeOfRows(
  rows: Rows,
  timeAt: number | undefined,
  dateAt: number | undefined,
): ((cells: readonly string[]) => number) | null {
  const at = timeAt ?? dateAt;
  if (at === undefined) return null;
  const dayFirst = isDayFirst(rows, [timeAt, dateAt]);
  return (cells) => {
    const text = cells[at] ?? "";
    const date = dateAt === undefined || !isClock(text) ? "" : (cells[dateAt] ?? "").trim();
    return parseSeconds(date === "" ? text : `${date.replace(/[T ].*$/, "")} ${text}`, dayFirst);
  };
}

/** Dates with slashes, 20/8/2026 or 8/20/2026: the first that can be read in one way only decides; where there is none, the month comes first. */
function isDayFirst(rows: Rows, columns: readonly (number | undefined)[]): boolean {
  const at = columns.filter((one) => one !== undefined);
  let told: boolean | null = null;
  let rowsSeen = 0;
  let isSlashed = false;
  rows.forEach((cells) => {
    // Nine of ten files have no such date: their first rows tell.
    if (told !== null || (rowsSeen++ > 20 && !isSlashed)) return;
    for (const one of at) {
      const text = cells[one] ?? "";
      isSlashed ||= /^\d\d?[/-]\d\d?[/-]\d/.test(text);
      if (isSlashed) told ??= dayComesFirst(text);
    }
  });
  return told ?? false;
}

/** Steps of time that logs are cut to where seconds, or parts of them, are lost [s]. */
const cutTo = [1, 60];
/** Times are too coarse where more than this share of points have the time of the point before. */
const shared = 0.5;

/**
 * Where several points share each second, or each minute, they are spread evenly over it, in place.
 *
 * @returns what times were cut to [s]; null where they are fine enough
 */
export function spreadTimes({
  count,
  numbers: { time },
  names: { section },
  file,
}: PointCloud): number | null {
  if (time === null) return null;
  const rows = new Map<number, number[]>();
  for (let i = 0; i < count; i++) {
    if (time[i] !== time[i]) continue;
    const key = (section?.[i] ?? 0) * 65_536 + file[i]!;
    const group = rows.get(key);
    if (group === undefined) rows.set(key, [i]);
    else group.push(i);
  }
  const steps: number[] = [];
  let [same, all] = [0, 0];
  for (const group of rows.values())
    for (let g = 1; g < group.length; g++) {
      const step = time[group[g]!]! - time[group[g - 1]!]!;
      all++;
      if (step === 0) same++;
      else if (step > 0) steps.push(step);
    }
  const step = middleOf(steps);
  if (same <= shared * all || !cutTo.includes(step)) return null;
  for (const group of rows.values()) spreadGroup(group, time, step);
  return step;
}

function spreadGroup(group: readonly number[], time: Float64Array, step: number): void {
  const runs: { from: number; to: number; at: number }[] = [];
  group.forEach((i, g) => {
    const last = runs.at(-1);
    if (last !== undefined && last.at === time[i]) last.to = g;
    else runs.push({ from: g, to: g, at: time[i]! });
  });
  const usual = step / middleOf(runs.map(({ from, to }) => to - from + 1));
  runs.forEach(({ from, to, at }, r) => {
    const points = to - from + 1;
    const each = Math.min(usual, step / points);
    // What begins within a step ends with it; else it begins with it.
    const begins = runs[r - 1]?.at === at - step ? at : at + step - points * each;
    for (let g = from; g <= to; g++) time[group[g]!] = begins + (g - from) * each;
  });
}
