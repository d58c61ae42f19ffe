/** Quantities in the person's units: value for a chart's axis, and text with its unit. */
import { crops, type CropName } from "../vocabulary/crops.ts";
import type { Result } from "../vocabulary/result.ts";
import {
  acresPerHectare,
  kgPerPound,
  metresPerFoot,
  toBushelsPerAcre,
  toMoneyPerAcre,
  toPerAcre,
  toPerSquareFoot,
  toPoundsPerAcre,
  toPricePerBushel,
  toPricePerPound,
  toSeedsPerPound,
} from "./units.ts";
import {
  bearableStep,
  fixed,
  moneyToStep,
  nearestStep,
  percent,
  plainStyle,
  shortest,
  shortestMoney,
  toStep,
  type NumberStyle,
} from "./written-numbers.ts";

/** One kind of quantity: engine value in, the person's value or text out. */
export interface Measure {
  /** Unit as it stands behind a number: "bu/ac". */
  unit: string;
  /** Step that a number is rounded to when nothing is known of its doubt [the person's unit]. */
  finest: number;
  value(engineValue: number): number;
  /** The inverse of `value`. */
  engine(value: number): number;
  /** Engine value as it is told: what the rounded text stands for. */
  rounded(engineValue: number, width?: number): number;
  /** Rounded, without unit; `width` is the width of the interval that it is known to, in engine units. */
  number(engineValue: number, width?: number): string;
  /** Rounded, with unit. */
  text(engineValue: number, width?: number): string;
  /** A number that a person chose, as it was chosen: no more decimals than it has, with unit. */
  chosen(engineValue: number): string;
  /** "1.0 to 1.4 million seeds/ac", both ends rounded to what the width bears. */
  range(lower: number, upper: number): string;
}

export interface Measures {
  system: "us" | "metric";
  style: NumberStyle;
  currency: string;
  cropName: string;
  /** Viable seeds per area. */
  rate: Measure;
  /** Title of a rate axis. */
  rateAxis: string;
  grainYield: Measure;
  /** Seed by weight per area. */
  seedWeight: Measure;
  /** Seed by volume per area, where the trade counts it so; null in metric. */
  seedBushels: Measure | null;
  moneyPerArea: Measure;
  /** What knowing more is worth per area: often cents. */
  worthPerArea: Measure;
  money: Measure;
  grainPrice: Measure;
  /** Price of a million viable seeds. */
  seedPrice: Measure;
  seedPriceByWeight: Measure;
  stand: Measure;
  heads: Measure;
  seedsPerRow: Measure;
  seedsPerWeight: Measure;
  grams: Measure;
  orderWeight: Measure;
  area: Measure;
  rowSpacing: Measure;
  /** Depth of water in soil and rain. */
  water: Measure;
  /** Lengths on the ground: strips, fields, machines. */
  groundLength: Measure;
  /** In whole percents. */
  share(share: number): string;
  /** A share that a person chose, as it was chosen: "7.5%". */
  chosenShare(share: number): string;
}

interface Scale {
  unit: string;
  /** The unit of one, where that is another word. */
  one?: string;
  /** Person's value of one engine unit; every conversion here is a proportion. */
  factor: number;
  finest: number;
  style: NumberStyle;
  /** Word between number and unit, such as "million". */
  word?: string;
  currency?: string;
  /** Told to its finest step however doubtful: the step that people set and compare. */
  steady?: boolean;
  /** Below this value a tenth of the finest step: small seed is weighed more finely. */
  finerBelow?: number;
}

function measure({
  unit,
  one = unit,
  factor,
  finest,
  style,
  word,
  currency,
  steady = false,
  finerBelow = 0,
}: Scale): Measure {
  const value = (engineValue: number): number => engineValue * factor;
  const step = (engineValue: number, width?: number): number => {
    const least = Math.abs(value(engineValue)) < finerBelow ? finest / 10 : finest;
    return width === undefined || steady ? least : bearableStep(width * factor, least);
  };
  const written = (engineValue: number, width?: number): string =>
    currency === undefined
      ? toStep(value(engineValue), step(engineValue, width), style)
      : moneyToStep(value(engineValue), step(engineValue, width), style);
  const withSign = (number: string): string =>
    currency === undefined
      ? number
      : number.startsWith("−")
        ? `−${currency}${number.slice(1)}`
        : `${currency}${number}`;
  const number = (engineValue: number, width?: number): string => {
    const text = withSign(written(engineValue, width));
    return word === undefined ? text : `${text} ${word}`;
  };
  const withUnit = (text: string): string =>
    unit === "" ? text : /^[/]/.test(unit) ? `${text}${unit}` : `${text} ${text === "1" ? one : unit}`;
  return {
    unit,
    finest,
    value,
    engine: (personValue) => personValue / factor,
    rounded: (engineValue, width) => nearestStep(value(engineValue), step(engineValue, width)) / factor,
    number,
    text: (engineValue, width) => withUnit(number(engineValue, width)),
    chosen: (engineValue) => {
      const text = withSign((currency === undefined ? shortest : shortestMoney)(value(engineValue), style));
      return withUnit(word === undefined ? text : `${text} ${word}`);
    },
    range: (lower, upper) => {
      const width = upper - lower;
      const ends = [withSign(written(lower, width)), withSign(written(upper, width))];
      return withUnit(`${ends.join(" to ")}${word === undefined ? "" : ` ${word}`}`);
    },
  };
}

