/** The step that long work is at, in words. */

/** Of each step of the analysis. */
export const analysisSteps = {
  check: "Checking the strips",
  seasons: "Fitting each variety in each field and season",
  observed: "Reading stand, heads, lodging and protein",
  beliefs: "Comparing possible curves",
  pooled: "Fitting all seasons together",
  decide: "Choosing next season's rates",
  plan: "Looking for strips worth planting",
} as const;

/** Of planning. */
export function planStep(
  at: { step: "past" } | { step: "choose" } | { step: "grow"; number: number; of: number },
): string {
  if (at.step === "past") return "Working out what the past strips show";
  if (at.step === "choose") return "Choosing rates and size";
  return `Simulating the trial, ${at.number} of ${at.of}`;
}
