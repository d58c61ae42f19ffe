/** What `fit` prints of a folder of clients: every client and variety as one row, then the varieties over all of them. */
import type { Result } from "../../vocabulary/result.ts";
import { measuresOf, type Measures } from "../../numbers/measures.ts";
import { assumedMark, clientRows, gainInAllText, gainPerAreaText } from "../wording/client-rows.ts";
import { grownByOne, ownMeasures, type Client } from "../wording/clients.ts";
import { evidenceLine } from "../wording/evidence.ts";
import { rateOr } from "../wording/next.ts";
import { bareRate, optimumCell, wideRange } from "../wording/optimum.ts";
import { plainLine } from "../plain-text.ts";
import { indented, textTable, type TextColumn, type TextStyle } from "./text-table.ts";

const left = (heading: string): TextColumn => ({ heading });
const right = (heading: string): TextColumn => ({ heading, align: "right" });

/**
 * @param clients each with the result of its own strips
 * @param all     result of all strips together
 */
export function clientsText(clients: readonly Client[], all: Result, style: TextStyle): string {
  const measures: Measures = measuresOf(all);
  const rows = clientRows(clients, measures);
  const table = textTable(
    [
      left("client"),
      left("variety"),
      right("now"),
      right("next"),
      left(`most profitable (${wideRange(clients[0]?.result ?? all, measures)})`),
      right("gain"),
      right("gain in all"),
      left("evidence"),
    ],
    rows.map((row) => {
      const { client, next } = row;
      if (next === null) return [plainLine(client.name), "no rate", "–", "–", "–", "–", "–", "none yet"];
      const bare = (rate: number | null, otherwise?: string): string =>
        rateOr(rate, (known) => bareRate(known, row.measures), otherwise);
      return [
        plainLine(client.name),
        [next.variety, ownMeasures(row.measures, measures)].filter((word) => word !== "").join(", "),
        bare(next.rateNowSeedsPerM2),
        bare(next.rateNextSeedsPerM2, "–"),
        optimumCell(next.economicOptimum, row.measures),
        gainPerAreaText(row),
        gainInAllText(row),
        evidenceLine(next),
      ];
    }),
    style,
  );
  const alone = grownByOne(clients, all).map((variety) =>
    indented(
      plainLine(
        `${variety} grows with one client alone: below it is told for the average field of all clients, which may need more or less seed.`,
      ),
    ),
  );
  return [
    style.heading(`Next season, each client from its own strips (${measures.rateAxis})`),
    indented(table),
    ...(rows.some(({ assumed }) => assumed) ? [indented(assumedMark)] : []),
    "",
    style.heading("All clients together follow."),
    ...alone,
    "",
    "",
  ].join("\n");
}
