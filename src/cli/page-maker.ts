/** What pages are made with where the command runs: files built beside it, Node's hashing and deflating, today. */
import { createHash } from "node:crypto";
import { deflateSync } from "node:zlib";
import { numberStyleOf } from "../farm/number-style.ts";
import { makesMany, type PageMaker } from "../farm/page-maker.ts";
import { readOwnFile } from "./files.ts";
import { today } from "./today.ts";

/** @param locale as typed; without it the computer's own */
export const pageMaker = (locale: string | undefined): PageMaker => ({
  ...makesMany({
    builtFile: readOwnFile,
    sha256: (text) => createHash("sha256").update(text).digest("base64"),
    deflate: (text) => deflateSync(text).toString("base64"),
  }),
  date: today(),
  numbers: numberStyleOf(locale),
});
