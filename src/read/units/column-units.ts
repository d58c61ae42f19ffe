/** The units a column may be in, and what a bare number means where the header names none. */
import type { Crop } from "../../vocabulary/crops.ts";
import {
  acresPerHectare,
  fromBushelsPerAcre,
  fromPerAcre,
  fromPerSquareFoot,
  fromPoundsPerBushel,
  fromPoundsPerAcre,
  fromSeedsPerPound,
  fromThousandKernelWeight,
  kgPerPound,
  metresPerFoot,
  metresPerInch,
} from "../../numbers/units.ts";

/** A unit a column may be in. */
export interface ColumnUnit {
  /** As told to the person. */
  name: string;
  /** Other spellings, as `plainUnit` leaves them. */
  also?: string[];
  /** A number in this unit → the engine's unit. */
  toOurs: (value: number, crop: Crop) => number;
  /** Counted along a metre of row: needs the row spacing to become a count per area. */
  alongRow?: true;
  /** A share of the rate that is sown today, which the lot or the season file gives. */
  ofToday?: true;
  /** The number is a weight of seed, which needs seeds per weight and germination to become seeds. */
  seedWeight?: true;
}

/** A bare number of at least `from` and at most `to` is in `unit`. Where no span holds it, its unit is unclear. */
export interface Span {
  unit: string;
  from: number;
  to: number;
}

/** Units of one quantity, the usual one first. */
type Units = [ColumnUnit, ...ColumnUnit[]];

export interface Quantity {
  units: Units;
  bare: { us: Span[]; metric: Span[] };
  /** Words that may stand in a unit and say nothing: `viable seeds/ac`. */
  fillers?: RegExp;
}

const always = (unit: string): Span[] => [{ unit, from: -Infinity, to: Infinity }];
const asIs = (value: number): number => value;
const times =
  (factor: number) =>
  (value: number): number =>
    value * factor;

/** 1.1 million is 1,100,000 and not a hair beside it, so that the same rate in two units stays one rate. */
function counted(value: number, each: number): number {
  const count = value * each;
  const whole = Math.round(count);
  return Math.abs(count - whole) < 1e-9 * count ? whole : count;
}

/** Counts per area, each also written without the word: `/ac`. */
const perArea = (what: string): Units => [
  { name: `${what}/ft2`, also: ["/ft2"], toOurs: fromPerSquareFoot },
  { name: `${what}/m2`, also: ["/m2", "k/m2"], toOurs: asIs },
  { name: `${what}/ac`, also: ["/ac"], toOurs: fromPerAcre },
  {
    name: `thousand ${what}/ac`,
    also: [
      "thousand/ac",
      "k/ac",
      "1000/ac",
      "x1000/ac",
      "000/ac",
      "000s/ac",
      "/acthousand",
      "/ac000",
      "/ac000s",
      "/ac1000",
      "/ac1000s",
      "/acx1000",
    ],
    toOurs: (value) => fromPerAcre(counted(value, 1e3)),
  },
  {
    name: `million ${what}/ac`,
    also: ["million/ac", "mio/ac", "mil/ac", "m/ac", "1000000/ac", "106/ac", "/acmillion"],
    toOurs: (value) => fromPerAcre(counted(value, 1e6)),
  },
  { name: `${what}/ha`, also: ["/ha"], toOurs: (value) => value / 10_000 },
  {
    name: `thousand ${what}/ha`,
    also: ["thousand/ha", "k/ha", "1000/ha"],
    toOurs: (value) => counted(value, 1e3) / 10_000,
  },
  {
    name: `million ${what}/ha`,
    also: ["million/ha", "mio/ha", "mil/ha", "m/ha", "1000000/ha", "106/ha"],
    toOurs: (value) => counted(value, 1e6) / 10_000,
  },
];

const weightPerArea: Units = [
  {
    name: "bu/ac",
    also: ["bpa", "bu"],
    toOurs: (value, crop) => fromBushelsPerAcre(value, crop.poundsPerBushel),
  },
  { name: "lb/ac", toOurs: fromPoundsPerAcre },
  { name: "cwt/ac", toOurs: (value) => fromPoundsPerAcre(value * 100) },
  { name: "kg/ha", toOurs: asIs },
];

const percent = (from: number, to: number): Quantity => ({
  units: [
    { name: "%", also: ["percent", "pct", "%wb", "%wetbasis"], toOurs: asIs },
    { name: "share", also: ["fraction", "0-1", "proportion"], toOurs: times(100) },
  ],
  bare: { us: [{ unit: "%", from, to }], metric: [{ unit: "%", from, to }] },
});

