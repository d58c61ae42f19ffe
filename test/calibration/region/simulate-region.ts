/** Simulated regions: farms whose varieties have needs in common, and the strips they gave. */
import { drawNormal, random, type Random } from "../../../src/maths/random.ts";
import type { RateCell } from "../../../src/vocabulary/result.ts";
import type { CellsOfVariety } from "../../../src/model/beliefs/rate-evidence.ts";
import { fromBushelsPerAcre, fromPerAcre } from "../../../src/numbers/units.ts";
import { families, type TrueCurve } from "../truths.ts";

/** How the farms of a region differ. */
export interface RegionFamily {
  name: string;
  about: string;
  farms: number;
  /** Sd of log need of a farm as a whole, and of a variety on a farm besides. */
  farmSd: number;
  varietyOnFarmSd: number;
  /** Chance that a farm is an outlier, and by what share its needs then lie lower. */
  oddFarms: number;
  /** Two halves of the region whose needs lie this far apart, in log; 0: one region. */
  halvesApart: number;
  /** Varieties of the region, and of a farm. */
  varieties: number;
  onFarm: number;
  flat: boolean;
  errorSd: (draw: Random) => number;
}

const usual: RegionFamily = {
  name: "alike",
  about: "needs differ by 8 % between farms, and by 8 % between varieties on a farm",
  farms: 40,
  farmSd: 0.08,
  varietyOnFarmSd: 0.08,
  oddFarms: 0,
  halvesApart: 0,
  varieties: 6,
  onFarm: 3,
  flat: false,
  errorSd: () => 0.05,
};

export const regionFamilies: readonly RegionFamily[] = [
  usual,
  { ...usual, name: "unlike", about: "both 20 %", farmSd: 0.2, varietyOnFarmSd: 0.2 },
  { ...usual, name: "outliers", about: "one farm in ten needs 40 % less", oddFarms: 0.1 },
  { ...usual, name: "two in one", about: "two regions, 30 % apart, taken as one", halvesApart: 0.3 },
  { ...usual, name: "few farms", about: "four farms", farms: 4 },
  { ...usual, name: "many farms", about: "200 farms", farms: 200 },
  { ...usual, name: "few of each", about: "each variety on few farms", varieties: 24 },
  { ...usual, name: "flat", about: "the rate does not matter", flat: true },
  {
    ...usual,
    name: "unequal errors",
    about: "error of a strip from 2 to 10 %",
    errorSd: (draw) => 0.02 * 5 ** draw(),
  },
];

export interface RegionFarmVariety {
  variety: string;
  /** Yield averaged over the seasons that may come [kg/ha]. */
  expectedYield: (rateSeedsPerM2: number) => number;
  /**
   * The same, averaged over all that the variety may need on this farm: as known to one who knows its need and curve in the
   * region, how farms differ, and exactly what the farm's other varieties need there (best linear prediction).
   */
  expectedBeforehand: (rateSeedsPerM2: number) => number;
}

export interface RegionFarm {
  varieties: RegionFarmVariety[];
  cells: CellsOfVariety[];
}

/** Of log need, where a farm is an outlier. */
const oddOffset = Math.log(0.6);
const rates = [0.8, 1.1, 1.4, 1.7, 2].map((million) => fromPerAcre(million * 1e6));
/** Sd of log need between seasons, of the farm and of each variety on its own. */
export const seasonSd = 0.06;

/** The same family, seasons and number give the same region on every machine of one kind. */
export function simulateRegion(family: RegionFamily, seasons: number, number: number): RegionFarm[] {
  const draw = random(number, `region ${family.name} ${seasons}`);
  const shapes = families.filter(({ name }) =>
    family.flat
      ? name === "flat"
      : [
          "quadratic",
          "linear-plateau",
          "quadratic-plateau",
          "exponential rise",
          "reciprocal",
          "per-plant",
        ].includes(name),
  );
  const centre = Math.log(fromPerAcre((0.9 + draw()) * 1e6));
  const varieties = Array.from({ length: family.varieties }, (_, v) => ({
    variety: `V${String(v + 1).padStart(2, "0")}`,
    logNeed: centre + 0.15 * drawNormal(draw),
    curve: shapes[Math.floor(draw() * shapes.length)]!.curve(draw),
  }));
  return Array.from({ length: family.farms }, (_, f) => growFarm(family, varieties, seasons, f, draw));
}

