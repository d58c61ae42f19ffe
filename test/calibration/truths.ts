/**
 * Families of truth: how yield answers to the seeding rate on a simulated farm. None is read from the engine's grid.
 *
 * A curve gives the share of the top yield at u = rate ÷ the variety's need. The ranges are our own choice of what small
 * grains may do; best rates come to 0.7 to 2.5 million/ac, which holds the published ones (1.1 to 2.2 million/ac).
 */
import type { Random } from "../../src/maths/random.ts";

/** Share of the top yield at u; the same shape in every season, unless the family says otherwise. */
export type TrueCurve = (u: number) => number;

export interface Family {
  name: string;
  about: string;
  /** Draws the curve of one variety. */
  curve: (draw: Random) => TrueCurve;
  /** Sd of log need between seasons, for the farm as a whole and for each variety on its own. */
  seasons: { alike: number; unlike: number };
  /** Sd of log need between the farm's fields, for good, and of each field in each season, alike for all varieties. */
  fieldsDiffer: { forGood: number; inSeason: number };
  /** Sd, in log, of how strongly yield answers in a season, and in a field for good. */
  strength: number;
  fieldStrength: number;
  /** Sd of a strip as a share of the yield, drawn for each environment. */
  errorSd: (draw: Random) => number;
  /** Chance that a strip is spoilt, losing 15 to 40 % of its yield. */
  spoilt: number;
  /** Fields of the farm, strips in each every season, which share its shift of the need; blocks of each. */
  fields: number;
  blocks: number;
  /** Chance that a strip is missing, and whether rates and varieties differ from season to season. */
  uneven: boolean;
}

const between = (draw: Random, low: number, high: number): number => low + (high - low) * draw();
const betweenInLog = (draw: Random, low: number, high: number): number =>
  Math.exp(between(draw, Math.log(low), Math.log(high)));

/** Share of yield lost at 0.6 of the need. */
const drawLoss = (draw: Random): number => betweenInLog(draw, 0.02, 0.2);

/** A parabola falls as steeply as it rises, so that twice the best rate loses six times as much as 0.6 of it: 5 to 38 %. */
const quadratic = (draw: Random): TrueCurve => {
  const loss = betweenInLog(draw, 0.008, 0.06);
  return (u) => 1 - loss * ((u - 1) / 0.4) ** 2;
};

const linearPlateau = (draw: Random): TrueCurve => {
  const loss = drawLoss(draw);
  return (u) => 1 - loss * (Math.max(1 - u, 0) / 0.4);
};

const quadraticPlateau = (draw: Random): TrueCurve => {
  const loss = drawLoss(draw);
  return (u) => 1 - loss * (Math.max(1 - u, 0) / 0.4) ** 2;
};

/** Mitscherlich's law of diminishing returns, of any steepness. */
const exponentialRise = (draw: Random): TrueCurve => {
  const loss = drawLoss(draw);
  const steepness = between(draw, 2, 6);
  return (u) => 1 - loss * Math.exp(-steepness * (u - 0.6));
};

/** Asymptotic reciprocal yield–density curve (Shinozaki & Kira 1956, FROM MEMORY), and a loss by lodging beyond a rate. */
const reciprocal = (draw: Random): TrueCurve => {
  const halfway = betweenInLog(draw, 0.03, 0.2);
  const from = between(draw, 0.9, 1.3);
  const lodging = betweenInLog(draw, 0.05, 0.4);
  return (u) => (u / (u + halfway)) * (1 - lodging * Math.max(u - from, 0) ** 2);
};

/** Yield per plant falls exponentially with density (Carmer & Jackobs 1965), raised to a power for its strength. */
const perPlant = (draw: Random): TrueCurve => {
  const power = betweenInLog(draw, 0.15, 1.2);
  return (u) => (u * Math.exp(1 - u)) ** power;
};

/** A wide top, then a steep fall as the crop goes flat. */
const lateDecline = (draw: Random): TrueCurve => {
  const loss = drawLoss(draw);
  const fall = betweenInLog(draw, 0.05, 0.3);
  const middle = between(draw, 1.4, 2);
  return (u) => 1 - loss * Math.exp(-4 * (u - 0.6)) - fall / (1 + Math.exp(-(u - middle) / 0.12));
};

