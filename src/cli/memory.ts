/** Memory of a process that reads very much. */
import { setFlagsFromString } from "node:v8";
import type { FarmFile } from "../farm/farm-files.ts";
import { hasOwnProcess } from "./own-process.ts";

/** About 300,000 strips. */
const muchBytes = 16e6;

/**
 * Before very much is read: memory is cleared when it has grown by two fifths, not when it has nearly doubled. A million
 * strips then take a tenth less of it, in the same time.
 */
export function makeRoomFor(files: readonly Pick<FarmFile, "bytes">[]): void {
  const bytes = files.reduce((sum, file) => sum + file.bytes.length, 0);
  if (bytes > muchBytes && hasOwnProcess()) setFlagsFromString("--heap-growing-percent=40");
}