/** Bare numbers between these are shares of one. */
const withShares = ({ units, bare }: Quantity, from: number, to: number): Quantity => ({
  units,
  bare: {
    us: [...bare.us, { unit: "share", from, to }],
    metric: [...bare.metric, { unit: "share", from, to }],
  },
});

const seedsPerWeight = (unit: string): Quantity => ({
  units: [
    { name: "seeds/lb", also: ["/lb"], toOurs: fromSeedsPerPound },
    { name: "seeds/kg", also: ["/kg"], toOurs: asIs },
    { name: "g", also: ["gram", "grams", "g/1000", "g/1000seeds"], toOurs: fromThousandKernelWeight },
  ],
  bare: { us: always(unit), metric: always(unit) },
});

const length: Units = [
  { name: "ft", also: ["foot", "feet"], toOurs: times(metresPerFoot) },
  { name: "m", also: ["metre", "metres", "meter", "meters"], toOurs: asIs },
  { name: "in", also: ["inch", "inches", '"'], toOurs: times(metresPerInch) },
  { name: "cm", toOurs: (value) => value / 100 },
  { name: "yd", also: ["yard", "yards"], toOurs: times(3 * metresPerFoot) },
];

const ofSeed: Record<string, string[]> = { "lb/ac": ["lb", "#", "#/ac"], "kg/ha": ["kg"] };

const rate: Quantity = {
  units: [
    ...perArea("seeds"),
    ...weightPerArea.map(
      // A weight of seed without an area is that of an acre, or of a hectare.
      (unit): ColumnUnit => ({
        ...unit,
        also: [...(unit.also ?? []), ...(ofSeed[unit.name] ?? [])],
        seedWeight: true,
      }),
    ),
  ],
  bare: {
    us: [{ unit: "seeds/ac", from: 10_000, to: 1e9 }],
    metric: [{ unit: "seeds/m2", from: 2, to: 9_999 }],
  },
  fillers:
    /viable|pure|live|pls|seeds?|sds|kernels?|keimfähige|keimf|kf|körner|kö|grains?|gr(?=\/)|graines?|semillas?|sem(?=\/)|granos?|viables?/g,
};

/** Counts along the row, which the row spacing brings to an area. */
const alongRow = (what: string): ColumnUnit[] => [
  {
    name: `${what}/ft of row`,
    also: ["/ft", "/ftofrow", "/ftrow", "/rowft", "/rowfoot"],
    toOurs: (value) => value / metresPerFoot,
    alongRow: true,
  },
  {
    name: `${what}/m of row`,
    also: ["/m", "/mofrow", "/mrow", "/rowm", "/metreofrow", "/meterofrow", "/lfdm", "/ml"].concat([
      "/lfm",
      "/mlineal",
      "/metrolineal",
      "/mlinéaire",
      "/mlineaire",
      "/mètrelinéaire",
      "/laufmeter",
      "/mreihe",
    ]),
    toOurs: asIs,
    alongRow: true,
  },
];

/**
 * Every quantity with its units, the usual ones first.
 *
 * Bare rates below 10,000 in US units (metric: outside 2 to 9,999) are unclear on purpose: 1.2 may be a million seeds
 * or bushels, 28 seeds/ft² or pounds.
 */
