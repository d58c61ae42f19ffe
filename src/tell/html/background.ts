/** What stands behind the numbers: method in plain words, glossary, cautions. */
import type { Result } from "../../vocabulary/result.ts";
import { cautionTexts } from "../wording/cautions.ts";
import { glossaryTerms } from "../wording/glossary.ts";
import type { Measures } from "../../numbers/measures.ts";
import { methodParagraphs, sources } from "../wording/method.ts";
import { startingBeliefs, statedRules, type StatedChoice } from "../wording/priors.ts";
import { foldedSection } from "./fold.ts";
import { markup, type Markup } from "./markup.ts";

export const method = (result: Result, measures: Measures): Markup =>
  foldedSection(
    "method",
    "How the rates were chosen",
    markup`<div data-part="method">${methodTold(result, measures)}</div>`,
  );

/** Method and rules, which name what the page lets move. */
export const methodTold = (result: Result, measures: Measures): Markup => markup`
    ${methodParagraphs(result, measures).map((paragraph) => markup`<p>${paragraph}</p>`)}
    ${choicesTable("Starting assumptions", "Under priors: in the season file", startingBeliefs(result, measures))}
    ${choicesTable("Rules of the advice", "In the season file", statedRules(result, measures))}
    <h3>Sources</h3>
    <ul>
      ${sources.map((source) => markup`<li>${source}</li>`)}
    </ul>`;

const choicesTable = (caption: string, where: string, choices: readonly StatedChoice[]): Markup =>
  markup`<div class="scroll choices" tabindex="0" role="region" aria-label="${caption}">
    <table class="stacks">
      <caption>${caption}</caption>
      <thead><tr><th scope="col">What</th><th scope="col">Value here</th><th scope="col">${where}</th></tr></thead>
      <tbody>${choices.map(
        ({ what, value, keys }) =>
          markup`<tr><th scope="row">${what}</th><td data-label="Value here">${value}</td><td data-label="${where}"><code>${keys.join(", ")}</code></td></tr>`,
      )}</tbody>
    </table>
  </div>`;

export const glossary = (
  result: Pick<Result, "settings">,
  measures: Measures,
  told?: { answers: boolean },
): Markup =>
  foldedSection(
    "words",
    "Words",
    markup`
    <dl>
      ${glossaryTerms(result, measures, told).map(
        ({ term, meaning }) =>
          markup`<dt>${term}</dt>
            <dd>${meaning}</dd>`,
      )}
    </dl>`,
  );

export const cautions = (result: Pick<Result, "settings">): Markup =>
  markup` <section id="cautions">
    <h2>Before seeding</h2>
    <ul>
      ${cautionTexts(result).map((text) => markup`<li>${text}</li>`)}
    </ul>
  </section>`;
