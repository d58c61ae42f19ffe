/** The plan as one printable page: what to plant, what it can find out, the map, the sheet, and how to fill it in. */
import type { PlannedStrip, StripPlan, VarietyPlan } from "../../vocabulary/strip-plan.ts";
import { optionsTable, planCharts } from "../charts/plan-options.ts";
import { chartDrawer } from "../draw-charts.ts";
import { fieldMapSvg } from "../field-map.ts";
import type { PageParts } from "./page-parts.ts";
import { cautions } from "./background.ts";
import { numberTable, picture, scrolling, tableOfRows } from "./figure.ts";
import { markup, raw, type Markup } from "./markup.ts";
import { measuresOf, type Measures } from "../../numbers/measures.ts";
import { noScripts, shell, type ShellParts } from "./shell.ts";
import { plainStyle } from "../../numbers/written-numbers.ts";
import {
  beyondSentence,
  fieldNotes,
  fieldNoteSources,
  findsSentences,
  habitSentence,
  knownSentence,
  layoutSentences,
  leftOutSentence,
  outcomeSentence,
  planAssumedSentence,
  planHeadline,
  planPlace,
  planTitle,
  planVerdict,
  seedNeededSentence,
  simulatedSentence,
  testSentence,
  truthWords,
  worthSentence,
} from "../wording/plan.ts";

/**
 * The plan as HTML text: one file without scripts, for the desk and for the cab.
 *
 * @param parts style and what is said of the run
 */
export async function tellPlanPage(
  plan: StripPlan,
  parts: ShellParts & Pick<PageParts, "numbers">,
): Promise<string> {
  const measures = measuresOf(plan, parts.numbers ?? plainStyle);
  const main = markup`${ratesSection(plan, measures)} ${await findsSection(plan, measures)} ${outcomesSection(plan, measures)}
    ${mapSection(plan, measures)} ${sheetSection(plan, measures)} ${notesSection(plan, measures)} ${cautions(plan)}`;
  return shell(
    {
      above: planPlace(plan),
      title: planTitle(plan),
      lede: `${planVerdict(plan, measures)} ${planHeadline(plan, measures)}`,
      main,
      scripts: noScripts,
      engineVersion: plan.engineVersion,
      footnote: `Order of the strips by seed ${plan.settings.seed}.`,
    },
    parts,
    measures,
  );
}

const ratesSection = (plan: StripPlan, measures: Measures): Markup =>
  markup`<section id="rates">
    <h2>Rates to plant</h2>
    ${tableOfRows(
      "Rates to plant",
      ["Variety", `Rates, ${measures.rateAxis}`, "What is known", "Why these rates"],
      plan.varieties.map((variety) => [
        markup`<bdi>${variety.variety}</bdi>`,
        markup`<span class="ladder">${rateLadder(variety, measures)}</span>`,
        knownSentence(variety, measures),
        `${habitSentence(variety, measures)} ${beyondSentence(variety, measures)}`,
      ]),
      { className: "rates", sentences: true },
    )}
    <p class="quiet">Today's rate is in bold and always among them. ${leftOutSentence(plan)}</p>
    ${seedNeededSentence(plan, measures) === "" ? null : markup`<p>${seedNeededSentence(plan, measures)}</p>`}
  </section>`;

const rateLadder = (variety: VarietyPlan, measures: Measures): Markup[] =>
  variety.chosen.ratesSeedsPerM2.map((rate, index) => {
    const text = measures.rate.number(rate).replace(" million", "");
    const step = index === 0 ? "" : " · ";
    return Math.abs(rate - variety.rateNowSeedsPerM2) < 1e-6
      ? markup`${step}<b>${text}</b>`
      : markup`${step}${text}`;
  });

async function findsSection(plan: StripPlan, measures: Measures): Promise<Markup> {
  const drawer = chartDrawer(measures);
  const figures: Markup[] = [];
  for (const chart of planCharts) {
    const heading = chart.heading(measures);
    const svg = await drawer.drawSvg(chart, chart.data(plan, measures));
    const description =
      "One line for each number of rates, by the number of blocks; the table below has the numbers.";
    figures.push(
      markup`<figure class="chart">
        <figcaption>${heading}</figcaption>
        ${picture(svg, { heading, description })}
      </figure>`,
    );
  }
  return markup`<section id="finds">
    <h2>What these strips can find out</h2>
    ${plan.varieties.map(
      (variety) =>
        markup`<h3><bdi>${variety.variety}</bdi></h3>
          ${findsSentences(variety, plan, measures).map((sentence) => markup`<p>${sentence}</p>`)}`,
    )}
    <h3>Is it worth it?</h3>
    <p>${worthSentence(plan.chosen, plan, measures)}</p>
    ${planAssumedSentence(plan, measures) === "" ? null : markup`<p class="assumed">${planAssumedSentence(plan, measures)}</p>`}
    <p>${testSentence(plan.chosen, plan, measures)}</p>
    <div class="charts">${figures}</div>
    <details class="numbers">
      <summary>Other sizes of trial in numbers</summary>
      ${numberTable(optionsTable(plan, measures))}
    </details>
  </section>`;
}

