/** What a page needs besides its result: script and style as built, how numbers are written, the day, the files read. */
import { createHash } from "node:crypto";
import { deflateSync } from "node:zlib";
import { pageFiles, type PageKind, type PageParts } from "../tell/html/page-parts.ts";
import type { NumberStyle } from "../numbers/written-numbers.ts";
import { readOwnFile } from "./files.ts";
import { today } from "./today.ts";

export const readPageParts = async (
  kind: PageKind,
  fileNames: string[],
  numbers: NumberStyle,
): Promise<PageParts> => {
  const { script, styles } = pageFiles[kind];
  return {
    starter: await readOwnFile("start.js"),
    script: script === null ? "" : await readOwnFile(script),
    style: (await Promise.all(styles.map(readOwnFile))).join("\n"),
    numbers,
    run: { date: today(), files: fileNames },
    sha256: (text) => createHash("sha256").update(text).digest("base64"),
    deflate: (text) => deflateSync(text).toString("base64"),
  };
};
