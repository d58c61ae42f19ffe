/** The page about a harvest as points: what was done to them, what was left out, and the strips that came of it. */
import { crops, type CropName } from "../../vocabulary/crops.ts";
import type { Harvest, HarvestedStrip } from "../../vocabulary/harvest.ts";
import type { Measures } from "../../numbers/measures.ts";
import { kgPerPound } from "../../numbers/units.ts";
import { fixed, plainStyle } from "../../numbers/written-numbers.ts";
import { delayPlotSvg, harvestMapSvg, seededMapSvg } from "../harvest-map.ts";
import { harvestMeasures, rateText } from "../harvest-measures.ts";
import {
  countSentence,
  delaySentence,
  withGaps,
  ratesSentence,
  reasonText,
  scaleSentence,
  sharedSentence,
  stepName,
  stepSource,
  stepText,
  switchedOffSentence,
  unitSentence,
} from "../wording/harvest.ts";
import { scrolling, tableOfRows } from "./figure.ts";
import { markup, raw, type Markup } from "./markup.ts";
import type { PageParts } from "./page-parts.ts";
import { noScripts, shell, type ShellParts } from "./shell.ts";

/** The harvest as HTML text: one file without scripts; its maps are in metres from the middle of the field. */
export function tellHarvestPage(harvest: Harvest, parts: ShellParts & Pick<PageParts, "numbers">): string {
  const measures = harvestMeasures(harvest, parts.numbers ?? plainStyle);
  const crop = crops[harvest.crop as CropName];
  const known = harvest.strips.filter(({ yieldKgPerHa }) => yieldKgPerHa !== null).length;
  const place = [
    harvest.farm,
    harvest.field,
    harvest.season === null ? "" : String(harvest.season),
    crop.name,
  ];
  return shell(
    {
      above: place.filter((part) => part !== "").join(" · "),
      title: "Strips from the combine's points",
      lede:
        `${known} of ${harvest.strips.length} strips have a yield. ${countSentence(harvest, measures.style)} ` +
        delaySentence(harvest.delay, measures.style),
      main: markup`${stripsSection(harvest, measures)} ${scaleSection(harvest, measures)} ${mapsSection(harvest, measures)} ${leftOutSection(harvest, measures)}
        ${stepsSection(harvest, measures)} ${delaySection(harvest, measures)} ${neighboursSection(harvest, measures)}
        ${findingsSection(harvest)} ${cautionsSection(harvest)}`,
      scripts: noScripts,
      engineVersion: harvest.engineVersion,
      footnote: "Maps are in metres from the middle of the field; this page holds no coordinates.",
    },
    parts,
    measures,
  );
}

const ratesTable = (
  name: string,
  head: readonly string[],
  rows: Parameters<typeof tableOfRows>[2],
  sentences = false,
): Markup => tableOfRows(name, head, rows, { className: "rates", sentences });

function stripsSection(harvest: Harvest, measures: Measures): Markup {
  const rate = rateText(harvest, measures);
  const any = (has: (strip: HarvestedStrip) => boolean): boolean => harvest.strips.some(has);
  const anyShared = any(({ shared }) => shared > 0);
  const [anyBlock, anyVariety] = [any(({ block }) => block !== ""), any(({ variety }) => variety !== "")];
  const { grainYield, style } = measures;
  const row = (strip: HarvestedStrip): (Markup | string | number)[] => [
    strip.position,
    ...(anyBlock ? [strip.block] : []),
    ...(anyVariety ? [markup`<bdi>${strip.variety}</bdi>`] : []),
    rate.number(strip.rate),
    strip.yieldKgPerHa === null ? "none" : grainYield.number(strip.yieldKgPerHa),
    strip.standardErrorKgPerHa === null ? "" : grainYield.number(strip.standardErrorKgPerHa),
    fixed(strip.points, 0, style),
    ...(anyShared ? [fixed(strip.shared, 0, style)] : []),
    strip.worth === null ? "" : fixed(strip.worth, 1, style),
  ];
  const market = crops[harvest.crop as CropName].marketMoisturePct;
  const { correlation } = harvest;
  return markup`<section id="strips">
    <h2>The strips</h2>
    ${ratesTable(
      "The strips",
      [
        "Strip",
        ...(anyBlock ? ["Block"] : []),
        ...(anyVariety ? ["Variety"] : []),
        `Rate, ${rate.unit}`,
        `Yield, ${grainYield.unit}`,
        "Standard error",
        "Points",
        ...(anyShared ? ["Shared"] : []),
        "Worth",
      ],
      harvest.strips.map(row),
    )}
    <p class="quiet">
      Yields are ${harvest.switchedOff.includes("moisture") ? "as the monitor shows them" : `at ${market}% moisture`}. ${unitSentence}
      ${anyShared ? sharedSentence : ""} “Worth” says how many independent points a strip's readings amount to. ${
        correlation === null ? "" : alikeAlong(harvest.strips, 3 * correlation.rangeM, measures)
      } The standard error is that of the whole strip; how well two neighbours can be compared is listed further down.
    </p>
  </section>`;
}

