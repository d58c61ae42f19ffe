/** What changed since an earlier result, right behind the answer. It tells the report's own prices, not moved ones. */
import type { Result } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { changeSentences, newsSentences, type Earlier } from "../wording/since.ts";
import { markup, type Markup } from "./markup.ts";

export const sinceSection = (
  result: Result,
  earlier: Earlier | undefined,
  measures: Measures,
): Markup | null =>
  earlier === undefined
    ? null
    : markup`<section id="since">
    <h2>What changed since last time</h2>
    <p>${newsSentences(result, earlier, measures).join(" ")}</p>
    <dl>
      ${result.next.map(
        (next) =>
          markup`<dt><bdi>${next.variety}</bdi></dt>
            <dd>${changeSentences(next, result, earlier, measures).join(" ")}</dd>`,
      )}
    </dl>
  </section>`;
