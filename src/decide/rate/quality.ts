/**
 * Money that a rate earns or costs besides grain and seed: premium or discount for protein, and loss where lodged.
 *
 * Net return per hectare = (grain price + `premiumPerKg(rate)`) × yield − cost of seed − `costPerHa(rate)`.
 */
import type { ProteinResponse, VarietyLodging } from "../../vocabulary/result.ts";
import type { ProteinStep, Settings } from "../../vocabulary/settings.ts";
import { expectedShare } from "./lodging-ceiling.ts";

/** What quality adds to the grain price and costs per hectare, at any rate. Both are 0 where nothing is known. */
export interface QualityMoney {
  premiumPerKg: (rateSeedsPerM2: number) => number;
  costPerHa: (rateSeedsPerM2: number) => number;
}

/**
 * Premium (positive) or discount at a protein content: linear between the entries, constant beyond the first and last.
 *
 * @param schedule in any order; empty: no premium
 * @returns money per kg of grain
 * @example [{12%, 0}, {14%, 0.35}] at 13% → 0.175; at 16% → 0.35
 * Source: form of the USDA AMS, CCC wheat protein scales, effective 14 September 2021.
 */
export function premiumAt(schedule: readonly ProteinStep[], proteinPct: number): number {
  const steps = [...schedule].sort((a, b) => a.proteinPct - b.proteinPct);
  const low = steps.findLast((step) => step.proteinPct < proteinPct);
  const high = steps.find((step) => step.proteinPct >= proteinPct);
  if (low === undefined || high === undefined) return (low ?? high)?.premiumPerKg ?? 0;
  const part = (proteinPct - low.proteinPct) / (high.proteinPct - low.proteinPct);
  return low.premiumPerKg + part * (high.premiumPerKg - low.premiumPerKg);
}

/** Whether quality counts in the money of a variety: what is read at grain and seed alone is then another question. */
export const paysForQuality = (
  protein: ProteinResponse | undefined,
  lodging: VarietyLodging | undefined,
  { proteinSchedule, lodgingCostPerHa }: Pick<Settings, "proteinSchedule" | "lodgingCostPerHa">,
): boolean =>
  (protein !== undefined && proteinSchedule.length > 0) || (lodging !== undefined && lodgingCostPerHa !== 0);

/**
 * Quality in money for one variety.
 *
 * Protein follows its straight line on the rate from the level of each environment seen, and the premium is averaged over
 * those, because a schedule has corners. The cost of lodging is `settings.lodgingCostPerHa` × the share expected to lodge.
 * Harvested yields already hold the grain that lodging lost: only money not in them belongs in that setting.
 */
export function qualityMoney(
  protein: ProteinResponse | undefined,
  lodging: VarietyLodging | undefined,
  settings: Pick<Settings, "proteinSchedule" | "lodgingCostPerHa">,
): QualityMoney {
  const { proteinSchedule, lodgingCostPerHa } = settings;
  return {
    premiumPerKg: (rate) => {
      if (protein === undefined || proteinSchedule.length === 0) return 0;
      const { levels, slopePctPerSeedPerM2, centreSeedsPerM2 } = protein;
      const change = slopePctPerSeedPerM2 * (rate - centreSeedsPerM2);
      return levels.reduce(
        (sum, { proteinPct }) => sum + premiumAt(proteinSchedule, proteinPct + change) / levels.length,
        0,
      );
    },
    costPerHa: (rate) => {
      if (lodging === undefined || lodgingCostPerHa === 0) return 0;
      return lodgingCostPerHa * (expectedShare(lodging, rate) ?? 0);
    },
  };
}
