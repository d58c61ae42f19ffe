/** The harvest from above, in metres from the middle of the field: all points as logged, and what was used of them. */
import type { Harvest, LeftOutReason } from "../vocabulary/harvest.ts";
import { colours } from "./charts/look.ts";
import { escapeHtml } from "./html/markup.ts";
import type { Measures } from "../numbers/measures.ts";

const [width, margin, legendRow, legendColumn] = [960, 16, 24, 170];
/** Dark to light: reads the same in grey print and for all common kinds of colour blindness (one hue, falling lightness). */
const shades = ["#08306b", "#2166ac", "#5f9fd0", "#a6c8e4", "#dbe7f3"];

/** Each group of reasons has a colour, a shape and a place in the lightness: black print tells them apart, too. */
const groups: { name: string; reasons: LeftOutReason[]; colour: string; shape: Shape }[] = [
  {
    name: "turning, header up",
    reasons: ["header-up", "turning", "not-seeded"],
    colour: colours.line,
    shape: "dot",
  },
  {
    name: "start or end of a pass",
    reasons: ["start-of-pass", "end-of-pass"],
    colour: colours.orange,
    shape: "square",
  },
  {
    name: "end of a strip, change of seed",
    reasons: ["strip-end", "change-over"],
    colour: colours.sky,
    shape: "ring",
  },
  {
    name: "shared by strips, narrow or cut before",
    reasons: ["shared-cut", "short-swath", "overlap"],
    colour: colours.purple,
    shape: "bar",
  },
  {
    name: "far out, no grain, speed",
    reasons: ["far-out", "no-grain", "no-yield", "speed"],
    colour: colours.vermilion,
    shape: "cross",
  },
];
type Shape = "dot" | "square" | "ring" | "bar" | "cross";

const number = (value: number): string => value.toFixed(1);

function mark(shape: Shape, x: number, y: number, r: number): string {
  const [a, b] = [number(x), number(y)];
  if (shape === "cross")
    return `M${number(x - r)} ${number(y - r)}l${number(2 * r)} ${number(2 * r)}m0 ${number(-2 * r)}l${number(-2 * r)} ${number(2 * r)}`;
  if (shape === "bar") return `M${number(x - r)} ${b}h${number(2 * r)}`;
  if (shape === "square")
    return `M${number(x - r)} ${number(y - r)}h${number(2 * r)}v${number(2 * r)}h${number(-2 * r)}z`;
  if (shape === "ring")
    return `M${number(x - r)} ${b}a${number(r)} ${number(r)} 0 1 0 ${number(2 * r)} 0a${number(r)} ${number(r)} 0 1 0 ${number(-2 * r)} 0z`;
  return `M${a} ${b}h.01`;
}

interface Frame {
  x: (x: number) => number;
  y: (y: number) => number;
  height: number;
  scale: number;
}

/** The longer side of the field lies across the page. */
function frameOf({ map }: Harvest): Frame & { turned: boolean } {
  const all = [...map.harvested, ...map.seeded];
  const [xs, ys] = [all.map(({ x }) => x), all.map(({ y }) => y)];
  const ends = (values: number[]): [number, number] =>
    values.reduce<[number, number]>(
      ([low, high], one) => [Math.min(low, one), Math.max(high, one)],
      [Infinity, -Infinity],
    );
  const [[left, right], [bottom, top]] = [ends(xs), ends(ys)];
  const turned = top - bottom > right - left;
  const [long, short] = turned ? [top - bottom, right - left] : [right - left, top - bottom];
  const scale = (width - 2 * margin) / Math.max(long, 1);
  return {
    turned,
    scale,
    height: short * scale + 2 * margin,
    x: (x) => margin + (x - (turned ? bottom : left)) * scale,
    y: (y) => margin + (turned ? y - left : top - y) * scale,
  };
}

function svg(height: number, label: string, content: string): string {
  return (
    `<svg class="harvest-map" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${width} ${height.toFixed(0)}" role="img" font-family="sans-serif" ` +
    `font-size="13" fill="${colours.ink}" aria-label="${escapeHtml(label)}">${content}</svg>`
  );
}

/** Middle of the lower fifth of yields to that of the upper: five shades with about as many points each. */
function shadeEnds(harvest: Harvest): number[] {
  const used = harvest.map.harvested.flatMap(({ yieldKgPerHa, why }) =>
    why === null && yieldKgPerHa !== null ? [yieldKgPerHa] : [],
  );
  used.sort((a, b) => a - b);
  return used.length === 0 ? [] : [1, 2, 3, 4].map((fifth) => used[Math.floor((fifth * used.length) / 5)]!);
}