/** How far yields along the strips stay similar; nothing is known beyond the longest strip. */
export function alikeAlong(
  strips: readonly Pick<Harvest["strips"][number], "lengthM">[],
  metres: number,
  { groundLength }: Pick<Measures, "groundLength">,
): string {
  const longest = Math.max(...strips.map(({ lengthM }) => lengthM));
  return metres > longest
    ? `Along the strips, yields stay similar over their whole length, about ${groundLength.text(longest)}.`
    : `Along the strips, yields stay similar over about ${groundLength.text(metres)}.`;
}

/** Weights of the wagon beside the monitor's, load by load. */
function scaleSection({ scale, units }: Harvest, { style }: Measures): Markup | null {
  if (scale === null) return null;
  const us = units.system === "us";
  const weight = (kg: number): string => fixed(us ? kg / kgPerPound : kg, 0, style);
  const unit = us ? "lb" : "kg";
  return markup`<section id="scale">
    <h2>The scale beside the monitor</h2>
    <p>${scaleSentence(scale, style)}</p>
    ${ratesTable(
      "The scale beside the monitor",
      [scale.of === "strip" ? "Strip" : "Pass", `Scale, ${unit}`, `Monitor, ${unit}`, "Scale over monitor"],
      scale.loads.map(({ name, scaleKg, monitorKg, factor }) => [
        name,
        weight(scaleKg),
        weight(monitorKg),
        fixed(factor, 3, style),
      ]),
    )}
    <p class="quiet">
      The monitor's grain is the mean of its readings on the ${scale.of} times all the ground it cut there, its ends too.
    </p>
  </section>`;
}

const mapsSection = (harvest: Harvest, measures: Measures): Markup =>
  markup`<section id="maps">
    <h2>What was seeded, logged and used</h2>
    <h3>Seeded</h3>
    ${scrolling("Map of the seeded strips", raw(seededMapSvg(harvest, measures)))}
    <p>${ratesSentence(harvest, rateText(harvest, measures), measures.style)}</p>
    ${ratesFound(harvest, measures)}
    <h3>As the monitor logged it</h3>
    ${scrolling("Map of all points", raw(harvestMapSvg(harvest, measures, "logged")))}
    <h3>What is used</h3>
    ${scrolling("Map of the points that are used", raw(harvestMapSvg(harvest, measures, "used")))}
  </section>`;

/** Classes of rates, from which rate to which, and what parts them. */
function ratesFound(harvest: Harvest, measures: Measures): Markup {
  const rate = rateText(harvest, measures);
  return ratesTable(
    "Rates found",
    [`Rate, ${rate.unit}`, "Lowest", "Highest", "Above the class before", "Strips", "Points of the drill"],
    withGaps(harvest.rateClasses).map(({ rate: middle, lowest, highest, gapBelow, points, strips }) => [
      rate.number(middle),
      rate.number(lowest),
      rate.number(highest),
      gapBelow === null ? "" : `${fixed(100 * gapBelow, 1, measures.style)}%`,
      fixed(strips, 0, measures.style),
      fixed(points, 0, measures.style),
    ]),
  );
}

