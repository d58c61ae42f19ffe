/** Messages about points from drill and combine. */
import { TrialError, type Finding } from "../vocabulary/trial.ts";
import { finding } from "./finding.ts";
import { countWord, counted, listed } from "../numbers/written-numbers.ts";
import { shown } from "./reading.ts";

/** What a person can give besides the files. */
export type HarvestWishName =
  | "column"
  | "crop"
  | "variety"
  | "year"
  | "field"
  | "sheet"
  | "delay"
  | "combine-width"
  | "drill-width";
/** How a wish is called where the person gives it, with what to write there; an option of the command unless said. */
export type CallHarvestWish = (name: HarvestWishName, value?: string) => string;

export const asOption: CallHarvestWish = (name, value) =>
  `--${name}${value === undefined ? "" : ` ${value}`}`;

const points = (count: number): string => counted(count, "point");

export const noPlaceColumns = (file: string, headers: readonly string[]): TrialError =>
  new TrialError(
    "points-without-place",
    `${file}: no column says where the points are. It needs latitude and longitude, or x and y in metres. ` +
      `It has: ${headers.slice(0, 30).join(", ")}.`,
  );

export const noPoints = (file: string): TrialError =>
  new TrialError("points-none", `${file}: none of its points has coordinates.`);

export const pointUnitAsked = (
  file: string,
  header: string,
  column: string,
  example: string,
  units: readonly string[],
  call: CallHarvestWish = asOption,
): TrialError =>
  new TrialError(
    "unit-unclear",
    `${file}, column ${header}: ${example} could be in more than one unit. Write the unit after the name, as ` +
      `"${header} (${units[0]})", or give it with ${call("column", `"${header}=${column} (${units[0]})"`)}. Known units: ${units.join(", ")}.`,
  );

export const latitudeBeyond = (file: string, row: number, value: string, swapped: boolean): TrialError =>
  new TrialError(
    "places-swapped",
    swapped
      ? `${file}, row ${row}: no crop grows at latitude ${value}, but the longitude would fit. Latitude and ` +
          `longitude seem to be swapped: exchange their headers.`
      : `${file}, row ${row}: ${value} is not a latitude in degrees. Export coordinates in degrees (WGS 84), or call the columns x and y if they are in metres.`,
  );

export const notAShapefile = (file: string, why: string): TrialError =>
  new TrialError(
    "shapefile-unreadable",
    `${file}: it is a zip archive, but no shapefile of points can be read from it (${why}). Zip the .shp, .dbf, .shx ` +
      `and .prj of one layer together.`,
  );

/** The page has no projections. */
export const projectionUnread = (file: string): TrialError =>
  new TrialError(
    "projection-unread",
    `${file}: its coordinates are not in degrees, and this page cannot convert projections. Export it in degrees (WGS 84), or use the ` +
      `command, which reads them: stripcurve strips.`,
  );

export const notPoints = (file: string): TrialError =>
  new TrialError(
    "points-none",
    `${file}: it holds no points. Lines and areas are not read; export the points that were logged.`,
  );

export const nothingHarvested = (file: string): TrialError =>
  new TrialError(
    "points-without-yield",
    `${file}: no column holds a yield or a flow of grain. Name it with its unit, as "yield (bu/ac)" or "flow (lb/s)".`,
  );

export const yieldsAllMissing = (file: string, header: string): TrialError =>
  new TrialError(
    "points-without-yield",
    `${file}, column ${header}: no row has a number in it. Export the file again, with yields or the flow of grain.`,
  );

export const nothingSeeded = (file: string): TrialError =>
  new TrialError(
    "points-without-rate",
    `${file}: no column holds the rate that was seeded. Name it with its unit, as "rate (seeds/ac)" or "applied (lb/ac)".`,
  );

export const allInOnePlace = (file: string, count: number, metres: number): TrialError =>
  new TrialError(
    "points-in-one-place",
    `${file}: its ${points(count)} are within ${metres.toFixed(0)} m of each other, so they show no strips. Was the machine standing still, ` +
      `or are coordinates rounded? Export coordinates with six decimals of a degree or more.`,
  );

export const placesCoarse = (file: string, step: string): TrialError =>
  new TrialError(
    "places-coarse",
    `${file}: its coordinates are rounded to ${step}, a strip's width or more, so passes cannot be recognized. Export them with ` +
      `six decimals of a degree or more, or to a tenth of a metre.`,
  );

export const placesRounded = (file: string, step: string): Finding =>
  finding(
    "note",
    "places-rounded",
    `Its coordinates are rounded to ${step}. Distances between points are therefore taken from the speed, or from the ` +
      `points around. Coordinates with seven decimals of a degree show more.`,
    { file },
  );

