/** What was left out, what is doubtful, and why. */
import type { Result } from "../../vocabulary/result.ts";
import type { Severity } from "../../vocabulary/trial.ts";
import { causesOf, placeText, severityWords, type Cause } from "../wording/findings.ts";
import { counted } from "../../numbers/written-numbers.ts";
import { foldedSection } from "./fold.ts";
import { markup, type Markup } from "./markup.ts";

const severities: Severity[] = ["stops", "doubt", "note"];

export const findingsSection = (result: Result): Markup =>
  foldedSection(
    "data",
    "Data used and left out",
    markup`
    <p>Rows read: ${result.rows.read}. Used: ${result.rows.used}. Left out: ${result.rows.leftOut}.</p>
    ${severities.map((severity) =>
      findingList(severity, causesOf(result.findings.filter((finding) => finding.severity === severity))),
    )}`,
  );

const findingList = (severity: Severity, causes: Cause[]): Markup | null =>
  causes.length === 0
    ? null
    : markup` <h3>
          ${severityWords[severity].word}
          <span class="quiet"
            >(${counted(causes.length, "entry")}, ${severityWords[severity].meaning})</span
          >
        </h3>
        <ul class="findings">
          ${causes.map(
            (cause) =>
              markup`<li>
                ${placeText(cause) === "" ? "" : markup`<span class="place">${placeText(cause)}:</span> `}${cause.finding.message}
              </li>`,
          )}
        </ul>`;