const leftOutSection = (harvest: Harvest, measures: Measures): Markup =>
  markup`<section id="left-out">
    <h2>Points left out</h2>
    ${ratesTable(
      "Points left out",
      ["Why", "Points", "Of all"],
      harvest.leftOut.map(({ reason, points }) => [
        reasonText(reason, harvest),
        fixed(points, 0, measures.style),
        `${fixed((100 * points) / harvest.pointsRead, 1, measures.style)}%`,
      ]),
    )}
    <p class="quiet">Each point is counted once, under the first reason that applies.</p>
  </section>`;

function stepsSection(harvest: Harvest, measures: Measures): Markup {
  const grain = measures.grainYield;
  const anyLost = harvest.withoutStep.some(({ stripsLost }) => stripsLost > 0);
  return markup`<section id="steps">
    <h2>What each step changes</h2>
    ${ratesTable(
      "Steps switched off",
      [
        "Step",
        "What it does",
        "Largest change of a strip without it",
        "Strips that change by more than their standard error without it",
        ...(anyLost ? ["Strips that have a yield only without it"] : []),
        "Source",
      ],
      harvest.withoutStep.map(({ step, largestMoveKgPerHa, moved, stripsLost }) => [
        stepName(step),
        stepText(step, harvest.units),
        grain.text(largestMoveKgPerHa),
        `${moved} of ${harvest.strips.length}`,
        ...(anyLost ? [fixed(stripsLost, 0, measures.style)] : []),
        markup`<span class="quiet">${stepSource(step)}</span>`,
      ]),
      true,
    )}
    <p>
      Averaging all points without any of these steps changes strips by ${grain.text(harvest.rawDifference.meanAbsKgPerHa)} on average
      and by up to ${grain.text(harvest.rawDifference.largestKgPerHa)}.
      ${harvest.switchedOff.length === 0 ? "" : switchedOffSentence(harvest)}
    </p>
  </section>`;
}

const delaySection = (harvest: Harvest, measures: Measures): Markup =>
  markup`<section id="delay">
    <h2>Grain delay</h2>
    <p>${delaySentence(harvest.delay, measures.style)}</p>
    ${harvest.delay.curve.length === 0 ? null : raw(delayPlotSvg(harvest))}
  </section>`;

function neighboursSection(harvest: Harvest, measures: Measures): Markup | null {
  if (harvest.differences.length === 0) return null;
  const grain = measures.grainYield;
  const position = new Map(harvest.strips.map((strip) => [strip.position, strip]));
  return markup`<section id="neighbours">
    <h2>Neighbours compared along their length</h2>
    <p>Two strips side by side share most of the field's ups and downs, so their difference is known better than either yield.</p>
    <details>
      <summary>All pairs of neighbours</summary>
      ${ratesTable(
        "Neighbours",
        ["Strips", `Second minus first, ${grain.unit}`, "95% range"],
        harvest.differences
          .filter(({ first, second }) => position.has(first) && position.has(second))
          .map(({ first, second, differenceKgPerHa: d, standardErrorKgPerHa: se }) => [
            `${first} and ${second}`,
            grain.number(d),
            `${grain.number(d - 1.96 * se)} to ${grain.number(d + 1.96 * se)}`,
          ]),
      )}
    </details>
  </section>`;
}

const findingsSection = ({ findings }: Harvest): Markup | null =>
  findings.length === 0
    ? null
    : markup`<section id="findings">
        <h2>Worth knowing</h2>
        <ul>
          ${findings.map(({ file, row, message }) => markup`<li>${file === null ? "" : `${file}${row === null ? "" : `, row ${row}`}: `}${message}</li>`)}
        </ul>
      </section>`;

const cautionsSection = (harvest: Harvest): Markup =>
  markup`<section id="cautions">
    <h2>Before you rely on it</h2>
    <p>
      ${harvest.scale === null || harvest.scale.use === "none" ? "" : "A scale is only as accurate as its last check. "}A monitor that was not calibrated against a scale can be off by 10% or more, though by the same in all strips. Weigh
      some strips. Ask your extension office or a licensed local adviser before you spend money on these numbers.
    </p>
  </section>`;