export const quantities = {
  rate,
  stripRate: {
    ...rate,
    units: [
      ...rate.units,
      ...alongRow("seeds"),
      { name: "% of rate_now", toOurs: (value: number) => value / 100, ofToday: true } as ColumnUnit,
    ],
  },
  yield: {
    units: [
      ...weightPerArea,
      { name: "t/ha", also: ["tonne/ha", "tonnes/ha", "mg/ha", "mt/ha"], toOurs: times(1_000) },
      { name: "dt/ha", also: ["q/ha", "qx/ha", "qq/ha", "100kg/ha"], toOurs: times(100) },
      { name: "g/m2", toOurs: times(10) },
      {
        name: "short ton/ac",
        also: ["ton/ac", "tons/ac", "shorttons/ac"],
        toOurs: (value) => fromPoundsPerAcre(value * 2_000),
      },
    ],
    bare: {
      us: [{ unit: "bu/ac", from: -Infinity, to: 1_000 }],
      metric: [
        { unit: "kg/ha", from: -Infinity, to: 0 },
        { unit: "kg/ha", from: 100, to: Infinity },
      ],
    },
    fillers: /grain/g,
  },
  stripWeight: {
    units: [
      { name: "lb", also: ["#"], toOurs: times(kgPerPound) },
      { name: "kg", toOurs: asIs },
      { name: "bu", toOurs: (value, crop) => value * crop.poundsPerBushel * kgPerPound },
      { name: "cwt", toOurs: times(100 * kgPerPound) },
      { name: "t", also: ["tonne", "tonnes"], toOurs: times(1_000) },
      { name: "g", toOurs: (value) => value / 1_000 },
    ],
    bare: { us: always("lb"), metric: always("kg") },
  },
  rowSpacing: { units: length, bare: { us: always("in"), metric: always("cm") } },
  seedsPerRow: {
    units: [
      { name: "seeds/ft", also: ["/ft", "/ftrow", "/ftofrow"], toOurs: (value) => value / metresPerFoot },
      { name: "seeds/m", also: ["/m", "/metre", "/meter", "/mrow", "/mofrow"], toOurs: asIs },
    ],
    bare: { us: always("seeds/ft"), metric: always("seeds/m") },
    fillers: /seeds?|kernels?/g,
  },
  caught: {
    units: [
      { name: "g", also: ["gram", "grams"], toOurs: asIs },
      { name: "kg", toOurs: times(1_000) },
      { name: "oz", also: ["ounce", "ounces"], toOurs: times((1_000 * kgPerPound) / 16) },
      { name: "lb", toOurs: times(1_000 * kgPerPound) },
    ],
    bare: { us: always("g"), metric: always("g") },
  },
  length: { units: length, bare: { us: always("ft"), metric: always("m") } },
  rateStep: { units: perArea("seeds"), bare: { us: always("seeds/ac"), metric: always("seeds/m2") } },
  // No grain is harvested at less than 1 %, so that 0.135 is a share.
  moisture: withShares(percent(1, 100), 0.05, 0.5),
  // Nor is seed sown of which 1 % germinates.
  sharePct: withShares(percent(1, Infinity), 0.05, 0.9999),
  groundCover: percent(-Infinity, Infinity),
  stand: {
    units: [...perArea("plants"), ...alongRow("plants")],
    bare: {
      us: [
        { unit: "plants/ft2", from: -Infinity, to: 500 },
        { unit: "plants/ac", from: 10_000, to: Infinity },
      ],
      metric: [{ unit: "plants/m2", from: -Infinity, to: 9_999 }],
    },
    fillers: /plants?|seedlings?|pflanzen|plantes?|plantas?|pieds?/g,
  },
  heads: {
    units: perArea("heads"),
    bare: { us: always("heads/ft2"), metric: always("heads/m2") },
    fillers: /heads?|ears?|spikes?|panicles?|ähren|épis|epis|espigas?/g,
  },
  testWeight: {
    units: [
      { name: "lb/bu", toOurs: fromPoundsPerBushel },
      { name: "kg/hl", toOurs: asIs },
      { name: "g/l", also: ["kg/m3"], toOurs: (value) => value / 10 },
    ],
    bare: { us: always("lb/bu"), metric: always("kg/hl") },
  },
  seedsPerPound: seedsPerWeight("seeds/lb"),
  seedsPerKg: seedsPerWeight("seeds/kg"),
  kernelWeight: seedsPerWeight("g"),
  water: {
    units: [
      { name: "in", also: ["inch", "inches", '"'], toOurs: times(25.4) },
      { name: "mm", toOurs: asIs },
      { name: "cm", toOurs: times(10) },
    ],
    bare: { us: always("in"), metric: always("mm") },
  },
  speed: {
    units: [
      { name: "mph", also: ["mi/h", "miles/h"], toOurs: times(0.44704) },
      { name: "km/h", also: ["kph", "kmh"], toOurs: (value) => value / 3.6 },
      { name: "m/s", toOurs: asIs },
      { name: "ft/s", toOurs: times(metresPerFoot) },
    ],
    bare: { us: always("mph"), metric: always("km/h") },
  },
  grainFlow: {
    units: [
      { name: "lb/s", also: ["lb/sec", "lbs/sec", "lb/second"], toOurs: times(kgPerPound) },
      { name: "kg/s", also: ["kg/sec", "kg/second"], toOurs: asIs },
      { name: "t/h", also: ["tonne/h", "t/hr"], toOurs: (value) => value / 3.6 },
      { name: "lb/h", also: ["lb/hr", "lb/hour"], toOurs: (value) => (value * kgPerPound) / 3_600 },
    ],
    bare: { us: always("lb/s"), metric: always("kg/s") },
  },
  area: {
    units: [
      { name: "ac", toOurs: (value) => value / acresPerHectare },
      { name: "ha", toOurs: asIs },
      { name: "m2", also: ["mq"], toOurs: (value) => value / 10_000 },
      { name: "ft2", also: ["sf"], toOurs: (value) => (value * metresPerFoot ** 2) / 10_000 },
    ],
    bare: { us: always("ac"), metric: always("ha") },
  },
} satisfies Record<string, Quantity>;

