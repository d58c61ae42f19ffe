/** The trial as it lies in the field, drawn from above. */
import type { PlannedStrip, StripPlan } from "../vocabulary/strip-plan.ts";
import { colours } from "./charts/look.ts";
import { escapeHtml } from "./html/markup.ts";
import { bareRate } from "./wording/optimum.ts";
import type { Measures } from "../numbers/measures.ts";

/** A strip is as long as its words, within these [px]. */
const tierHeights = { least: 190, most: 330 };
const textSize = 12;
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

/** Where strips stand in the picture [px]. */
interface Frame {
  width: number;
  height: number;
  tierHeight: number;
  perMetre: number;
}

const frameOf = ({ layout }: StripPlan, longestLabel: number): Frame => {
  const perMetre =
    Math.max(usualWidth, (narrowestStrip * layout.usedWidthM) / layout.stripWidthM) / layout.usedWidthM;
  const tierHeight = Math.min(Math.max(tierHeights.least, heightOf(longestLabel)), tierHeights.most);
  return {
    width: layout.usedWidthM * perMetre + margin.left + margin.right,
    height: margin.top + layout.tiers * (tierHeight + tierGap) - tierGap + driveHeight + margin.bottom,
    tierHeight,
    perMetre,
  };
};

const topOf = (tier: number, { tierHeight }: Frame): number =>
  margin.top + (tier - 1) * (tierHeight + tierGap);

/**
 * SVG of the plan: every strip with its name, variety and rate; across the field true to scale, along it shortened.
 *
 * Darker strips have more seed. Nothing depends on colour: each strip says what it is, and under it how it is driven.
 * North is marked by hand: nobody has said where it is. As wide as it says, its words are read at 12 px and more.
 */
export function fieldMapSvg(plan: StripPlan, measures: Measures): string {
  const { layout } = plan;
  const labelled = layout.strips.map((strip) => ({ strip, label: stripLabel(strip, measures) }));
  const frame = frameOf(plan, Math.max(...labelled.map(({ label }) => label.length)));
  const [width, height] = [frame.width.toFixed(0), frame.height];
  const fillOf = stripFills(plan);
  const blocks = [...new Set(layout.strips.filter((strip) => !strip.border).map((strip) => strip.block))];
  return (
    `<svg class="field-map" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}" role="img" font-family="sans-serif" font-size="${textSize}" fill="${colours.ink}" aria-label="${escapeHtml(describeMap(plan, measures))}">` +
    `<defs><pattern id="border" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)"><path d="M0 0V6" stroke="${colours.line}" stroke-width="5"/></pattern></defs>` +
    labelled
      .map(({ strip, label }) => drawStrip(strip, { label, fill: fillOf(strip) }, plan, frame, measures))
      .join("") +
    blocks.map((block) => drawBlock(block, plan, frame)).join("") +
    `${alleys(plan, frame, measures)}${startAndNorth(plan, frame)}` +
    `<text x="${margin.left}" y="${height - 8}">${escapeHtml(sizeSentence(plan, measures))}</text></svg>`
  );
}

/** The fill of a strip: a colour for the variety, darker with more seed; borders are hatched. */
function stripFills({ varieties }: StripPlan): (strip: PlannedStrip) => string {
  const order = new Map(varieties.map(({ variety }, index) => [variety, index]));
  const rates = new Map(varieties.map(({ variety, chosen }) => [variety, chosen.ratesSeedsPerM2]));
  return ({ border, variety, rateSeedsPerM2 }) => {
    if (border) return `fill="url(#border)"`;
    const ladder = rates.get(variety)!;
    const depth = 0.15 + (0.45 * ladder.indexOf(rateSeedsPerM2)) / Math.max(1, ladder.length - 1);
    return `fill="${varietyColours[order.get(variety)! % varietyColours.length]}" fill-opacity="${depth.toFixed(2)}"`;
  };
}

function drawStrip(
  strip: PlannedStrip,
  { label, fill }: { label: string; fill: string },
  { layout }: StripPlan,
  frame: Frame,
  measures: Measures,
): string {
  const x = margin.left + strip.acrossM * frame.perMetre;
  const w = strip.widthM * frame.perMetre;
  const y = topOf(strip.tier, frame);
  const foot = y + frame.tierHeight;
  const middle = (x + w / 2 + 4).toFixed(1);
  return (
    `<g><title>${escapeHtml(sayStrip(strip, measures))}</title>` +
    `<rect x="${x.toFixed(1)}" y="${y}" width="${w.toFixed(1)}" height="${frame.tierHeight}" ${fill} stroke="${colours.quiet}" stroke-width="0.7"/>` +
    `<text transform="translate(${middle} ${foot - 6}) rotate(-90)">${escapeHtml(label)}</text>` +
    `<text x="${(x + w / 2).toFixed(1)}" y="${foot + 14}" text-anchor="middle">${strip.position}${goesOut(strip, layout) ? "↓" : "↑"}</text></g>`
  );
}

/** The bracket over a block, with its name. */
function drawBlock(block: string, { layout }: StripPlan, frame: Frame): string {
  const strips = layout.strips.filter((strip) => strip.block === block);
  const [first, last] = [strips[0]!, strips.at(-1)!];
  const left = margin.left + first.acrossM * frame.perMetre;
  const right = margin.left + (last.acrossM + last.widthM) * frame.perMetre;
  const y = topOf(first.tier, frame) - 6;
  return (
    `<path d="M${left.toFixed(1)} ${y}H${right.toFixed(1)}M${left.toFixed(1)} ${y - 5}V${y + 6}M${right.toFixed(1)} ${y - 5}V${y + 6}" stroke="${colours.ink}" stroke-width="1.4" fill="none"/>` +
    `<text x="${((left + right) / 2).toFixed(1)}" y="${y - 6}" text-anchor="middle" font-size="13">Block ${escapeHtml(block)}</text>`
  );
}

const alleys = ({ layout, request }: StripPlan, frame: Frame, { groundLength }: Measures): string =>
  Array.from(
    { length: layout.tiers - 1 },
    (_, i) =>
      `<text x="${frame.width - margin.right}" y="${topOf(i + 2, frame) - 18}" text-anchor="end">Alley ${escapeHtml(groundLength.text(request.ground.alleyM))}</text>`,
  ).join("");

function startAndNorth({ layout }: StripPlan, frame: Frame): string {
  const note =
    `Start at the corner marked ▼, with strip ${layout.strips[0]?.position ?? 1}. ` +
    `Drive in the order of the numbers, down ↓ and back ↑${layout.passes === 1 ? "" : `; ${layout.passes} passes a strip`}.`;
  return (
    `<path d="M${margin.left - 7} ${topOf(1, frame) - 12}h14l-7 10z" fill="${colours.ink}"/>` +
    `<circle cx="${frame.width - 34}" cy="24" r="18" fill="none" stroke="${colours.ink}"/>` +
    `<text x="${frame.width - 60}" y="28" text-anchor="end">North: draw the arrow</text>` +
    `<text x="${margin.left}" y="20">${escapeHtml(note)}</text>`
  );
}

const sizeSentence = ({ layout }: StripPlan, { groundLength: { text }, rateAxis }: Measures): string =>
  `Strips ${text(layout.stripWidthM)} wide and ${text(layout.stripLengthM)} long, ${text(layout.usedWidthM)} across in all. ` +
  `Rates in ${rateAxis}. True to scale across, shortened along.`;

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
