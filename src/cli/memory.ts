/** Memory of a process that reads very much. */
import { setFlagsFromString } from "node:v8";
import type { FarmFile } from "../farm/farm-files.ts";
import { hasOwnProcess } from "./own-process.ts";

const sooner = "--heap-growing-percent=33";
/** As V8 sees fit. */
const asUsual = "--heap-growing-percent=0";

/** About 300,000 strips. */
const muchBytes = 16e6;

/**
 * Before very much is read: memory is cleared when it has grown by a third, not when it has nearly doubled. A million
 * strips then take a seventh less of it, for a twentieth more time.
 */
export function makeRoomFor(files: readonly Pick<FarmFile, "bytes">[]): void {
  const bytes = files.reduce((sum, file) => sum + file.bytes.length, 0);
  if (bytes > muchBytes) clearMemorySooner();
}

/** As `makeRoomFor`, for as long as the process runs. */
export function clearMemorySooner(): void {
  if (hasOwnProcess()) setFlagsFromString(sooner);
}

/**
 * Does what leaves behind several times what it keeps, such as reading many clients, with memory cleared as often as by
 * `makeRoomFor`; afterwards as usual again, for threads that fit and draw would take a third longer.
 */
export async function clearingSooner<Value>(work: () => Promise<Value>): Promise<Value> {
  clearMemorySooner();
  try {
    return await work();
  } finally {
    if (hasOwnProcess()) setFlagsFromString(asUsual);
  }
}
