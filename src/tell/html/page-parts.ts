/** What pages are made with, apart from the result: style, scripts, and what is said of the run. */
import type { NumberStyle } from "../../numbers/written-numbers.ts";
import type { Earlier } from "../wording/since.ts";
import type { PartsLater } from "./parts-later.ts";

/** What is not of the trial but of this one run. */
export interface Run {
  /** ISO date of the report. */
  date: string;
  /** Files read, as the person named them. */
  files: string[];
}

export type PageKind = "farm" | "grower" | "lesson" | "clients" | "plan" | "harvest";

/**
 * The pages, and what each is made with: styles in their order, and the script.
 *
 * `farm`: everything about one farm. `grower`: two printed pages in plain words. `lesson`: the same data told step by
 * step. `clients`: many clients for their adviser. `plan`: next season's strips. `harvest`: a season's points and what
 * became of them.
 */
export const pageFiles: Record<PageKind, { styles: string[]; script: string | null }> = {
  farm: { styles: ["page.css", "cards.css"], script: "page.js" },
  grower: { styles: ["page.css", "cards.css", "grower.css"], script: "page.js" },
  lesson: { styles: ["page.css", "lesson.css"], script: "lesson.js" },
  clients: { styles: ["page.css", "clients.css"], script: "clients.js" },
  plan: { styles: ["page.css", "plan.css"], script: null },
  harvest: { styles: ["page.css", "plan.css", "harvest.css"], script: null },
};

export interface PageParts {
  /** Style of the page, its script, and the script that unpacks that one, as text. */
  style: string;
  script: string;
  starter: string;
  run: Run;
  /** SHA-256 of a text, in base64: what the page's policy lets run. */
  sha256: (text: string) => string;
  /** A text deflated (RFC 1950), in base64: how script and data stand in the page. */
  deflate: (text: string) => string;
  /** How numbers and dates are written; plainly, where not said. */
  numbers?: NumberStyle;
  /** An earlier result to compare with. */
  earlier?: Earlier;
  /** Every fit and check laid open, as who checks them wants it. */
  everyCheck?: boolean;
  /** Where given, what a page can be read without is made when it is asked for: its pictures, and the data of its script. */
  later?: PartsLater;
}
