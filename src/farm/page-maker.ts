/** What a page is made with, apart from its result. */
import { pageFiles, type PageKind, type PageParts, type Run } from "../tell/html/page-parts.ts";
import type { NumberStyle } from "../numbers/written-numbers.ts";
import { portable } from "./portable.ts";

/** What whoever makes pages provides. */
export interface PageMaker {
  /** Text of a file that is built beside the program: `page.js`, `start.js`, `lesson.js`, `page.css` and other styles. */
  builtFile(name: string): string | Promise<string>;
  /** ISO date of the page. */
  date: string;
  /** How numbers and dates are written; plainly, where not said. */
  numbers?: NumberStyle;
  /** The platform's own ways; the portable ones where it names none. */
  sha256?: PageParts["sha256"];
  deflate?: PageParts["deflate"];
}

/** @param files names of the files read, as the page tells them */
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