export const onePassOnly = (file: string, passes: number): TrialError =>
  new TrialError(
    "passes-too-few",
    passes === 0
      ? `${file}: no pass can be recognized in it. Points must be in the order in which they were logged.`
      : `${file}: it holds only one pass. Strips are compared between passes; give the file of the whole trial.`,
  );

export const noOverlap = (yieldFile: string, seededFile: string, swapped: boolean): TrialError =>
  new TrialError(
    "points-apart",
    `No point of ${yieldFile} is on ground that ${seededFile} says was seeded. ` +
      (swapped
        ? "They would overlap if latitude and longitude were swapped in one of them: swap its headers."
        : "Are they of the same field and season?"),
  );

export const placesUnlike = (first: string, second: string, firstInDegrees: boolean): TrialError =>
  new TrialError(
    "places-unlike",
    `Places in ${first} are in ${firstInDegrees ? "degrees" : "metres"} and those in ${second} in ${firstInDegrees ? "metres" : "degrees"}. Export both in degrees (WGS 84).`,
  );

export const placesTaken = (file: string, asDegrees: boolean): Finding =>
  finding(
    "note",
    "places-taken",
    asDegrees
      ? "The coordinates are called x and y, but by their size they are degrees: x as longitude, y as latitude."
      : "The coordinates are not degrees and come without a projection; they are read as metres of one projection (assumed).",
    { file },
  );

export const columnsByWords = (
  file: string,
  meanings: readonly [first: [string, string], ...others: [string, string][]],
  call: CallHarvestWish = asOption,
): Finding =>
  finding(
    "note",
    "columns-by-words",
    `Understood from their names: ${meanings.map(([header, meaning]) => `${header} as ${meaning}`).join("; ")}. If one is wrong, say ` +
      `what it is with ${call("column", `"${meanings[0][0]}=not used"`)}.`,
    { file },
  );

export const columnNowhere = (
  named: string,
  headers: readonly string[],
  call: CallHarvestWish = asOption,
): Finding =>
  finding(
    "doubt",
    "column-nowhere",
    `${call("column")} says what ${shown(named)} means, but no file has such a column. They have ${listed(headers.map(shown))}. Write the header as it is in the file.`,
  );

export const cropOther = (
  file: string,
  found: string,
  asked: string,
  call: CallHarvestWish = asOption,
): TrialError =>
  new TrialError(
    "crop-other",
    `${file}: its crop is ${found}, but ${asked} was asked for. Give the file of that crop, or ${call("crop", found)}.`,
  );

export const twoSeededFields = (file: string, metres: number, call: CallHarvestWish = asOption): TrialError =>
  new TrialError(
    "fields-several",
    `${file}: its points are in groups more than ${countWord(Math.round(metres))} m apart. Strips are compared within a field, so ` +
      `give the points of one field at a time. Where a column names the field, ${call("field", "NAME")} picks them.`,
  );

export const partsApart = (file: string, parts: number, metres: number): Finding =>
  finding(
    "doubt",
    "fields-several",
    `The points are in ${parts} parts more than ${countWord(Math.round(metres))} m apart: two fields? Only points on ` +
      `seeded ground are used.`,
    { file },
  );

export const timeBackwards = (file: string, row: number, count: number): Finding =>
  finding(
    "doubt",
    "time-backwards",
    `Time runs backwards at ${points(count)}, first here. All points were put in the order of their time; check whether ` +
      `two machines are in one file.`,
    { file, row, column: "time" },
  );

export const yieldBeyondCrop = (file: string, told: string, crop: string): Finding =>
  finding(
    "doubt",
    "yield-beyond-crop",
    `Half of the strips yield ${told} or more, which is more than ${crop} usually yields. Is it a file of another crop, or in another unit?`,
    { file, column: "yield" },
  );

export const yieldBelowCrop = (file: string, told: string, crop: string): Finding =>
  finding(
    "doubt",
    "yield-below-crop",
    `Half of the strips yield ${told} or less, which is less than ${crop} usually yields. Is it a file of another crop, or in another unit? ` +
      `Write the unit in the column's name, as "yield (bu/ac)" or "yield (t/ha)".`,
    { file, column: "yield" },
  );

export const moistureBeyondCrop = (
  file: string,
  pct: number,
  [driest, wettest]: readonly [number, number],
  crop: string,
): Finding =>
  finding(
    "doubt",
    "moisture-beyond-crop",
    `Half of the points have a moisture around ${pct.toFixed(1)}%; ${crop} is usually harvested at ${driest} to ${wettest}%. Is it a file of another crop, or is the column something else?`,
    { file, column: "moisture" },
  );

export const targetTaken = (file: string, header: string): Finding =>
  finding(
    "doubt",
    "target-taken",
    `No column says what the drill put down, so the target rate is used (${header}). The applied rate may differ: export it.`,
    { file, column: header },
  );

