/** Messages about what farms of a region share. */
import { TrialError } from "../vocabulary/trial.ts";
import { counted } from "../numbers/written-numbers.ts";
import { shown } from "./reading.ts";

export const notEvidence = (file: string): TrialError =>
  new TrialError(
    "evidence-unknown",
    `${file} is not evidence to share. stripcurve share writes it from a farm's strips: stripcurve share strips-*.csv -o evidence.json`,
  );

export const notRegion = (file: string): TrialError =>
  new TrialError(
    "region-unknown",
    `${file} is not a region. stripcurve region writes it from the evidence of many farms: stripcurve region evidence/ -o region.json`,
  );

export const regionFileVersion = (file: string, found: string, wanted: string): TrialError =>
  new TrialError(
    "region-file-version",
    `${file} says "${shown(found)}", and this program reads "${wanted}". Make it again with the same version of stripcurve.`,
  );

export const regionFileImpossible = (
  file: string,
  place: string,
  value: string,
  advice: string,
): TrialError =>
  new TrialError(
    "region-file-impossible",
    `${file}, ${place}: ${value === "" ? "it is missing" : `${shown(value)} is impossible`}. ${advice} The file was changed or cut off; make it again.`,
  );

export const otherCrop = (file: string, found: string, wanted: string): TrialError =>
  new TrialError(
    "region-other-crop",
    `${file} is about ${shown(found)}, but the others are about ${wanted}. Give files of one crop, or name the crop with --crop.`,
  );

export const noEvidence = (): TrialError =>
  new TrialError(
    "region-empty",
    "There is nothing here for a region: no file has two seeding rates of a variety side by side.",
  );

/** @param fewest farms that must grow a variety for it to be published */
export const nothingToPublish = (fewest: number): TrialError =>
  new TrialError(
    "region-publishes-nothing",
    `No variety is grown by ${fewest} farms or more: the region would hold none, and is not written. Add the evidence of more farms, or lower --fewest-farms if they agree.`,
  );

export const sameFarmTwice = (kept: string, left: string): string =>
  `${left} holds strips that ${kept} holds too: they count once, as in ${kept}.`;

export const farmInRegion = (own: number, all: number): string =>
  `The region was made with ${own === all ? "all" : `${own} of ${all}`} of this farm's varieties and seasons in it: they count twice, once in the region and once here. For advice that counts them once, use a region made without this farm.`;

/** @param names  with the number of farms that have each, the commonest first */
export const alikeInRegion = (names: readonly { variety: string; farms: number }[]): string =>
  `${names.map(({ variety, farms }) => `"${shown(variety)}" (${counted(farms, "farm")})`).join(" and ")} are probably one variety, but are kept separate. If they are one, spell them the same way in the strips and share them again.`;

export const regionSpellsOtherwise = (variety: string, inRegion: string): string =>
  `The region does not know "${shown(variety)}", but it knows "${shown(inRegion)}". If they are one variety, spell it that way here, and it gets the region's answer too.`;
