/** What a fitted curve says: its coefficients with their errors, and the rate that is best on it. Rates in seeds/m², yields in kg/ha. */

/**
 * Why an optimum is what it is; one sentence each in `tell/wording/optimum.ts`.
 *
 * `found`: `interval` (both ends told), `no-lower-end`, `no-upper-end`, `no-ends` (the strips do not bound it on that
 * side inside the tested rates), `error-unknown` (too few strips to know the error).
 * `at-edge`: `still-rising` (one more seed pays at the highest tested rate), `never-pays` (seed pays nowhere above the
 * lowest tested rate), `bends-upward` (the curve has no top; this end does best).
 * `none`: `no-response` (rate does not matter), `too-few-rates` (fewer than three), `level` (both ends earn the same).
 */
export type OptimumReason =
  | "interval"
  | "no-lower-end"
  | "no-upper-end"
  | "no-ends"
  | "error-unknown"
  | "still-rising"
  | "never-pays"
  | "bends-upward"
  | "no-response"
  | "too-few-rates"
  | "level";

/** A rate that is best in some sense, or the named reason why there is none. Never a rate outside the tested ones. */
export type Optimum =
  | {
      kind: "found";
      rateSeedsPerM2: number;
      /** Ends of the interval at the second of `settings.intervalLevels`; null where the strips set no end inside the tested rates. */
      lower: number | null;
      upper: number | null;
      reason: OptimumReason;
    }
  | { kind: "at-edge"; rateSeedsPerM2: number; edge: "lowest" | "highest"; reason: OptimumReason }
  | { kind: "none"; reason: OptimumReason };

/** y = intercept + linear·x + quadratic·x², x in seeds/m², y in kg/ha; for a plateau form below the join. */
export interface Coefficients {
  intercept: number;
  linear: number | null;
  quadratic: number | null;
  join: number | null;
  plateau: number | null;
}

/** Null where the form has no such term, the error is unknown, or the join is at a tested rate's corner or at its limit. */
export type StandardErrors = { [K in keyof Coefficients]: number | null };
