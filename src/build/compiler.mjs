/**
 * TypeScript's compiler of version 7, which checks all of the project in a quarter of the time. Version 6 stays beside it,
 * as `typescript`, for what reads syntax trees: the test of the architecture, and the pages of the library.
 */
import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";

export const compiler = fileURLToPath(new URL("../../node_modules/typescript-7/bin/tsc", import.meta.url));

/** Runs the compiler, which says what it finds; @throws where it finds fault. */
export const compile = (...words) =>
  execFileSync(process.execPath, [compiler, ...words], { stdio: "inherit" });
