/** What pages are made with where the command runs: files built beside it, Node's hashing and deflating, today. */
import { createHash } from "node:crypto";
import { deflateSync } from "node:zlib";
import { numberStyleOf } from "../farm/number-style.ts";
import type { PageMaker } from "../farm/page-maker.ts";
import { readOwnFile } from "./files.ts";
import { today } from "./today.ts";

/** @param locale as typed; without it the computer's own */
export function pageMaker(locale: string | undefined): PageMaker {
  // Page after page holds the same script and style.
  const files = new Map<string, string>();
  const built = new Map<string, { packed?: string; digest?: string }>();
  const deflate = (text: string): string => deflateSync(text).toString("base64");
  const sha256 = (text: string): string => createHash("sha256").update(text).digest("base64");
  return {
    builtFile: async (name) => {
      const text = files.get(name) ?? (await readOwnFile(name));
      files.set(name, text);
      if (!built.has(text)) built.set(text, {});
      return text;
    },
    date: today(),
    numbers: numberStyleOf(locale),
    sha256: (text) => {
      const known = built.get(text);
      return known === undefined ? sha256(text) : (known.digest ??= sha256(text));
    },
    deflate: (text) => {
      const known = built.get(text);
      return known === undefined ? deflate(text) : (known.packed ??= deflate(text));
    },
  };
}
