/** Messages about stands and lodging, found while they are modelled. */
import { standLossRange, standLossText } from "../numbers/stand-loss.ts";
import type { StandLoss } from "../vocabulary/crops.ts";
import type { Finding, LodgingScale, Strip } from "../vocabulary/trial.ts";
import { finding } from "./finding.ts";

const percent = (share: number): string => `${Math.round(share * 100)}%`;

/** Left out of the stand loss only: yield and the rest of the strip are used. */
export const standOutOfLine = (strip: Strip, loss: number, usualLoss: number): Finding =>
  finding(
    "doubt",
    "stand-out-of-line",
    `By the counts, ${standLossText(loss, percent)} in this strip; in others of ${strip.variety} in this field, ${standLossText(usualLoss, percent)}. The count is left out of the stand loss. Check it for a slipped decimal point.`,
    { ...strip.place, column: "stand" },
  );

/** Measured stand losses ran from 5.1 to 46.6%. */
export const standLossUnusual = (environment: string, loss: number, usual: StandLoss["usual"]): Finding =>
  finding(
    "doubt",
    "stand-loss-unusual",
    `In ${environment} the counts show that ${standLossText(loss, percent)}. A loss of ${standLossRange(usual)} is usual. Check whether the rate was written as viable seeds, the germination, and the unit of the stand.`,
    { column: "stand" },
  );

/** `speaking`: scale by variety that the decision goes by. */
export const lodgingScalesApart = (
  scales: readonly LodgingScale[],
  speaking: readonly { variety: string; scale: LodgingScale }[],
): Finding =>
  finding(
    "note",
    "lodging-scales-apart",
    `Lodging was scored on scales that do not convert into each other (${scales.join(", ")}). The scale with the most strips decides what lodging allows: ${speaking.map(({ variety, scale }) => `${scale} for ${variety}`).join(", ")}. The other scores are shown, but not used for that.`,
    { column: "lodging" },
  );
