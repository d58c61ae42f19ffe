/** Which strips deserve a second look: how far each lies from its own season's curve, and how far it alone moves that curve's top. */
import type { Result, StripPoint } from "../../vocabulary/result.ts";
import type { Measures } from "../../numbers/measures.ts";
import { capitalized, counted, fixed } from "../../numbers/written-numbers.ts";
import type { Chart } from "./chart.ts";
import { colours, haloOfText, layered, round, x, y } from "./look.ts";
import { stripsBehind, thinnedNote, thinStrips, type ShownStrip } from "../thin-strips.ts";
import { endsOf, oneMarkEach, seasonLabel } from "./strip-signs.ts";

/** One number of each strip that says whether it deserves a look. */
interface StripCheck {
  name: string;
  heading: string;
  key(measures: Measures): string;
  yTitle(measures: Measures): string;
  /** In engine units; null where it is not known. */
  of(strip: StripPoint): number | null;
  /** In the unit of the axis. */
  drawn(value: number, measures: Measures): number;
  told(value: number, measures: Measures): string;
  /** Strips beyond this, up or down, are named in the picture; in engine units. */
  limit(strips: readonly StripPoint[]): number;
  /** The limit in words: "1 is more than 3 standard errors from its curve". */
  beyond: { one: string; many: string };
  table: { caption(variety: string): string; head(measures: Measures): string };
}

const stripCheck = (check: StripCheck): Chart => {
  const judged = (result: Result, variety: string): ShownStrip[] =>
    result.strips.filter((strip) => strip.variety === variety && check.of(strip) !== null);
  /** Of strips that are judged, which all have one. */
  const valueOf = (strip: StripPoint): number => check.of(strip)!;
  const size = (strip: StripPoint): number => Math.abs(valueOf(strip));
  return {
    name: check.name,
    live: [],
    ofStrips: true,
    subjects: (result) => result.varieties.filter((variety) => judged(result, variety).length > 0),
    spec: (measures) => {
      const xTitle = measures.rateAxis;
      const yTitle = check.yTitle(measures);
      const encoding = { x: x("x", xTitle), y: y("y", yTitle) };
      return layered(
        [
          {
            data: { name: "lines" },
            mark: { type: "rule", color: colours.quiet, strokeDash: [4, 3] },
            encoding: { y: y("y", yTitle) },
          },
          {
            data: { name: "strips" },
            mark: { type: "point", color: colours.quiet, size: 30, strokeWidth: 1.2, opacity: 0.8 },
            encoding: { ...encoding, shape: { field: "season", type: "nominal", title: null } },
          },
          {
            data: { name: "far" },
            mark: { type: "point", filled: true, color: colours.vermilion, size: 60, opacity: 1 },
            encoding,
          },
          ...[haloOfText, { color: colours.vermilion }].map((look) => ({
            data: { name: "far" },
            mark: {
              type: "text",
              dx: { expr: "datum.toLeft ? -7 : 7" },
              align: { expr: "datum.toLeft ? 'right' : 'left'" },
              baseline: "middle",
              ...look,
            },
            encoding: { ...encoding, text: { field: "text" } },
          })),
        ],
        { legend: true },
      );
    },
    draw: (result, variety, measures) => {
      const strips = judged(result, variety);
      const season = seasonLabel(result);
      const rates = strips.map((strip) => strip.rateSeedsPerM2);
      const [lowest, highest] = endsOf(rates);
      const middle = (lowest + highest) / 2;
      const limit = check.limit(strips);
      const strongest = [...strips].sort((a, b) => size(b) - size(a));
      const far = strongest.filter((strip) => size(strip) > limit).slice(0, mostNamed);
      const at = (strip: StripPoint): { x: number; y: number } => ({
        x: round(measures.rate.value(strip.rateSeedsPerM2)),
        y: round(check.drawn(valueOf(strip), measures)),
      });
      const all = stripsBehind(strips);
      const drawn = thinStrips(strips, mostDrawn);
      const beyond = stripsBehind(strips.filter((strip) => size(strip) > limit));
      return {
        data: {
          lines: [-limit, 0, limit].map((value) => ({ y: round(check.drawn(value, measures)) })),
          strips: drawn.map((strip) => ({ ...at(strip), season: season(strip) })),
          far: far.map((strip) => ({
            ...at(strip),
            text: rowText(strip),
            toLeft: strip.rateSeedsPerM2 > middle,
          })),
        },
        strips: oneMarkEach(drawn),
        heading: check.heading,
        key: `${check.key(measures)}${thinnedNote(drawn, all)}`,
        description: `${capitalized(counted(all, "strip"))}; ${
          beyond === 0 ? "none" : String(beyond)
        } ${beyond < 2 ? check.beyond.one : check.beyond.many}.`,
        table: {
          caption: check.table.caption(variety),
          head: ["File and row", "Season and field", "Block", "Yield", check.table.head(measures)],
          rows: strongest
            .slice(0, 8)
            .map((strip) => [
              rowText(strip),
              strip.environment,
              strip.block,
              measures.grainYield.text(strip.yieldKgPerHa),
              check.told(valueOf(strip), measures),
            ]),
        },
      };
    },
  };
};

/** More signs than this hide each other. */
const mostDrawn = 2000;

/** More names than this would lie on each other; the table goes on. */
const mostNamed = 5;

/** The usual mark for an externally studentized residual. Common practice. */
const farOut = 3;

export const residuals = stripCheck({
  name: "residuals",
  heading: "Strips far from their curve",
  key: () => `Each mark is one strip; dashed: ${farOut} standard errors from its curve`,
  yTitle: () => "standard errors",
  of: (strip) => strip.studentizedResidual,
  drawn: (value) => value,
  told: (value, measures) => fixed(value, 1, measures.style),
  limit: () => farOut,
  beyond: {
    one: `is more than ${farOut} standard errors from its curve`,
    many: `are more than ${farOut} standard errors from their curves`,
  },
  table: {
    caption: (variety) => `Strips of ${variety} farthest from their curve`,
    head: () => "Distance, standard errors",
  },
});

/** A tenth of the tested range: what one step of a season is, and so worth a look. Ours, without source. */
const farMoved = 0.1;

export const influence = stripCheck({
  name: "influence",
  heading: "Strips that move the curve's top",
  key: () =>
    "Each mark is one strip: how far the highest-yield rate of its site-year would move without it; dashed: 10% of the range tested",
  yTitle: (measures) => `shift, ${measures.rateAxis}`,
  of: (strip) => strip.topShiftSeedsPerM2,
  drawn: (value, measures) => measures.rate.value(value),
  told: (value, measures) => measures.rate.number(value).replace(" million", ""),
  limit: (strips) => {
    const [lowest, highest] = endsOf(strips.map((strip) => strip.rateSeedsPerM2));
    return farMoved * (highest - lowest);
  },
  beyond: {
    one: "moves the highest-yield rate of its site-year by more than 10% of the range tested",
    many: "move the highest-yield rate of their site-years by more than 10% of the range tested",
  },
  table: {
    caption: (variety) => `Strips of ${variety} that move the highest-yield rate most`,
    head: (measures) => `Shift without it, ${measures.rateAxis}`,
  },
});

/** "strips-2026.csv row 14": a folder before the name would only take room. */
const rowText = ({ file, row }: StripPoint): string => `${file.replace(/^.*[\\/]/, "")} row ${row}`;
