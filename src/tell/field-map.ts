/** The trial as it lies in the field, drawn from above. */
import type { PlannedStrip, StripPlan } from "../vocabulary/strip-plan.ts";
import { colours } from "./charts/look.ts";
import { escapeHtml } from "./html/markup.ts";
import { bareRate } from "./wording/optimum.ts";
import type { Measures } from "../numbers/measures.ts";

/** A strip is as long as its words, within these. */
const tierHeights = { least: 190, most: 300 };
const textSize = 11;
/** Letters of the widest of common fonts, in parts of the size of the type. */
const letterWidth = 0.6;
const tierGap = 58;
const margin = { left: 14, right: 14, top: 66, bottom: 30 };
/** Under each row of blocks: place in the drive and its direction. */
const driveHeight = 18;
const narrowestStrip = 15;
const usualWidth = 960;

/** One colour a variety, in the order of the plan; past the last they begin anew, and the name on the strip tells. */
const varietyColours = [
  colours.blue,
  colours.orange,
  colours.green,
  colours.purple,
  colours.vermilion,
  colours.sky,
];

/**
 * SVG of the plan: every strip with its name, variety and rate; across the field true to scale, along it shortened.
 *
 * Darker strips have more seed. Nothing depends on colour: each strip says what it is, and under it how it is driven.
 * North is marked by hand: nobody has said where it is.
 */
export function fieldMapSvg(plan: StripPlan, measures: Measures): string {
  const { layout } = plan;
  const perMetre =
    Math.max(usualWidth, (narrowestStrip * layout.usedWidthM) / layout.stripWidthM) / layout.usedWidthM;
  const width = layout.usedWidthM * perMetre + margin.left + margin.right;
  const order = new Map(plan.varieties.map(({ variety }, index) => [variety, index]));
  const rates = new Map(plan.varieties.map(({ variety, chosen }) => [variety, chosen.ratesSeedsPerM2]));
  const labels = new Map(layout.strips.map((strip) => [strip, stripLabel(strip, measures)]));
  const longest = Math.max(...[...labels.values()].map((label) => label.length));
  const tierHeight = Math.min(Math.max(tierHeights.least, heightOf(longest)), tierHeights.most);
  const height = margin.top + layout.tiers * (tierHeight + tierGap) - tierGap + driveHeight + margin.bottom;
  const topOf = (tier: number): number => margin.top + (tier - 1) * (tierHeight + tierGap);

  const drawStrip = (strip: PlannedStrip): string => {
    const x = margin.left + strip.acrossM * perMetre;
    const w = strip.widthM * perMetre;
    const y = topOf(strip.tier);
    const ladder = rates.get(strip.variety)!;
    const depth = 0.15 + (0.45 * ladder.indexOf(strip.rateSeedsPerM2)) / Math.max(1, ladder.length - 1);
    const fill = strip.border
      ? `fill="url(#border)"`
      : `fill="${varietyColours[order.get(strip.variety)! % varietyColours.length]}" fill-opacity="${depth.toFixed(2)}"`;
    const middle = (x + w / 2 + 4).toFixed(1);
    return (
      `<g><title>${escapeHtml(sayStrip(strip, measures))}</title>` +
      `<rect x="${x.toFixed(1)}" y="${y}" width="${w.toFixed(1)}" height="${tierHeight}" ${fill} stroke="${colours.quiet}" stroke-width="0.7"/>` +
      `<text transform="translate(${middle} ${y + tierHeight - 6}) rotate(-90)" font-size="${textSize}">${escapeHtml(labels.get(strip)!)}</text>` +
      `<text x="${(x + w / 2).toFixed(1)}" y="${y + tierHeight + 13}" text-anchor="middle" font-size="10">${strip.position}${goesOut(strip, layout) ? "↓" : "↑"}</text></g>`
    );
  };

  const blocks = [...new Set(layout.strips.filter((strip) => !strip.border).map((strip) => strip.block))];
  const drawBlock = (block: string): string => {
    const strips = layout.strips.filter((strip) => strip.block === block);
    const left = margin.left + strips[0]!.acrossM * perMetre;
    const right = margin.left + (strips.at(-1)!.acrossM + strips.at(-1)!.widthM) * perMetre;
    const y = topOf(strips[0]!.tier) - 6;
    return (
      `<path d="M${left.toFixed(1)} ${y}H${right.toFixed(1)}M${left.toFixed(1)} ${y - 5}V${y + 6}M${right.toFixed(1)} ${y - 5}V${y + 6}" stroke="${colours.ink}" stroke-width="1.4" fill="none"/>` +
      `<text x="${((left + right) / 2).toFixed(1)}" y="${y - 6}" text-anchor="middle" font-size="13">Block ${escapeHtml(block)}</text>`
    );
  };

  const length = measures.groundLength;
  const size =
    `Strips ${length.text(layout.stripWidthM)} wide and ${length.text(layout.stripLengthM)} long. ` +
    `In all ${length.text(layout.usedWidthM)} across. Drawn true to scale across, shortened along.`;
  const start = `<path d="M${margin.left - 7} ${topOf(1) - 12}h14l-7 10z" fill="${colours.ink}"/>`;
  const note =
    `Start at the corner marked ▼, with strip ${layout.strips[0]?.position ?? 1}. ` +
    `Drive in the order of the numbers, down ↓ and back ↑${layout.passes === 1 ? "" : `; ${layout.passes} passes a strip`}.`;
  const north =
    `<circle cx="${width - 34}" cy="24" r="18" fill="none" stroke="${colours.ink}"/>` +
    `<text x="${width - 60}" y="28" text-anchor="end" font-size="12">North: draw the arrow</text>`;
  const alleys = Array.from(
    { length: layout.tiers - 1 },
    (_, i) =>
      `<text x="${width - margin.right}" y="${topOf(i + 2) - 18}" text-anchor="end" font-size="11">Alley ${escapeHtml(length.text(plan.request.ground.alleyM))}</text>`,
  );
  return (
    `<svg class="field-map" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width.toFixed(0)} ${height}" role="img" font-family="sans-serif" fill="${colours.ink}" aria-label="${escapeHtml(describeMap(plan, measures))}">` +
    `<defs><pattern id="border" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V6" stroke="${colours.line}" stroke-width="5"/></pattern></defs>` +
    layout.strips.map(drawStrip).join("") +
    blocks.map(drawBlock).join("") +
    `${alleys.join("")}${start}${north}<text x="${margin.left}" y="20" font-size="12">${escapeHtml(note)}</text>` +
    `<text x="${margin.left}" y="${height - 8}" font-size="12">${escapeHtml(size)}</text></svg>`
  );
}