function growFarm(
  family: RegionFamily,
  region: readonly { variety: string; logNeed: number; curve: TrueCurve }[],
  seasons: number,
  f: number,
  draw: Random,
): RegionFarm {
  const odd = draw() < family.oddFarms ? oddOffset : 0;
  const half = family.halvesApart * (f % 2 === 0 ? 0.5 : -0.5);
  const offset = family.farmSd * drawNormal(draw) + odd + half;
  const farmYield = fromBushelsPerAcre(40 + 40 * draw(), 60);
  const first = Math.floor(draw() * region.length);
  const own = Array.from({ length: family.onFarm }, (_, i) => region[(first + i) % region.length]!).map(
    ({ variety, logNeed, curve }) => ({
      variety,
      curve,
      inRegion: logNeed,
      logNeed: logNeed + offset + family.varietyOnFarmSd * drawNormal(draw),
    }),
  );
  const cells: CellsOfVariety[] = [];
  for (let s = 0; s < seasons; s++) {
    const together = seasonSd * drawNormal(draw);
    const sd = family.errorSd(draw);
    for (const { variety, curve, logNeed } of own) {
      const need = Math.exp(logNeed + together + seasonSd * drawNormal(draw));
      const found = growCells(curve, need, farmYield, sd, draw);
      const season = 2020 + s;
      cells.push({ variety, environment: `${season}`, season, cells: found, withinCellSs: 0 });
    }
  }
  return {
    cells,
    varieties: own.map(({ variety, curve, logNeed, inRegion }, i) => {
      const others = own.filter((_, o) => o !== i).map((one) => one.logNeed - one.inRegion);
      const foretold = foretell(others, family);
      return {
        variety,
        expectedYield: (rate) => farmYield * expectedShare(curve, logNeed, rate),
        expectedBeforehand: (rate) =>
          farmYield * expectedShare(curve, inRegion + foretold.offset, rate, Math.hypot(spread, foretold.sd)),
      };
    }),
  };
}

/** How far a variety's need lies from its region's on a farm whose other varieties lie so far from theirs. */
function foretell(
  others: readonly number[],
  { farmSd, varietyOnFarmSd, oddFarms, halvesApart }: RegionFamily,
): { offset: number; sd: number } {
  const centre = oddFarms * oddOffset;
  const ofFarm = farmSd ** 2 + oddFarms * (1 - oddFarms) * oddOffset ** 2 + (halvesApart / 2) ** 2;
  const precision = 1 / ofFarm + others.length / varietyOnFarmSd ** 2;
  const sum = others.reduce((total, other) => total + other - centre, 0);
  return {
    offset: centre + sum / varietyOnFarmSd ** 2 / precision,
    sd: Math.sqrt(1 / precision + varietyOnFarmSd ** 2),
  };
}

/** Three blocks of strips at every rate. */
export function growCells(
  curve: TrueCurve,
  need: number,
  farmYield: number,
  sd: number,
  draw: Random,
): RateCell[] {
  return ["1", "2", "3"].flatMap((block) => {
    const level = 1 + 0.04 * drawNormal(draw);
    return rates.map((rate) => ({
      block,
      rateSeedsPerM2: rate,
      strips: 1,
      meanYieldKgPerHa: farmYield * (curve(rate / need) + level - 1 + sd * drawNormal(draw)),
    }));
  });
}

/** Sd of log need between the seasons that may come. */
const spread = Math.SQRT2 * seasonSd;

/** Share of the top yield, averaged over the seasons that may come. */
export function expectedShare(curve: TrueCurve, logNeed: number, rate: number, sd = spread): number {
  let [sum, weights] = [0, 0];
  for (let z = -3; z <= 3.001; z += 0.5) {
    const weight = Math.exp((-z * z) / 2);
    sum += weight * curve(rate / Math.exp(logNeed + z * sd));
    weights += weight;
  }
  return sum / weights;
}
