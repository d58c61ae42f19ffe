/** One simulated farm: what is true of it, and the strips it gave. */
import { drawNormal, random, type Random } from "../../src/maths/random.ts";
import type { CellsOfVariety } from "../../src/model/beliefs/rate-evidence.ts";
import type { RateCell } from "../../src/vocabulary/result.ts";
import { fromBushelsPerAcre, fromPerAcre, fromPricePerBushel } from "../../src/numbers/units.ts";
import type { Family, TrueCurve } from "./truths.ts";

export interface SimulatedVariety {
  variety: string;
  rateNowSeedsPerM2: number;
  /** Yield averaged over all seasons that may come [kg/ha]. */
  expectedYield: (rateSeedsPerM2: number) => number;
  /** The same on each of the farm's fields, which stand in environments as "2020 0", "2020 1". */
  expectedYieldOn: ((rateSeedsPerM2: number) => number)[];
}

export interface SimulatedFarm {
  varieties: SimulatedVariety[];
  cells: CellsOfVariety[];
  grainPricePerKg: number;
  seedPricePerThousand: number;
}

const varieties = ["A", "B", "C"];
const usualRates = [0.8, 1.1, 1.4, 1.7, 2].map((million) => fromPerAcre(million * 1e6));
/** Other rates that an uneven farm tried in some seasons. */
const otherRates = [0.7, 1, 1.3, 1.6, 1.9].map((million) => fromPerAcre(million * 1e6));

/** What a field is for good: its shift of the log need, and how strongly yield answers there. */
interface FieldTruth {
  shift: number;
  strength: number;
}

interface VarietyTruth extends SimulatedVariety {
  curve: TrueCurve;
  need: number;
  level: number;
}

/** The same family, seasons and number give the same farm on every machine of one kind. */
export function simulateFarm(family: Family, seasons: number, number: number): SimulatedFarm {
  const draw = random(number, `${family.name} ${seasons}`);
  const farmYield = fromBushelsPerAcre(40 + 40 * draw(), 60);
  const centre = fromPerAcre((0.9 + 1 * draw()) * 1e6);
  // Fields have a stream of their own: a family in which they are alike keeps its farms.
  const drawField = random(number, `fields of ${family.name} ${seasons}`);
  const fields = Array.from({ length: family.fields }, (): FieldTruth => ({
    shift: family.fieldsDiffer.forGood * drawNormal(drawField),
    strength: Math.exp(family.fieldStrength * drawNormal(drawField) - family.fieldStrength ** 2 / 2),
  }));
  const truths = varieties.map((variety) => drawVariety(family, variety, centre, farmYield, fields, draw));
  const cells: CellsOfVariety[] = [];
  for (let season = 0; season < seasons; season++) {
    const seasonYield = farmYield * (1 + 0.2 * drawNormal(draw));
    const together = family.seasons.alike * drawNormal(draw);
    const shifts = truths.map(() => together + family.seasons.unlike * drawNormal(draw));
    fields.forEach(({ shift, strength }, field) => {
      const here = shift + family.fieldsDiffer.inSeason * drawNormal(drawField);
      cells.push(
        ...growField(
          family,
          truths,
          { shifts: shifts.map((one) => one + here), strength },
          { season: 2020 + season, field },
          seasonYield,
          draw,
        ),
      );
    });
  }
  return {
    varieties: truths,
    cells,
    grainPricePerKg: fromPricePerBushel(4.5 + 3.5 * draw(), 60),
    seedPricePerThousand: 0.012 + 0.012 * draw(),
  };
}

function drawVariety(
  family: Family,
  variety: string,
  centre: number,
  farmYield: number,
  fields: readonly FieldTruth[],
  draw: Random,
): VarietyTruth {
  const curve = family.curve(draw);
  const need = centre * Math.exp(0.15 * drawNormal(draw));
  const level = 1 + 0.05 * drawNormal(draw);
  const rateNowSeedsPerM2 = fromPerAcre(1.25e6 * Math.exp(0.15 * drawNormal(draw)));
  const spread = Math.hypot(family.seasons.alike, family.seasons.unlike, family.fieldsDiffer.inSeason);
  const expectedYieldOn = fields.map(({ shift, strength }) => {
    const share = (rate: number): number =>
      averageOverNormal(spread, (z) => curve(rate / (need * Math.exp(shift + z))) - 1);
    return (rate: number): number => farmYield * level * (1 + strength * share(rate));
  });
  return {
    variety,
    curve,
    need,
    level,
    rateNowSeedsPerM2,
    // The farm's own fields, each alike, over the seasons that may come.
    expectedYield: (rate) => expectedYieldOn.reduce((sum, on) => sum + on(rate), 0) / fields.length,
    expectedYieldOn,
  };
}

function averageOverNormal(sd: number, value: (z: number) => number): number {
  if (sd === 0) return value(0);
  let [sum, weights] = [0, 0];
  for (let z = -4; z <= 4.001; z += 0.2) {
    const weight = Math.exp((-z * z) / 2);
    sum += weight * value(z * sd);
    weights += weight;
  }
  return sum / weights;
}

function growField(
  family: Family,
  truths: VarietyTruth[],
  here: { shifts: number[]; strength: number },
  { season, field }: { season: number; field: number },
  seasonYield: number,
  draw: Random,
): CellsOfVariety[] {
  const sd = family.errorSd(draw);
  const rates = family.uneven && draw() < 0.5 ? otherRates : usualRates;
  const blockLevels = Array.from({ length: family.blocks }, () => 1 + 0.04 * drawNormal(draw));
  return truths.flatMap(({ variety, curve, need, level }, v) => {
    const absent = family.uneven && draw() < 0.2;
    const shift = here.shifts[v]!;
    // Mean 1, so that the expected curve is the curve itself.
    const strength = here.strength * Math.exp(family.strength * drawNormal(draw) - family.strength ** 2 / 2);
    const cells: RateCell[] = [];
    blockLevels.forEach((blockLevel, b) => {
      const place = 1 + 0.015 * drawNormal(draw);
      for (const rate of rates) {
        const share = 1 + strength * (curve(rate / (need * Math.exp(shift))) - 1);
        const error = sd * drawNormal(draw);
        const spoilt = draw() < family.spoilt ? 0.15 + 0.25 * draw() : 0;
        if (family.uneven && draw() < 0.15) continue;
        cells.push({
          block: String(b + 1),
          rateSeedsPerM2: rate,
          strips: 1,
          meanYieldKgPerHa: seasonYield * level * (share + blockLevel - 1 + place - 1 + error) * (1 - spoilt),
        });
      }
    });
    return absent || cells.length === 0
      ? []
      : [{ variety, environment: `${season} ${field}`, season, cells, withinCellSs: 0 }];
  });
}
