/** Messages about weights from a weigh wagon beside the monitor's. */
import { TrialError, type Finding } from "../vocabulary/trial.ts";
import { counted } from "../numbers/written-numbers.ts";
import { finding } from "./finding.ts";

export const weighedNowhere = (file: string, headers: readonly string[]): TrialError =>
  new TrialError(
    "weighed-nothing",
    `${file}: it needs a column strip (its position) or pass, and a column weight, such as "weight (lb)", or gross_weight and ` +
      `tare_weight. It has: ${headers.slice(0, 30).join(", ")}.`,
  );

export const weighedUnread = (file: string, row: number, column: string, value: string): Finding =>
  finding(
    "doubt",
    "weighed-unread",
    `${value === "" ? "It is empty" : `"${value}" cannot be read`}, so this weight is skipped. Write the strip's position (or the pass) and a weight above 0.`,
    { file, row, column, value },
  );

export const weighedUnmet = (file: string, of: "strip" | "pass", names: readonly string[]): Finding =>
  finding(
    "doubt",
    "weighed-unmet",
    `No points belong to ${of} ${names.slice(0, 8).join(", ")}${names.length > 8 ? ` and ${names.length - 8} more` : ""}, so ` +
      `${names.length === 1 ? "its weight is" : "their weights are"} skipped. ` +
      (of === "strip"
        ? "Write the position as in the table of strips."
        : "Write the pass as in the combine's file, which needs a column pass."),
    { file },
  );

const percentOff = (factor: number): string =>
  `${Math.abs(100 * (factor - 1)).toFixed(0)}% ${factor > 1 ? "more" : "less"} grain than the monitor`;

export const scaleFar = (file: string, of: "strip" | "pass", far: readonly [string, number][]): Finding =>
  finding(
    "doubt",
    "scale-far",
    `The scale shows ${far
      .slice(0, 6)
      .map(([name, factor]) => `${percentOff(factor)} in ${of} ${name}`)
      .join(", ")}${far.length > 6 ? ` and so on in ${far.length - 6} more` : ""}. ` +
      `Check the unit of the weights, which strip each load came from, and the monitor's calibration.`,
    { file },
  );

export const scaleScatters = (file: string, scatterPct: number, loads: number): Finding =>
  finding(
    "doubt",
    "scale-scatters",
    `The ratio of the scale's weight to the monitor's varies by ${scatterPct.toFixed(1)}% from load to load (standard deviation of ${counted(loads, "load")}). ` +
      `One factor for all cannot correct that. Look for a load of two strips, grain left in the tank, or a slipping sensor.`,
    { file },
  );
