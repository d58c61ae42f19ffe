/** What was left out, what is doubtful, and why. */
import type { Result } from "../../vocabulary/result.ts";
import type { Finding, Severity } from "../../vocabulary/trial.ts";
import { placeText, severityWords } from "../wording/findings.ts";
import { counted } from "../../numbers/written-numbers.ts";
import { markup, type Markup } from "./markup.ts";

const severities: Severity[] = ["stops", "doubt", "note"];

export const findingsSection = (result: Result): Markup =>
  markup` <section id="data">
    <h2>Data used and left out</h2>
    <p>Rows read: ${result.rows.read}. Used: ${result.rows.used}. Left out: ${result.rows.leftOut}.</p>
    ${severities.map((severity) =>
      findingList(
        severity,
        result.findings.filter((finding) => finding.severity === severity),
      ),
    )}
  </section>`;

const findingList = (severity: Severity, findings: Finding[]): Markup | null =>
  findings.length === 0
    ? null
    : markup` <h3>
          ${severityWords[severity].word}
          <span class="quiet"
            >(${counted(findings.length, "entry")}, ${severityWords[severity].meaning})</span
          >
        </h3>
        <ul class="findings">
          ${findings.map(
            (finding) =>
              markup`<li>
                ${placeText(finding) === "" ? "" : markup`<span class="place">${placeText(finding)}:</span> `}${finding.message}
              </li>`,
          )}
        </ul>`;
