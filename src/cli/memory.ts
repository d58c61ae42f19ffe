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
  if (bytes > muchBytes) clearSooner();
}

/** Reading a client leaves behind several times what its strips take. */
const manyClients = 100;

/** Before many clients are read, one after the other. */
export function makeRoomForClients(count: number): void {
  if (count > manyClients) clearSooner();
}

function clearSooner(): void {
  if (hasOwnProcess()) setFlagsFromString("--heap-growing-percent=33");
}
