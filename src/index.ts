/** What other programs may use. */
export { analyze } from "./analyze.ts";
export { decideAgain } from "./decide/decide.ts";
export { defaultSettings, defaultUnits } from "./settings.ts";
export type * from "./settings.ts";
export type * from "./trial.ts";
export { TrialError } from "./trial.ts";
export type * from "./result.ts";
export type * from "./pooled-result.ts";
export type * from "./strip-plan.ts";
export { knowVarieties } from "./plan/know-varieties.ts";
export { planStrips } from "./plan/plan-strips.ts";
export { areaAngleIndex, belgianIndex, convertLodging, parseLodgingScale } from "./lodging-scales.ts";
