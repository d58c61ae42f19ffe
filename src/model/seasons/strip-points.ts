/** The strips as the report draws and lists them. */
import { fitLine, fitParabola, groupEffects } from "../../maths/parabola.ts";
import type { RateCell, StripPoint } from "../../vocabulary/result.ts";
import type { Strip } from "../../vocabulary/trial.ts";
import { ratePoints } from "../forms/rate-points.ts";
import { topShift } from "./influence.ts";
import type { VarietyStrips } from "./rate-cells.ts";
import type { StripResiduals } from "./strip-residuals.ts";

/** Beyond this many, every second, third … strip is listed, with each one that is outlying or may change an optimum. */
export const mostStripsListed = 20_000;

/** One variety in one environment with its fits. */
export interface JudgedStrips extends VarietyStrips {
  cells: readonly RateCell[];
  residuals: StripResiduals;
  /** Strips that a finding names, or may name at some price; they are always listed. */
  named: ReadonlySet<Strip>;
}

/**
 * One point per strip of a variety, in the order of its environments.
 *
 * @param seasons  all environments of one variety
 * @param every    2 lists every second strip of each environment, and those named; 1 lists all
 */
export function stripPoints(seasons: readonly JudgedStrips[], every: number): StripPoint[] {
  const levels = levelsOf(seasons);
  return seasons.flatMap(({ variety, environment, strips, cells, residuals, named }) => {
    const points = ratePoints(cells, 0);
    return strips.flatMap((strip, i) =>
      i % every !== 0 && !named.has(strip)
        ? []
        : [
            {
              variety,
              environment,
              block: strip.block,
              file: strip.place.file,
              row: strip.place.row,
              position: strip.position,
              note: strip.note,
              rateSeedsPerM2: strip.rateSeedsPerM2,
              yieldKgPerHa: strip.yieldKgPerHa,
              blockAdjustedYieldKgPerHa: strip.yieldKgPerHa - residuals.blockEffect[i]!,
              levelledYieldKgPerHa: strip.yieldKgPerHa - levels.get(levelKey(environment, strip.block))!,
              standPlantsPerM2: strip.standPlantsPerM2,
              headsPerM2: strip.headsPerM2,
              lodgingShare: strip.lodging?.share ?? null,
              studentizedResidual: residuals.studentized[i]!,
              topShiftSeedsPerM2: topShift(i, residuals, points),
            },
          ],
    );
  });
}

const levelKey = (environment: string, block: string): string => `${environment}\u0000${block}`;

/** How far each block of each environment is above the mean of all, by one curve for all environments. */
function levelsOf(seasons: readonly JudgedStrips[]): Map<string, number> {
  const cells = seasons.flatMap(({ environment, cells: own }) =>
    own.map((cell) => ({ ...cell, block: levelKey(environment, cell.block) })),
  );
  const points = ratePoints(cells, 0);
  const effects = groupEffects(points, fitParabola(points) ?? fitLine(points));
  return new Map([...new Set(cells.map((cell) => cell.block))].sort().map((key, g) => [key, effects[g]!]));
}