/** Loss in proportion to the squared log distance from the best rate, thin and thick alike. */
const logParabola = (draw: Random): TrueCurve => {
  const loss = betweenInLog(draw, 0.02, 0.12);
  return (u) => 1 - loss * (Math.log(u) / Math.log(0.6)) ** 2;
};

const flat = (): TrueCurve => () => 1;

const anyShape = (draw: Random): TrueCurve => {
  const shapes = [
    quadratic,
    linearPlateau,
    quadraticPlateau,
    exponentialRise,
    reciprocal,
    perPlant,
    lateDecline,
  ];
  return shapes[Math.floor(draw() * shapes.length)]!(draw);
};

const usual = {
  seasons: { alike: 0.06, unlike: 0.06 },
  fieldsDiffer: { forGood: 0, inSeason: 0 },
  strength: 0,
  fieldStrength: 0,
  errorSd: () => 0.05,
  spoilt: 0,
  fields: 1,
  blocks: 3,
  uneven: false,
};

export const families: Family[] = [
  { ...usual, name: "quadratic", about: "parabola", curve: quadratic },
  { ...usual, name: "linear-plateau", about: "straight rise to a level", curve: linearPlateau },
  { ...usual, name: "quadratic-plateau", about: "curved rise to a level", curve: quadraticPlateau },
  { ...usual, name: "exponential rise", about: "diminishing returns, no fall", curve: exponentialRise },
  { ...usual, name: "reciprocal", about: "yield–density curve with lodging loss", curve: reciprocal },
  { ...usual, name: "per-plant", about: "yield per plant falls exponentially", curve: perPlant },
  { ...usual, name: "late decline", about: "wide top, then a steep fall", curve: lateDecline },
  {
    ...usual,
    name: "log-parabola",
    about: "loss as the squared log distance, both sides",
    curve: logParabola,
  },
  { ...usual, name: "flat", about: "rate does not matter", curve: flat },
  {
    ...usual,
    name: "seasons alike",
    about: "any shape; seasons move the need of all varieties together, sd 15 %",
    curve: anyShape,
    seasons: { alike: 0.15, unlike: 0 },
  },
  {
    ...usual,
    name: "seasons unlike",
    about: "any shape; seasons move the need of each variety on its own, sd 15 %",
    curve: anyShape,
    seasons: { alike: 0, unlike: 0.15 },
  },
  {
    ...usual,
    name: "strength varies",
    about: "any shape; how strongly yield answers differs between seasons, sd 50 %",
    curve: anyShape,
    strength: 0.5,
  },
  {
    ...usual,
    name: "unequal variances",
    about: "any shape; strip error of an environment from 2 to 10 %",
    curve: anyShape,
    errorSd: (draw) => betweenInLog(draw, 0.02, 0.1),
  },
  {
    ...usual,
    name: "bad strips",
    about: "any shape; one strip in fifteen loses 15 to 40 % of its yield",
    curve: anyShape,
    spoilt: 1 / 15,
  },
  {
    ...usual,
    name: "three fields",
    about: "any shape; three fields a season share how it moves the need, sd 15 %",
    curve: anyShape,
    seasons: { alike: 0.1, unlike: 0.11 },
    fields: 3,
  },
  {
    ...usual,
    name: "fields differ 15 %",
    about: "any shape; three fields whose needs differ for good, sd 15 %",
    curve: anyShape,
    fieldsDiffer: { forGood: 0.15, inSeason: 0 },
    fields: 3,
  },
  {
    ...usual,
    name: "fields differ 25 %",
    about: "any shape; two fields whose needs differ for good, sd 25 %",
    curve: anyShape,
    fieldsDiffer: { forGood: 0.25, inSeason: 0 },
    fields: 2,
  },
  {
    ...usual,
    name: "fields × seasons",
    about: "any shape; each field in each season has a need of its own, sd 15 %",
    curve: anyShape,
    fieldsDiffer: { forGood: 0, inSeason: 0.15 },
    fields: 3,
  },
  {
    ...usual,
    name: "strength by field",
    about: "any shape; how strongly yield answers differs between three fields for good, sd 50 %",
    curve: anyShape,
    fieldStrength: 0.5,
    fields: 3,
  },
  { ...usual, name: "unreplicated", about: "any shape; one strip a rate", curve: anyShape, blocks: 1 },
  {
    ...usual,
    name: "uneven",
    about: "any shape; strips missing, rates and varieties differ between seasons",
    curve: anyShape,
    uneven: true,
  },
];
