/** What came in at each point → grain per area at the point's own place. */
import { atMarketMoisture } from "../numbers/units.ts";
import type { Passes } from "./passes.ts";
import type { PointCloud } from "./point-cloud.ts";

export interface Measured {
  /** What is put later by the delay: yield [kg/ha], flow [kg/s] or grain of the point [kg], by place in `order`. */
  signal: Float64Array;
  kind: "yield" | "flow" | "mass";
}

export function measured(cloud: PointCloud, passes: Passes): Measured | null {
  const { flow, mass, dryYield, wetYield } = cloud.numbers;
  const values = dryYield ?? wetYield ?? flow ?? mass;
  if (values === null) return null;
  const signal = new Float64Array(cloud.count);
  passes.order.forEach((i, k) => {
    signal[k] = values[i]!;
  });
  return { signal, kind: values === flow ? "flow" : values === mass ? "mass" : "yield" };
}

/** The signal that belongs to a place: what came in `seconds` later in the same unbroken sequence, NaN where it ended. */
export function putBack(
  cloud: PointCloud,
  passes: Passes,
  signal: Float64Array,
  seconds: number,
): Float64Array {
  const { time } = cloud.numbers;
  if (seconds === 0 || time === null) return signal;
  const { order, sequence } = passes;
  const back = new Float64Array(signal.length).fill(NaN);
  let j = 0;
  for (let k = 0; k < signal.length; k++) {
    if (k === 0 || sequence[k] !== sequence[k - 1]) j = k;
    const wanted = time[order[k]!]! + seconds;
    while (j > 0 && sequence[j - 1] === sequence[k] && time[order[j]!]! > wanted) j--;
    while (j + 1 < signal.length && sequence[j + 1] === sequence[k] && time[order[j + 1]!]! <= wanted) j++;
    const last = j + 1 >= signal.length || sequence[j + 1] !== sequence[k];
    // The point nearest in time, and no mean of two: a bad one would spoil its neighbours.
    const t0 = time[order[j]!]!;
    const t1 = last ? Infinity : time[order[j + 1]!]!;
    const nearest = wanted - t0 <= t1 - wanted ? j : j + 1;
    if (Math.abs(time[order[nearest]!]! - wanted) <= 0.75 * passes.stepS) back[k] = signal[nearest]!;
  }
  return back;
}

export interface PointYields {
  /** By place in `order`, the delay taken off, as wet as the signal is [kg/ha]. */
  yields: Float64Array;
  /** Ground that a point stands for [m²]. */
  areaM2: Float64Array;
  metresPerSecond: Float64Array;
}

/**
 * A flow over a time is a mass, as a point may say itself, and a mass over way × width a yield; a yield that was logged is one already.
 *
 * Way and time of a point are those of its own columns, else those since the point before.
 *
 * @param widthM cut where the point does not say its own
 */
export function pointYields(
  cloud: PointCloud,
  passes: Passes,
  { signal, kind }: Measured,
  widthM: number,
  delayS: number,
): PointYields {
  const { order, sequence } = passes;
  const { time, distance, swath, seconds, speed } = cloud.numbers;
  const { count } = cloud;
  const stepTo = stepsByPlace(cloud, passes);
  const shifted = putBack(cloud, passes, signal, delayS);
  const [yields, areaM2] = [new Float64Array(count), new Float64Array(count)];
  const metresPerSecond = new Float64Array(count).fill(NaN);
  for (let k = 0; k < count; k++) {
    const i = order[k]!;
    const joined = k > 0 && sequence[k] === sequence[k - 1];
    const timed = seconds?.[i] ?? (joined && time !== null ? time[i]! - time[order[k - 1]!]! : passes.stepS);
    const way = distance?.[i] ?? stepTo(k, timed);
    const since = timed === timed ? timed : way / (speed?.[i] ?? NaN);
    const width = swath?.[i] ?? NaN;
    areaM2[k] = Math.max(0, way === way ? way : passes.stepM) * (width === width ? width : widthM);
    const perHa = 10_000 / areaM2[k]!;
    yields[k] = shifted[k]! * (kind === "yield" ? 1 : kind === "flow" ? since * perHa : perHa);
    metresPerSecond[k] = speed?.[i] ?? NaN;
    if (metresPerSecond[k] !== metresPerSecond[k] && since > 0) metresPerSecond[k] = way / since;
  }
  return { yields, areaM2, metresPerSecond };
}

/** Places that are rounded to more than this share of a step tell steps wrongly. */
const roundedShare = 0.1;
/** Way over which rounded places tell a step as long as it is [m]. */
const roundedAwayM = 15;

/** How far the machine went to a point, by its places; by speed or the places around, where they are rounded. */
function stepsByPlace(cloud: PointCloud, passes: Passes): (k: number, seconds: number) => number {
  const { order, along, sequence, stepM, east, north } = passes;
  const { x, y, speed } = cloud.numbers;
  const joined = (k: number): boolean => k > 0 && sequence[k] === sequence[k - 1];
  if (cloud.roundedM <= roundedShare * stepM)
    return (k) => {
      if (!joined(k)) return stepM;
      if (east[k] !== east[k]) return along[k]! - along[k - 1]!;
      // Along the course: a receiver that jitters sideways makes short steps longer.
      const [i, before] = [order[k]!, order[k - 1]!];
      return (x![i]! - x![before]!) * east[k]! + (y![i]! - y![before]!) * north[k]!;
    };
  const reach = Math.max(1, Math.round(roundedAwayM / stepM));
  return (k, seconds) => {
    const bySpeed = (speed?.[order[k]!] ?? NaN) * seconds;
    if (bySpeed === bySpeed) return bySpeed;
    let [from, to] = [k, k];
    while (to - k < reach && to + 1 < order.length && sequence[to + 1] === sequence[k]) to++;
    while (k - from < reach && joined(from)) from--;
    if (from === to) return stepM;
    const [a, b] = [order[from]!, order[to]!];
    return Math.hypot(x![b]! - x![a]!, y![b]! - y![a]!) / (to - from);
  };
}

/** Moistures that grain can have [%]. */
const wettestPct = 60;

/** A yield at market moisture; as it is where the moisture is not known or cannot be one. */
export const toMarket = (kgPerHa: number, moisturePct: number, marketMoisturePct: number): number =>
  moisturePct > 0 && moisturePct < wettestPct
    ? atMarketMoisture(kgPerHa, moisturePct, marketMoisturePct)
    : kgPerHa;
