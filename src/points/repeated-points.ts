/** Points that are in the files more than once, as where a harvest was exported twice: each is counted once. */
import { numberFields, nameFields, type PointCloud } from "./point-cloud.ts";

/** The fields that tell whether two points are one. */
const telling = ["x", "y", "time", "wetYield", "dryYield", "flow", "rate"] as const;

/** @returns the cloud with the first of all points that are alike, and how many were not */
export function withoutRepeats(cloud: PointCloud): { cloud: PointCloud; repeated: number } {
  const kept = firstOfEach(cloud);
  const repeated = cloud.count - kept.length;
  return repeated === 0 ? { cloud, repeated } : { cloud: pick(cloud, kept), repeated };
}

function firstOfEach(cloud: PointCloud): Uint32Array {
  const fields = telling.flatMap((name) => cloud.numbers[name] ?? []);
  const { section } = cloud.names;
  const areAlike = (a: number, b: number): boolean =>
    fields.every((values) => Object.is(values[a], values[b])) && section?.[a] === section?.[b];
  const first = new Map<number, number>();
  const kept = new Uint32Array(cloud.count);
  let count = 0;
  const [x, y, time] = [cloud.numbers.x!, cloud.numbers.y!, cloud.numbers.time];
  for (let i = 0; i < cloud.count; i++) {
    // Irrational weights: hardly two points that differ have one key, and those are compared.
    let key =
      x[i]! * Math.SQRT2 + y[i]! * Math.E + (time?.[i] || 0) * Math.LN2 + (section?.[i] ?? 0) * Math.PI;
    while (first.has(key) && !areAlike(first.get(key)!, i)) key += 1;
    if (first.has(key)) continue;
    first.set(key, i);
    kept[count++] = i;
  }
  return kept.subarray(0, count);
}

function pick(cloud: PointCloud, kept: Uint32Array): PointCloud {
  const numbers = (values: Float64Array | null): Float64Array | null =>
    values && Float64Array.from(kept, (i) => values[i]!);
  const names = (values: Uint32Array | null): Uint32Array | null =>
    values && Uint32Array.from(kept, (i) => values[i]!);
  return {
    ...cloud,
    count: kept.length,
    file: Uint16Array.from(kept, (i) => cloud.file[i]!),
    row: Uint32Array.from(kept, (i) => cloud.row[i]!),
    headerUp: cloud.headerUp && Uint8Array.from(kept, (i) => cloud.headerUp![i]!),
    numbers: Object.fromEntries(
      numberFields.map((field) => [field, numbers(cloud.numbers[field])]),
    ) as PointCloud["numbers"],
    names: Object.fromEntries(
      nameFields.map((field) => [field, names(cloud.names[field])]),
    ) as PointCloud["names"],
  };
}