export type QuantityName = keyof typeof quantities;

/**
 * One spelling of a unit: `Bushels per acre`, `bu ac⁻¹` and `BU / AC` are all `bu/ac`.
 *
 * @example plainUnit("Seeds per sq. ft.") // "seeds/ft2"
 */
export const plainUnit = (text: string): string =>
  text
    .toLowerCase()
    .replaceAll("⁻¹", "-1")
    .replaceAll("⁻²", "-2")
    .replaceAll("²", "2")
    .replaceAll("⁶", "6")
    .replace(/\b(?:square|sq)[\s.]*(foot|feet|ft|met(?:er|re)s?|m)\b/g, (_, side: string) =>
      side[0] === "f" ? "ft2" : "m2",
    )
    .replace(/\b(?:foot|feet)\b/g, "ft")
    .replace(/\bacres?\b/g, "ac")
    .replace(/\bqm\b/g, "m2")
    .replace(/\bhectares?\b/g, "ha")
    .replace(/\b(?:bushels?|bus)\b/g, "bu")
    .replace(/\b(?:pounds?|lbs)\b/g, "lb")
    .replace(/\b(millions?|millones|thousands?|milliers?)\s+(?:of|de)\b/g, "$1")
    .replace(/\bmillions?\b/g, "million")
    .replace(/\b(?:thousands?|tausend|tsd|milliers?|mille)\b/g, "thousand")
    .replace(/\b(?:millionen|millones|mill)\b/g, "million")
    // Before a Spanish word it is a thousand; elsewhere on farms a million.
    .replace(/\bmil(?=\s+(?:semillas|granos|plantas))/g, "thousand")
    .replace(/\b(?:per|je|par|por)\b/g, "/")
    .replace(/\/\s*a\b/g, "/ac")
    .replace(
      /(?:\s|\.|\*|·)*\b(ac|ha|ft|m|bu|lb|kg|hl)\s*\^?-([12])\b/g,
      (_, area: string, power: string) => `/${area}${power === "2" ? "2" : ""}`,
    )
    .replace(/[\s.^_*·×]/g, "");

const spellings = new Map<QuantityName, Map<string, ColumnUnit>>();

function spellingsOf(quantity: QuantityName): Map<string, ColumnUnit> {
  let found = spellings.get(quantity);
  if (found === undefined) {
    found = new Map();
    for (const unit of quantities[quantity].units as ColumnUnit[]) {
      for (const name of [plainUnit(unit.name), ...(unit.also ?? [])])
        if (!found.has(name)) found.set(name, unit);
    }
    spellings.set(quantity, found);
  }
  return found;
}

/** No unit is longer [characters]. */
const longestUnit = 100;

/** The unit that a text names for a quantity, null when it names none. */
export function parseUnit(quantity: QuantityName, text: string): ColumnUnit | null {
  if (text.length > longestUnit) return null;
  const known = spellingsOf(quantity);
  const plain = plainUnit(text);
  const { fillers } = quantities[quantity] as Quantity;
  const stripped = fillers === undefined ? plain : plain.replace(fillers, "");
  return known.get(plain) ?? (stripped === "" ? undefined : known.get(stripped)) ?? null;
}

/** The spans of bare numbers, and of those below a percent sign: what is too small for it was written as a share. */
export function spansOf(
  quantity: QuantityName,
  system: "us" | "metric",
  unit: ColumnUnit | null,
): readonly Span[] | null {
  const spans: readonly Span[] = quantities[quantity].bare[system];
  if (unit === null) return spans;
  const share = unit.name === "%" ? spans.find((span) => span.unit === "share") : undefined;
  return share === undefined ? null : [share, ...always("%")];
}

/** The unit called so in the table itself. */
export const unitNamed = (quantity: QuantityName, name: string): ColumnUnit =>
  (quantities[quantity].units as ColumnUnit[]).find((unit) => unit.name === name)!;
