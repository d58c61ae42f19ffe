/** Which varieties to put into strips next. */
import type { Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { adviceHeadline, adviceSentence } from "../wording/strip-advice.ts";
import { foldedSection } from "./fold.ts";
import { markup, type Markup } from "./markup.ts";

export const stripAdviceSection = ({ stripAdvice }: Result, measures: Measures): Markup | null =>
  stripAdvice.length === 0
    ? null
    : foldedSection(
        "strips-next",
        "Strips worth planting next",
        markup`
        <p>${adviceHeadline(stripAdvice)}</p>
        <dl>
          ${stripAdvice.map(
            (one) =>
              markup`<dt><bdi>${one.variety}</bdi></dt>
                <dd>${adviceSentence(one, measures)}</dd>`,
          )}
        </dl>
        <p class="quiet">
          Based on the prices in the files. The command stripcurve plan chooses the rates, draws the map and writes
          the field sheet.
        </p>`,
      );
