/** Memory of a process that reads very much. */
import { setFlagsFromString } from "node:v8";
import type { FarmFile } from "../farm/farm-files.ts";
import { hasOwnProcess } from "./own-process.ts";

/** About 300,000 strips. */
const muchBytes = 16e6;

/**
 * Before very much is read: memory is cleared when it has grown by a third, not when it has nearly doubled. A million
 * strips then take a seventh less of it, for a twentieth more time.
 */
export function makeRoomFor(files: readonly Pick<FarmFile, "bytes">[]): void {
  const bytes = files.reduce((sum, file) => sum + file.bytes.length, 0);
  if (bytes > muchBytes && hasOwnProcess()) setFlagsFromString("--heap-growing-percent=33");
}
