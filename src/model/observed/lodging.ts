/**
 * Lodging against seeding rate, and what to expect in a coming season.
 *
 * There are two views of the same scores. `regressLodging` takes the environments as they were. Here they are a sample:
 * next season's is a new one, so the spread between them is part of the answer, and weak priors keep a variety or a
 * season in which nothing lodged from having an infinite effect.
 */
import type { LodgingModel, VarietyLodging } from "../../vocabulary/result.ts";
import type { LodgingPriors } from "../../vocabulary/settings.ts";
import { gather } from "../../maths/group-by.ts";
import type { Strip } from "../../vocabulary/trial.ts";
import { believeLodging } from "./lodging-beliefs.ts";
import { tabulateLodging, type LodgingCell, type LodgingTable } from "./lodging-cells.ts";
import { regressLodging } from "./lodging-regression.ts";
import { rateClasses } from "./rate-classes.ts";

/** Prior counts of seasons with and without lodging, for the chance that anything lodges in a field. */
const someLodging = 0.75;
const noLodging = 0.25;
/** Fewest scored strips, of one scale, that give a model. */
const fewestStrips = 8;

/** All lodging scores: a model for each scale, or set of scales, that may be pooled. */
export function modelLodging(strips: readonly Strip[], priors: LodgingPriors): LodgingModel[] {
  return tabulateLodging(strips).map((table) => {
    const { centre, unit } = middleOfRates(table.cells);
    const regression = regressLodging(table, centre);
    const lodged = withoutSafeEnvironments(table);
    const beliefs =
      reasonForNoModel(table) === ""
        ? believeLodging(lodged, centre, unit, regression?.dispersion ?? null, priors)
        : table.varieties.map(() => []);
    const chanceOfAny = chanceThatAnyLodges(table, lodged);
    const reason = reasonForNoModel(table);
    return {
      scale: table.scale,
      strips: table.strips,
      environments: table.environments.length,
      priors,
      regression,
      varieties: cellsByVariety(table).map(({ variety, cells }, v): VarietyLodging => {
        const rates = cells.map((cell) => cell.rateSeedsPerM2);
        return {
          variety,
          scale: table.scale,
          strips: cells.reduce((sum, cell) => sum + cell.strips, 0),
          testedSeedsPerM2: [
            rates.reduce((least, rate) => Math.min(least, rate)),
            rates.reduce((most, rate) => Math.max(most, rate)),
          ],
          centreSeedsPerM2: centre,
          chanceOfAny,
          beliefs: beliefs[v]!,
          reason,
          seen: seenIn(table, cells),
        };
      }),
    };
  });
}

/**
 * The environments in which something lodged. One in which nothing did is of another kind (dry, short straw): its log
 * odds have no bound, and counting it as a low value of the same distribution would make high values of others more
 * believable.
 */
function withoutSafeEnvironments(table: LodgingTable): LodgingTable {
  const sums = new Float64Array(table.environments.length);
  for (const cell of table.cells) sums[cell.environment]! += cell.sum;
  const kept = [...table.environments.entries()].filter(([e]) => sums[e]! > 0);
  const numberOf = new Map(kept.map(([e], i) => [e, i]));
  const cells = table.cells
    .filter((cell) => numberOf.has(cell.environment))
    .map((cell) => ({ ...cell, environment: numberOf.get(cell.environment)! }));
  return {
    ...table,
    strips: cells.reduce((sum, cell) => sum + cell.strips, 0),
    environments: kept.map(([, environment]) => environment),
    cells,
  };
}

/**
 * Share of a season's fields in which something lodged, averaged over seasons: two fields in one season are not two
 * seasons.
 */
function chanceThatAnyLodges(all: LodgingTable, lodged: LodgingTable): number {
  const fieldsIn = ({ environments }: LodgingTable, year: number): number =>
    environments.filter(({ season }) => season === year).length;
  const seasons = [...new Set(all.environments.map(({ season }) => season))];
  const lodgedSeasons = seasons.reduce(
    (sum, season) => sum + fieldsIn(lodged, season) / fieldsIn(all, season),
    0,
  );
  return (lodgedSeasons + someLodging) / (seasons.length + someLodging + noLodging);
}

function reasonForNoModel(table: LodgingTable): VarietyLodging["reason"] {
  if (table.cells.every((cell) => cell.sum <= 0)) return "never-lodged";
  const rates = new Set(table.cells.map((cell) => cell.rateSeedsPerM2));
  return table.strips < fewestStrips || rates.size < 2 ? "too-few-strips" : "";
}

/** Mean of the rates over the strips, and two standard deviations. */
function middleOfRates(cells: readonly LodgingCell[]): { centre: number; unit: number } {
  let strips = 0;
  let sum = 0;
  for (const cell of cells) {
    strips += cell.strips;
    sum += cell.strips * cell.rateSeedsPerM2;
  }
  const centre = sum / strips;
  let squares = 0;
  for (const cell of cells) squares += cell.strips * (cell.rateSeedsPerM2 - centre) ** 2;
  return { centre, unit: 2 * Math.sqrt(squares / strips) };
}

/** Cells of each variety; the cells of a table are sorted by environment. */
function cellsByVariety({ cells, varieties }: LodgingTable): { variety: string; cells: LodgingCell[] }[] {
  const byVariety = gather(cells, (cell) => cell.variety);
  return varieties.map((variety, v) => ({ variety, cells: byVariety.get(v) ?? [] }));
}

/** Mean share lodged by environment and rate, from the cells of one variety. */
function seenIn(table: LodgingTable, cells: readonly LodgingCell[]): VarietyLodging["seen"] {
  const toldAs = rateClasses(cells.map((cell) => cell.rateSeedsPerM2));
  const seen: VarietyLodging["seen"] = [];
  for (const [environment, own] of gather(cells, (cell) => cell.environment)) {
    const sums = new Map<number, { strips: number; sum: number }>();
    for (const { rateSeedsPerM2, strips, sum } of own) {
      const rate = toldAs(rateSeedsPerM2);
      const before = sums.get(rate) ?? { strips: 0, sum: 0 };
      sums.set(rate, { strips: before.strips + strips, sum: before.sum + sum });
    }
    const { id, season } = table.environments[environment]!;
    seen.push({
      environment: id,
      season,
      rates: [...sums].map(([rateSeedsPerM2, { strips, sum }]) => ({
        rateSeedsPerM2,
        strips,
        share: sum / strips,
      })),
    });
  }
  return seen;
}
