/** Memory of a process that reads very much. */
import { setFlagsFromString } from "node:v8";
import type { FarmFile } from "../farm/farm-files.ts";
import { hasOwnProcess } from "./own-process.ts";

/** How much memory grows before it is cleared, in percent. */
const growth = (percent: number): void => {
  if (hasOwnProcess()) setFlagsFromString(`--heap-growing-percent=${percent}`);
};

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

/** As `makeRoomFor`, for work that leaves behind several times what it keeps, such as reading many clients. */
export const clearMemorySooner = (): void => growth(33);

/**
 * Before threads that fit and draw, which would take a third longer with memory cleared that often: when it has trebled,
 * where V8 would wait for four times as much. That takes 15 MB less a thread, and no time.
 */
export const clearMemoryBesideThreads = (): void => growth(200);
