/** Machines that worked in the same hours, by what they are called or by the files that they come in. */
import { fileOf, type PointCloud } from "./point-cloud.ts";

/** Two logs are of two machines where one goes on for this share of the shorter while the other does. */
const together = 0.2;

interface Log {
  name: string;
  from: number;
  to: number;
}

/**
 * Sections of one header log the same seconds too, so only files and names of machines tell them apart.
 *
 * @returns names of machines, or of files, whose times overlap; [] where there is one, or where the files do not say
 */
export function machinesAtOnce(cloud: PointCloud): string[] {
  const { time } = cloud.numbers;
  if (time === null) return [];
  const { machine } = cloud.names;
  const logs = new Map<number, Log>();
  for (let i = 0; i < cloud.count; i++) {
    const at = time[i]!;
    if (at !== at) continue;
    const called = machine?.[i] ?? 0;
    const key = called === 0 ? -1 - cloud.file[i]! : called;
    const log = logs.get(key);
    if (log !== undefined) [log.from, log.to] = [Math.min(log.from, at), Math.max(log.to, at)];
    else {
      const name = called === 0 ? fileOf(cloud, i) : cloud.texts[called]!;
      logs.set(key, { name, from: at, to: at });
    }
  }
  const all = [...logs.values()];
  const meets = (a: Log, b: Log): boolean => {
    const shorter = Math.min(a.to - a.from, b.to - b.from);
    return shorter > 0 && Math.min(a.to, b.to) - Math.max(a.from, b.from) > together * shorter;
  };
  return all.filter((a) => all.some((b) => a !== b && meets(a, b))).map(({ name }) => name);
}