/** @param what `logged`: every point with its yield; `used`: those that are used, and why the others are not */
export function harvestMapSvg(harvest: Harvest, measures: Measures, what: "logged" | "used"): string {
  const frame = frameOf(harvest);
  const place = ({ x, y }: { x: number; y: number }): [number, number] => {
    const [a, b] = frame.turned ? [y, x] : [x, y];
    return [frame.x(a), frame.y(b)];
  };
  const ends = shadeEnds(harvest);
  const r = Math.max(1.3, Math.min(4, 0.3 * harvest.combineWidthM * frame.scale));
  const paths: string[] = [];
  const stroke = (colour: string, size: number, path: string): void => {
    if (path !== "")
      paths.push(
        `<path d="${path}" stroke="${colour}" stroke-width="${number(size)}" stroke-linecap="square" fill="none"/>`,
      );
  };
  shades.forEach((shade, s) => {
    let path = "";
    for (const point of harvest.map.harvested) {
      if (point.yieldKgPerHa === null || (what === "used" && point.why !== null)) continue;
      const at = ends.filter((end) => point.yieldKgPerHa! >= end).length;
      // Most yield is darkest.
      if (shades.length - 1 - at === s) path += mark("dot", ...place(point), r);
    }
    stroke(shade, 2 * r, path);
  });
  if (what === "used") {
    for (const { reasons, colour, shape } of groups) {
      let path = "";
      for (const point of harvest.map.harvested)
        if (point.why !== null && reasons.includes(point.why)) path += mark(shape, ...place(point), r * 0.8);
      stroke(colour, shape === "dot" ? r : 1.2, path);
    }
  }
  const legendY = frame.height + 6;
  const legend = what === "used" ? groupLegend(harvest, legendY + legendRow) : "";
  const height = legendY + legendRow + (what === "used" ? 2 * legendRow : 0) + 6;
  const metre = measures.groundLength;
  const bar = measures.system === "us" ? 200 * 0.3048 : 50;
  const scaleBar = `<path d="M${width - margin - number2(bar * frame.scale)} ${legendY + 8}h${number2(bar * frame.scale)}" stroke="${colours.ink}" stroke-width="2"/><text x="${width - margin}" y="${legendY + 24}" text-anchor="end">${escapeHtml(metre.text(bar))}</text>`;
  return svg(
    height,
    mapText(harvest, what),
    paths.join("") + shadeLegend(ends, legendY, measures) + legend + scaleBar,
  );
}

const number2 = (value: number): number => Math.round(value * 10) / 10;

function shadeLegend(ends: number[], y: number, measures: Measures): string {
  if (ends.length === 0) return "";
  const unit = measures.grainYield;
  const words = [
    `from ${unit.number(ends[3]!)}`,
    ...[2, 1, 0].map((e) => `from ${unit.number(ends[e]!)}`),
    `less, ${unit.unit}`,
  ];
  return words
    .map(
      (word, s) =>
        `<rect x="${margin + s * 120}" y="${y}" width="16" height="14" fill="${shades[s]}" stroke="${colours.quiet}" stroke-width="0.5"/><text x="${margin + 22 + s * 120}" y="${y + 12}">${escapeHtml(word)}</text>`,
    )
    .join("");
}

function groupLegend({ leftOut }: Harvest, y: number): string {
  return groups
    .map(({ name, reasons, colour, shape }, g) => {
      const points = leftOut
        .filter(({ reason }) => reasons.includes(reason))
        .reduce((sum, one) => sum + one.points, 0);
      const [x, row] = [margin + (g % 3) * 310, y + Math.floor(g / 3) * legendRow];
      return `<path d="${mark(shape, x + 7, row + 7, 4.5)}" stroke="${colour}" stroke-width="${shape === "dot" ? 6 : 2}" stroke-linecap="square" fill="none"/><text x="${x + 22}" y="${row + 12}">${escapeHtml(`${name}: ${points}`)}</text>`;
    })
    .join("");
}

const mapText = (harvest: Harvest, what: "logged" | "used"): string =>
  what === "logged"
    ? `Map of ${harvest.pointsRead} points as the monitor logged them, darker where the yield is higher.`
    : `Map of the ${harvest.pointsUsed} points that are used, darker where the yield is higher, and of those left out, by reason.`;