const heightOf = (letters: number): number => Math.ceil(letters * textSize * letterWidth) + 12;

/** What a strip is: "1-2 · Brimsolt · 1.00 · 88 lb/ac"; of a name too long for the strip its beginning. */
function stripLabel(strip: PlannedStrip, measures: Measures): string {
  const setting =
    strip.sowing === null
      ? measures.rate.number(strip.rateSeedsPerM2)
      : `${bareRate(strip.rateSeedsPerM2, measures)} · ${measures.seedWeight.text(strip.sowing.kgPerHa)}`;
  if (strip.border) return `border · ${setting}`;
  const label = (variety: string): string => `${strip.label} · ${variety} · ${setting}`;
  const most = Math.floor((tierHeights.most - 12) / (textSize * letterWidth));
  const over = label(strip.variety).length - most;
  return label(over > 0 ? `${strip.variety.slice(0, -over - 1)}…` : strip.variety);
}

/** What a person who does not see the map should know. */
export function describeMap({ layout, varieties }: StripPlan, measures: Measures): string {
  const length = measures.groundLength;
  const rows = layout.tiers === 1 ? "one row" : `${layout.tiers} rows one behind the other`;
  return (
    `Field map: ${layout.blocks} blocks in ${rows}, ${varieties.length} varieties, ` +
    `${layout.strips.filter((strip) => !strip.border).length} strips of ${length.text(layout.stripWidthM)}, ` +
    `in the random order that the sheet lists.`
  );
}

/** Whether a strip's first pass goes away from the start: passes alternate, whoever drives them. */
const goesOut = ({ position }: PlannedStrip, { passes }: StripPlan["layout"]): boolean =>
  ((position - 1) * passes) % 2 === 0;

function sayStrip(strip: PlannedStrip, measures: Measures): string {
  const weight = strip.sowing === null ? "" : `, ${measures.seedWeight.text(strip.sowing.kgPerHa)}`;
  const name = strip.border ? "Border" : `Strip ${strip.label}, block ${strip.block}`;
  return `${name}: ${strip.variety}, ${measures.rate.text(strip.rateSeedsPerM2)}${weight}`;
}
