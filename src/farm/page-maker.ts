/** What a page is made with, apart from its result. */
import { pageFiles, type PageKind, type PageParts, type Run } from "../tell/html/page-parts.ts";
import { scriptPieces } from "../tell/html/script-pieces.ts";
import type { NumberStyle } from "../numbers/written-numbers.ts";
import { portable } from "./portable.ts";

/** What whoever makes pages provides. */
export interface PageMaker {
  /** Text of a file that is built beside the program: `page.js`, `start.js`, `lesson.js`, `page.css` and other styles. */
  builtFile(name: string): string | Promise<string>;
  /** ISO date of the page. */
  date: string;
  /** How numbers and dates are written; plainly, unless given. */
  numbers?: NumberStyle;
  /** The platform's own hashing and deflating; the portable ones by default. */
  sha256?: PageParts["sha256"];
  deflate?: PageParts["deflate"];
}

/** @param files names of the files read, as the page lists them */
export async function pageParts(
  kind: PageKind,
  { builtFile, date, numbers, sha256, deflate }: PageMaker,
  files: string[],
): Promise<PageParts> {
  const { script, styles } = pageFiles[kind];
  const run: Run = { date, files };
  return {
    starter: await builtFile("start.js"),
    script: script === null ? "" : await builtFile(script),
    style: (await Promise.all(styles.map((name) => builtFile(name)))).join("\n"),
    run,
    sha256: sha256 ?? portable.sha256,
    deflate: deflate ?? portable.deflate,
    ...(numbers === undefined ? {} : { numbers }),
  };
}

/** Makes many pages while reading, hashing and deflating each built file only once. */
export function makesMany({
  builtFile,
  sha256 = portable.sha256,
  deflate = portable.deflate,
}: Pick<PageMaker, "builtFile" | "sha256" | "deflate">): Required<
  Pick<PageMaker, "builtFile" | "sha256" | "deflate">
> {
  const files = new Map<string, string>();
  const built = new Map<string, { packed?: string; digest?: string }>();
  return {
    builtFile: async (name) => {
      const text = files.get(name) ?? (await builtFile(name));
      files.set(name, text);
      for (const one of [text, ...scriptPieces(text)]) if (!built.has(one)) built.set(one, {});
      return text;
    },
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
