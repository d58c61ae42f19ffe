#!/usr/bin/env node
/** What runs first: written so that even a Node.js too old for the rest reads it, and says so. */
import { exitCodes } from "./exit-codes.ts";

declare const __OLDEST_NODE__: string;

const [major, minor] = process.versions.node.split(".").map(Number);
const [oldestMajor, oldestMinor] = __OLDEST_NODE__.split(".").map(Number);

if (major! > oldestMajor! || (major === oldestMajor && minor! >= oldestMinor!)) {
  void import("./main.ts");
} else {
  process.stderr.write(
    `stripcurve needs Node.js ${__OLDEST_NODE__} or newer, and this is ${process.versions.node}: install a current one from https://nodejs.org.\n`,
  );
  process.exitCode = exitCodes.wrongUse;
}