export const sectionsTaken = (file: string, headers: readonly string[], asRate: boolean): Finding =>
  finding(
    "note",
    "sections-taken",
    `${headers[0]} to ${headers.at(-1)} say which part of the drill was on, from its left side to its right (assumed).` +
      (asRate ? " The rate is the mean of the sections that were on." : ""),
    { file },
  );

export const sectionsUntold = (file: string, count: number, width: string): Finding =>
  finding(
    "doubt",
    "sections-untold",
    `At ${points(count)} the drill worked narrower than its full ${width}, and no column says on which side. Ground that an ` +
      `earlier pass had seeded is left to that pass; the rest counts as seeded over the full width. Export the points section by ` +
      `section, or with a column for each ("Section 1").`,
    { file, column: "swath" },
  );

export const timesCoarse = (file: string, cutTo: number): Finding =>
  finding(
    "doubt",
    "times-coarse",
    `Times are given to the ${cutTo === 60 ? "minute" : "second"}, and several points share each. They were spread evenly over it. ` +
      `Export the times with their ${cutTo === 60 ? "seconds" : "tenths of a second"}: speed and delay are then known better.`,
    { file, column: "time" },
  );

export const combinesSeveral = (file: string, machines: readonly string[], weighed: boolean): Finding =>
  finding(
    "doubt",
    "combines-several",
    `The points come from ${countWord(machines.length)} combines that harvested at the same time (${machines.slice(0, 6).join(", ")}). Two monitors can differ by several percent, ` +
      `which would then look like a difference between strips. ` +
      (weighed
        ? "Check whether their factors on the scale differ."
        : "Compare only strips that one of them cut, or weigh a load of each."),
    { file },
  );

export const ratesMissing = (file: string, column: string, missing: number, zero: number): Finding =>
  finding(
    "note",
    "rates-missing",
    (missing > 0 ? `${points(missing)} without a rate: nothing is known of the seed there. ` : "") +
      (zero > 0 ? `${points(zero)} with a rate of 0: the drill was off.` : ""),
    { file, column },
  );

export const otherFieldsPassed = (file: string, count: number, field: string): Finding =>
  finding(
    "note",
    "other-fields",
    `${points(count)} of other fields than ${field} ${count === 1 ? "is" : "are"} skipped.`,
    {
      file,
    },
  );

export const otherCropsPassed = (file: string, count: number, crop: string): Finding =>
  finding(
    "doubt",
    "other-crops",
    `${points(count)} ${count === 1 ? "is" : "are"} logged as another crop than ${crop}, and ${count === 1 ? "is" : "are"} skipped. If the monitor was ` +
      `set wrong there, correct the crop in the file.`,
    { file, column: "crop" },
  );

export const pointsRepeated = (file: string, count: number): Finding =>
  finding(
    "doubt",
    "points-repeated",
    `${points(count)} ${count === 1 ? "is" : "are"} in it more than once, the same in place, time and yield. Each was counted once. Check ` +
      `whether something was exported twice.`,
    { file },
  );

export const flowWithoutTime = (file: string, header: string): TrialError =>
  new TrialError(
    "flow-without-time",
    `${file}, column ${header}: a flow of grain gives a yield only with the time between points, and no column ` +
      `gives time, seconds or speed. Export one of them, or the yield per area.`,
  );

export const stepsUnlike = (file: string, byPlaces: string, logged: string): Finding =>
  finding(
    "doubt",
    "steps-unlike",
    `From point to point the machine moved ${byPlaces} by its coordinates, but ${logged} by the logged speed or distance. ` +
      `Are latitude and longitude swapped, are x and y in feet, or were points thinned out? Widths and strips may be wrong.`,
    { file },
  );

export const coursesUnlike = (file: string, degrees: number): Finding =>
  finding(
    "doubt",
    "courses-unlike",
    `By its coordinates the machine moved ${degrees.toFixed(0)}° to the side of its logged heading, at half of the points or more. ` +
      `Are latitude and longitude swapped? Then distances and widths are wrong.`,
    { file, column: "heading" },
  );

export const pointsUnordered = (file: string, between: number, all: number): Finding =>
  finding(
    "doubt",
    "points-unordered",
    `Of ${points(all)}, ${countWord(between)} are on no pass: they have no times, and are not in the order in which the machine went. ` +
      `They are left out. Export the file with the time of each point, or in the order in which it was logged.`,
    { file },
  );

export const passesUnlike = (file: string, spacing: string, width: string): Finding =>
  finding(
    "doubt",
    "passes-unlike",
    `Neighbouring passes of the drill are ${spacing} apart, but the drill is ${width} wide. ` +
      `Are latitude and longitude swapped, is the width wrong, or were passes left out? Strips may be wrong.`,
    { file },
  );