function outcomesSection(plan: StripPlan, measures: Measures): Markup | null {
  const [first] = plan.outcomes;
  return first === undefined
    ? null
    : markup`<section id="outcomes">
        <h2>Three simulated outcomes</h2>
        <p>
          The proposed strips were simulated three times, each with a different true best rate, and analyzed together
          with the strips you have. ${simulatedSentence(plan)} Each cell shows next season's rate, and the true best rate that was simulated:
        </p>
        ${tableOfRows(
          "Three simulated outcomes",
          ["Variety", ...plan.outcomes.map((outcome) => truthWords[outcome.truth])],
          first.simulated.map((variety) => [
            markup`<bdi>${variety}</bdi>`,
            ...plan.outcomes.map((outcome) => {
              const told = outcome.varieties.find((one) => one.variety === variety);
              return told === undefined ? "no answer" : outcomeSentence(told, measures);
            }),
          ]),
          { className: "rates", sentences: true },
        )}
      </section>`;
}

const mapSection = (plan: StripPlan, measures: Measures): Markup =>
  markup`<section id="map">
    <h2>Field map</h2>
    <p>${layoutSentences[plan.layout.kind]}</p>
    ${scrolling("Field map", raw(fieldMapSvg(plan, measures)))}
  </section>`;

/** What is written in by hand, with its unit. */
const blanksOf = ({ stand, heads, orderWeight }: Measures): string[] => [
  "Seeded, date",
  `Stand, ${stand.unit}`,
  `Heads, ${heads.unit}`,
  "Lodging, 0–9",
  "Moisture, %",
  `Weight, ${orderWeight.unit}`,
  "Note",
];

/** Strips of one block in the order they are driven, with the borders at its side. */
function sheetBlocks({ layout }: StripPlan): { block: string; strips: PlannedStrip[] }[] {
  const blocks: { block: string; strips: PlannedStrip[] }[] = [];
  let leading: PlannedStrip[] = [];
  let tier = 0;
  for (const strip of layout.strips) {
    const last = blocks.at(-1);
    if (strip.border && (last === undefined || strip.tier !== tier)) leading.push(strip);
    else if (strip.border || last?.block === strip.block) last!.strips.push(strip);
    else {
      blocks.push({ block: strip.block, strips: [...leading, strip] });
      leading = [];
      tier = strip.tier;
    }
  }
  return blocks;
}

const sheetSection = (plan: StripPlan, measures: Measures): Markup => {
  const { text } = measures.groundLength;
  const { stripWidthM, stripLengthM, harvestWidthM } = plan.layout;
  const blanks = blanksOf(measures);
  return markup`<section id="sheet">
    <h2>Field sheet</h2>
    <p>
      The drill's setting is for the lot of seed in the lots file. The CSV beside this page has the same rows; filled
      in, it goes straight into the next report.
    </p>
    ${sheetBlocks(plan).map(
      ({ block, strips }) =>
        markup`<div class="sheet-block">${scrolling(
          `Field sheet, block ${block}`,
          markup`<table class="sheet">
      <caption>
        <b>Block ${block}</b> · rates in ${measures.rateAxis} · strips ${text(stripWidthM)} wide and
        ${text(stripLengthM)} long; cut ${text(harvestWidthM)} wide
      </caption>
      <thead>
        <tr>
          <th scope="col">Order</th>
          <th scope="col">Strip</th>
          <th scope="col">Variety</th>
          <th scope="col">Rate</th>
          <th scope="col">${measures.seedWeight.unit}</th>
          <th scope="col">Seeds/${measures.system === "us" ? "ft" : "m"} row</th>
          ${blanks.map((name) => markup`<th scope="col" class="blank">${name}</th>`)}
        </tr>
      </thead>
      <tbody>
        ${strips.map((strip) => sheetRow(strip, blanks, measures))}
      </tbody>
    </table>`,
        )}</div>`,
    )}
  </section>`;
};

const sheetRow = (strip: PlannedStrip, blanks: readonly string[], measures: Measures): Markup =>
  markup`<tr${strip.border ? raw(' class="border"') : ""}>
    <td>${strip.position}</td>
    <th scope="row">${strip.border ? "border" : strip.label}</th>
    <td><bdi>${strip.variety}</bdi></td>
    <td>${measures.rate.number(strip.rateSeedsPerM2).replace(" million", "")}</td>
    <td>${strip.sowing === null ? "" : measures.seedWeight.number(strip.sowing.kgPerHa)}</td>
    <td>${strip.sowing === null ? "" : measures.seedsPerRow.number(strip.sowing.seedsPerMetreOfRow)}</td>
    ${blanks.map(() => (strip.border ? markup`<td class="none"></td>` : markup`<td class="blank"></td>`))}
  </tr>`;

const notesSection = (plan: StripPlan, measures: Measures): Markup =>
  markup`<section id="notes">
    <h2>How to fill it in</h2>
    ${fieldNotes(plan, measures).map(
      ({ title, text }) =>
        markup`<h3>${title}</h3>
          <ul>
            ${text.map((line) => markup`<li>${line}</li>`)}
          </ul>`,
    )}
    <p class="quiet">${fieldNoteSources.join(" ")}</p>
  </section>`;