/** Symbols stand close before a number, codes with a space. */
const currencySign = (currency: string): string =>
  /^[A-Za-z]{2,}$/.test(currency) ? `${currency}\u00a0` : currency;

/**
 * How this person's numbers are written.
 *
 * Rates of crops sown by the hundred thousand and more are told in millions per acre, others in seeds per acre.
 */
export function measuresOf(result: Pick<Result, "units" | "settings">, style = plainStyle): Measures {
  const us = result.units.system === "us";
  const currency = currencySign(result.units.currency);
  const crop = crops[result.settings.crop as CropName];
  const millions = toPerAcre(crop.usualSeedsPerM2) >= 500_000;
  const plain = (unit: string, factor: number, finest: number, word?: string): Measure =>
    measure({ unit, factor, finest, style, ...(word === undefined ? {} : { word }) });
  const steady = (unit: string, factor: number, finest: number, word?: string): Measure =>
    measure({ unit, factor, finest, style, steady: true, ...(word === undefined ? {} : { word }) });
  const weighed = (unit: string, factor: number): Measure =>
    measure({ unit, factor, finest: 1, finerBelow: 20, style });
  const money = (unit: string, factor: number, finest: number): Measure =>
    measure({ unit, factor, finest, style, currency });
  return {
    system: us ? "us" : "metric",
    style,
    currency,
    cropName: crop.name,
    // One rate is one number wherever it stands; its range says how doubtful it is.
    rate: us
      ? millions
        ? steady("seeds/ac", toPerAcre(1) / 1e6, 0.01, "million")
        : steady("seeds/ac", toPerAcre(1), 100)
      : steady("seeds/m²", 1, crop.usualSeedsPerM2 >= 100 ? 1 : 0.1),
    rateAxis: us ? (millions ? "million viable seeds/ac" : "viable seeds/ac") : "viable seeds/m²",
    grainYield: us
      ? plain("bu/ac", toBushelsPerAcre(1, crop.poundsPerBushel), 0.1)
      : plain("t/ha", 0.001, 0.01),
    seedWeight: us ? weighed("lb/ac", toPoundsPerAcre(1)) : weighed("kg/ha", 1),
    seedBushels: us ? plain("bu/ac", toBushelsPerAcre(1, crop.poundsPerBushel), 0.01) : null,
    moneyPerArea: us ? money("/ac", toMoneyPerAcre(1), 1) : money("/ha", 1, 1),
    worthPerArea: us ? money("/ac", toMoneyPerAcre(1), 0.05) : money("/ha", 1, 0.1),
    money: money("", 1, 1),
    grainPrice: us ? money("/bu", toPricePerBushel(1, crop.poundsPerBushel), 0.01) : money("/t", 1000, 1),
    seedPrice: money("per million viable seeds", 1000, 0.01),
    seedPriceByWeight: us ? money("/lb", toPricePerPound(1), 0.001) : money("/kg", 1, 0.01),
    stand: us ? plain("plants/ft²", toPerSquareFoot(1), 0.1) : plain("plants/m²", 1, 1),
    heads: us ? plain("heads/ft²", toPerSquareFoot(1), 0.1) : plain("heads/m²", 1, 1),
    seedsPerRow: us
      ? plain("seeds per foot of row", metresPerFoot, 0.1)
      : plain("seeds per metre of row", 1, 1),
    seedsPerWeight: us ? plain("seeds/lb", toSeedsPerPound(1), 10) : plain("seeds/kg", 1, 10),
    grams: weighed("g", 1),
    orderWeight: us ? plain("lb", 1 / kgPerPound, 10) : plain("kg", 1, 10),
    area: us
      ? measure({ unit: "acres", one: "acre", factor: acresPerHectare, finest: 1, style })
      : plain("ha", 1, 0.1),
    rowSpacing: us ? plain("in", 1 / 0.0254, 0.1) : plain("cm", 100, 0.1),
    water: us ? plain("in", 1 / 25.4, 0.1) : plain("mm", 1, 1),
    groundLength: us ? plain("ft", 1 / metresPerFoot, 1) : plain("m", 1, 0.1),
    share: (share) => percent(share, style),
    chosenShare: (share) => `${shortest(100 * share, style)}%`,
  };
}

/** Plain number with fixed decimals in this person's style, for quantities without a measure of their own. */
export const plainNumber = (value: number, decimals: number, measures: Measures): string =>
  fixed(value, decimals, measures.style);