export const noStripsSeeded = (file: string): TrialError =>
  new TrialError(
    "strips-none",
    `${file}: no strip can be recognized in it. A strip is 60 m or more of one pass at one rate; here the rate is missing or ` +
      `changes sooner.`,
  );

export const headlandsSeen = (file: string, runs: number): Finding =>
  finding(
    "note",
    "headlands",
    `${counted(runs, "run")} of the drill ${runs === 1 ? "crosses" : "cross"} the others, as on headlands. No strips were made of ${runs === 1 ? "it" : "them"}.`,
    { file },
  );

export const cutsShared = (
  file: string,
  shared: number,
  untold: number,
  combine: string,
  drill: string,
): Finding =>
  finding(
    "note",
    "cuts-shared",
    `At ${points(shared + untold)} the combine cut several strips at once (combine ${combine}, drill ${drill}).` +
      (shared === 0
        ? ""
        : ` Each is shared among its strips by area, and the yield of each strip is worked out from all cuts side by side.`) +
      (untold === 0
        ? ""
        : ` ${shared === 0 ? "What" : `For ${points(untold)} of them what`} each strip gave cannot be worked out; ${untold === 1 ? "it is" : "they are"} left out.`) +
      ` One pass down the middle of each strip shows more.`,
    { file },
  );

export const widthAssumed = (file: string, metres: string, machine: string): Finding =>
  finding(
    "note",
    "width-assumed",
    `No column says how wide the ${machine} works; the distance between neighbouring passes is used, ${metres} (assumed).`,
    { file, column: "swath" },
  );

/** Numbers as ranges: 1 to 3, 7. */
function ranges(numbers: readonly number[]): string {
  const parts: string[] = [];
  for (let [i, first] = [0, 0]; i < numbers.length; i++) {
    if (numbers[i + 1] === numbers[i]! + 1) continue;
    const between = i - first > 1 ? " to " : ", ";
    parts.push(first === i ? String(numbers[i]) : `${numbers[first]}${between}${numbers[i]}`);
    first = i + 1;
  }
  return parts.join(", ");
}

export const stripsWithoutPoints = (positions: readonly number[]): Finding =>
  finding(
    "stops",
    "strip-without-points",
    positions.length === 1
      ? `Strip ${positions[0]}: none of its points is left, so it has no yield. The page shows which were left out, and why.`
      : `Strips ${ranges(positions)}: none of their points is left, so they have no yield. The page shows which were left out, and why.`,
  );

export const stripsShort = (length: string, ends: string): Finding =>
  finding(
    "doubt",
    "strips-short",
    `Half of the strips are ${length} long or shorter. ${ends} inside each end are not used, because readings there mix with those next to them, ` +
      `so little of a strip is left, and its yield is poorly known. Longer strips show more. ` +
      `The step “ends and change-overs” (change-over) can be switched off; then the ends count, too.`,
  );

export const sheetUnmatched = (file: string, strips: number, rows: number): Finding =>
  finding(
    "doubt",
    "sheet-unmatched",
    `The seeded ground shows ${counted(strips, "strip")}, and the sheet has ${rows}; their rates are not in the same order ` +
      `from either side. The sheet was not used: enter varieties and blocks by hand.`,
    { file },
  );

export const sheetEitherWay = (file: string): Finding =>
  finding(
    "doubt",
    "sheet-either-way",
    `The sheet's rates fit from both sides of the field. Position 1 was assumed to be in the west or south; if it is not, number the sheet the other way around.`,
    { file },
  );

export const varietyUnknown = (call: CallHarvestWish = asOption): Finding =>
  finding(
    "doubt",
    "variety-unknown",
    "Nothing says which variety was sown where: the column variety is left empty. Give the field sheet with " +
      `${call("sheet")}, or ${call("variety")} if there was only one.`,
  );

export const seasonUnknown = (call: CallHarvestWish = asOption): Finding =>
  finding(
    "doubt",
    "season-unknown",
    `Nothing says in which year this was harvested: the column season is left empty. Give it with ${call("year")}.`,
  );

export const delayAssumed = (
  seconds: number,
  why: string,
  hasTimes: boolean,
  call: CallHarvestWish = asOption,
): Finding =>
  finding(
    "note",
    "delay-assumed",
    hasTimes
      ? `${why} ${seconds === 0 ? "No delay is taken off" : `A delay of ${seconds} s is assumed`}; ${call("delay")} gives another.`
      : `${why} So no delay can be taken off: export the points with their times, if the monitor did not take it off.`,
  );

export const pointRowUnread = (
  file: string,
  count: number,
  row: number,
  column: string,
  value: string,
): Finding =>
  finding(
    "doubt",
    "point-unread",
    `${counted(count, "cell")} of this column cannot be read as a number and count as missing; this is the first.`,
    { file, row, column, value },
  );