/** Strips with their rates, darker with more seed, and their position on them. */
export function seededMapSvg(harvest: Harvest, measures: Measures): string {
  const frame = frameOf(harvest);
  const rates = harvest.rateClasses.map(({ rate }) => rate);
  const byPosition = new Map(harvest.strips.map((strip) => [strip.position, strip]));
  const r = Math.max(1.5, 0.42 * harvest.drillWidthM * frame.scale);
  const paths = rates.map((_, c) => {
    let path = "";
    for (const { x, y, strip } of harvest.map.seeded) {
      if (byPosition.get(strip)?.rateClass !== c) continue;
      const [a, b] = frame.turned ? [y, x] : [x, y];
      path += mark("dot", frame.x(a), frame.y(b), 1);
    }
    return `<path d="${path}" stroke="${rateShade(c, rates.length)}" stroke-width="${number(2 * r)}" stroke-linecap="square" fill="none"/>`;
  });
  const labels = harvest.strips.map(({ position }) => {
    const own = harvest.map.seeded.filter(({ strip }) => strip === position);
    if (own.length === 0) return "";
    const places = own.map(
      ({ x, y }) => (frame.turned ? [frame.x(y), frame.y(x)] : [frame.x(x), frame.y(y)]) as [number, number],
    );
    const extent = (at: 0 | 1): [number, number] => {
      const along = places.map((place) => place[at]);
      return [Math.min(...along), Math.max(...along)];
    };
    const [[left, right], [top, bottom]] = [extent(0), extent(1)];
    // Neighbours are narrow: their numbers stand one behind the other, along the strips.
    const aside = ((position % labelRows) - (labelRows - 1) / 2) * labelRow;
    const [dx, dy] = bottom - top > right - left ? [0, aside] : [2 * aside, 0];
    return `<text x="${number((left + right) / 2 + dx)}" y="${number((top + bottom) / 2 + dy + 5)}" text-anchor="middle" stroke="#fff" stroke-width="3" paint-order="stroke">${position}</text>`;
  });
  const y = frame.height + 6;
  const unit = harvest.rateIsWeight ? measures.seedWeight : measures.rate;
  const inRow = Math.floor((width - 2 * margin) / legendColumn);
  const legend = rates.map((rate, c) => {
    const [left, top] = [margin + (c % inRow) * legendColumn, y + Math.floor(c / inRow) * legendRow];
    return (
      `<rect x="${left}" y="${top}" width="16" height="14" fill="${rateShade(c, rates.length)}" stroke="${colours.quiet}" stroke-width="0.5"/>` +
      `<text x="${left + 22}" y="${top + 12}">${escapeHtml(unit.text(rate))}</text>`
    );
  });
  return svg(
    y + Math.ceil(rates.length / inRow) * legendRow,
    `Map of the seeded strips, darker with more seed: ${harvest.strips.length} strips, ${rates.length} rates.`,
    `<g>${paths.join("")}${labels.join("")}</g>${legend.join("")}`,
  );
}

const [labelRows, labelRow] = [3, 18];

const rateShade = (c: number, count: number): string => {
  const share = count < 2 ? 0.5 : c / (count - 1);
  const part = (light: number, dark: number): string =>
    Math.round(light + (dark - light) * share)
      .toString(16)
      .padStart(2, "0");
  return `#${part(0xe8, 0x0b)}${part(0xf0, 0x3d)}${part(0xdc, 0x2e)}`;
};

/** How much neighbours disagree, by the delay that is taken off. */
export function delayPlotSvg({ delay }: Harvest): string {
  const [w, h, left, bottom] = [460, 240, 44, 44];
  const endsOf = (all: readonly number[]): [least: number, most: number] => [
    Math.min(...all),
    Math.max(...all),
  ];
  const [least, most] = endsOf(delay.curve.map(({ disagreement }) => disagreement));
  const [from, to] = endsOf(delay.curve.map(({ seconds }) => seconds));
  const x = (s: number): string => number(left + ((s - from) / (to - from)) * (w - left - 12));
  const y = (d: number): string => number(12 + ((most - d) / (most - least || 1)) * (h - bottom - 18));
  const line = delay.curve
    .map(({ seconds, disagreement }, i) => `${i === 0 ? "M" : "L"}${x(seconds)} ${y(disagreement)}`)
    .join("");
  const ticks = [0, 5, 10, 15, 20].map(
    (s) =>
      `<path d="M${x(s)} ${h - bottom}v5" stroke="${colours.quiet}"/><text x="${x(s)}" y="${h - bottom + 19}" text-anchor="middle">${s}</text>`,
  );
  return (
    `<svg class="delay-plot" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 ${w} ${h}" role="img" font-family="sans-serif" font-size="12" fill="${colours.ink}" ` +
    `aria-label="Disagreement of neighbouring passes by delay; taken is ${delay.seconds.toFixed(1)} seconds.">` +
    `<path d="M${left} 8V${h - bottom}H${w - 8}" stroke="${colours.quiet}" fill="none"/>${ticks.join("")}` +
    `<path d="${line}" stroke="${colours.blue}" stroke-width="2" fill="none"/>` +
    `<path d="M${x(delay.seconds)} 8V${h - bottom}" stroke="${colours.vermilion}" stroke-width="1.5" stroke-dasharray="5 4"/>` +
    `<text x="${x(delay.seconds)}" y="20" dx="6">${delay.seconds.toFixed(1)} s</text>` +
    `<text x="${(w + left) / 2}" y="${h - 6}" text-anchor="middle">delay taken off, seconds</text>` +
    `<text transform="translate(14 ${(h - bottom) / 2}) rotate(-90)" text-anchor="middle">disagreement</text></svg>`
  );
}
