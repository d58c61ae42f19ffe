/** The frame of every page: head, policy, heading, foot, script and its data. */
import type { Result } from "../../vocabulary/result.ts";
import type { PageParts } from "./page-parts.ts";
import type { Measures } from "../../numbers/measures.ts";
import { headline, nextSeason } from "../wording/next.ts";
import { dateInWords, listed } from "../../numbers/written-numbers.ts";
import { isolateNames } from "./isolate-names.ts";
import { markup, raw, type Markup } from "./markup.ts";
import { scriptPieces } from "./script-pieces.ts";

export interface Shell {
  /** Line above the heading, and the heading. */
  above: string;
  title: string;
  /** Sentence under the heading; the page's script writes it again when a price moves. */
  lede: string;
  main: Markup;
  scripts: Scripts;
  engineVersion: string;
  /** What else is to be said of how the page was made. */
  footnote?: string;
}

/** What the frame needs of a page's parts. */
export type ShellParts = Pick<PageParts, "style" | "run" | "sha256">;

/** What is at the end of the page, and the scripts in it that its policy lets run. */
export interface Scripts {
  markup: Markup | null;
  allowed: string[];
}

export const noScripts: Scripts = { markup: null, allowed: [] };

/** Beyond this many characters, deflated, the data would make a page that takes minutes to open. */
const mostDataCharacters = 5_000_000;

/**
 * The script that follows moved prices, packed, with the data it needs; without data it follows none.
 *
 * @param data  gives them as text; null where there is too much for a page
 * @returns whether the page has its data
 */
export function whatIfScripts(
  data: (() => string) | null,
  { starter, script, deflate, later }: Pick<PageParts, "starter" | "script" | "deflate" | "later">,
): { live: boolean; scripts: Scripts } {
  const packed = (): string | null => {
    const deflated = data === null ? null : deflate(data());
    return deflated === null || deflated.length > mostDataCharacters ? null : deflated;
  };
  const withData = (packed: string | null): Markup =>
    markup`${packed === null ? null : markup`<script type="text/plain" id="page-data">${packed}</script>`}
        <script type="text/plain" id="page-script">${deflate(script)}</script>
        <script>${raw(starter)}</script>`;
  const allowed = [starter, ...scriptPieces(script)];
  if (later === undefined) {
    const found = packed();
    return { live: found !== null, scripts: { markup: withData(found), allowed } };
  }
  const live = data !== null;
  const mark = later.put(() => {
    const found = packed();
    later.isOther ||= live !== (found !== null);
    return withData(found).text;
  });
  return { live, scripts: { markup: raw(mark), allowed } };
}

export const shell = (page: Shell, parts: ShellParts, measures: Measures): string =>
  isolateNames(
    markup`<!doctype html>
    <html lang="en">
      <head>
        <meta charset="utf-8" />
        <meta http-equiv="Content-Security-Policy" content="${policy(parts, page.scripts.allowed)}" />
        <meta name="viewport" content="width=device-width, initial-scale=1" />
        <meta name="color-scheme" content="light dark" />
        <title>${[page.title, page.above].filter((part) => part !== "").join(" · ")}</title>
        <style>${raw(parts.style)}</style>
      </head>
      <body>
        <a class="skip" href="#main">Skip to the answer</a>
        <header>
          <p class="farm">${page.above}</p>
          <h1>${page.title}</h1>
          <p class="lede" data-part="headline">${page.lede}</p>
        </header>
        <main id="main">${page.main}</main>
        <footer>
          <p>
            Made ${dateInWords(parts.run.date, measures.style)} ${filesText(parts.run.files)} with
            stripcurve ${page.engineVersion}. ${page.footnote}
          </p>
        </footer>
        ${page.scripts.markup}
      </body>
    </html>`.text,
  );

/** Above this many, files are counted, not listed. */
const mostFilesListed = 8;

function filesText(files: readonly string[]): string {
  if (files.length === 0) return "without past strips";
  return `from ${files.length <= mostFilesListed ? listed([...files]) : `${files.length} files`}`;
}

/** Nothing is loaded from anywhere; only these scripts and this style may run. */
const policy = ({ style, sha256 }: ShellParts, scripts: string[]): string => {
  const hashed = (text: string): string => `'sha256-${sha256(text)}'`;
  return [
    "default-src 'none'",
    ...(scripts.length === 0 ? [] : [`script-src ${scripts.map(hashed).join(" ")}`]),
    `style-src ${hashed(style)}`,
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
};

/** Heading of a page on one result. */
export function resultHeading(result: Result, measures: Measures): Pick<Shell, "above" | "title" | "lede"> {
  const season = nextSeason(result);
  const farms = [...new Set(result.environments.map((environment) => environment.farm))].filter(
    (farm) => farm !== "",
  );
  return {
    above: [farms.length > 3 ? `${farms.length} farms` : listed(farms), measures.cropName]
      .filter((part) => part !== "")
      .join(" · "),
    title: season === null ? "Seeding rates" : `Seeding rates for ${season}`,
    lede: headline(result, measures),
  };
}
