/** Messages about the lots of next season's seed, beside those of any table. */
import type { Finding } from "../vocabulary/trial.ts";
import { finding, type Whereabouts } from "./finding.ts";
import { rowOut, shown, valueOut } from "./reading.ts";

const lotAdvice = "Give the figure on the tag.";

export const rowLotTwice = (cell: Whereabouts, firstRow: number): Finding =>
  finding(
    "stops",
    "row-lot-twice",
    `The variety has a lot in row ${firstRow} already. ${rowOut} Keep the lot that will be sown.`,
    cell,
  );

/** The first lot of a variety is in another file, or table. */
export const lotOfOtherFile = (cell: Whereabouts, first: { file: string; row: number }): Finding =>
  finding(
    "stops",
    "row-lot-twice",
    `The variety has a lot in ${first.file}, row ${first.row}, already. ${rowOut} Keep the lot that will be sown.`,
    cell,
  );

export const germinationAssumed = (cell: Whereabouts): Finding =>
  finding("doubt", "germination-assumed", `There is no germination. 100% is assumed. ${lotAdvice}`, cell);

export const shareImpossible = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "value-impossible-share",
    `This has to be above 0 and at most 100%. 100% is assumed, and the lot is used. ${lotAdvice}`,
    cell,
  );

export const valueNegative = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "value-negative",
    `A price cannot be below 0. ${valueOut("lot")} Correct the number.`,
    cell,
  );

export const valueNotYesOrNo = (cell: Whereabouts): Finding =>
  finding(
    "doubt",
    "value-not-yes-or-no",
    "This is neither yes nor no. The seed is assumed to be treated.",
    cell,
  );

export const unitSeedsMissing = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "value-seeds-per-unit-missing",
    `The price is for a unit or bag, and it is not known how many seeds that is. ${valueOut("lot")} Add a column seeds_per_unit.`,
    cell,
  );

export const treatmentNotConvertible = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "value-treatment-unit",
    `The treatment is priced by weight and the seed by count, or the other way round, and the seeds per weight are not known. ${valueOut("lot")} Add seeds_per_lb or tkw_g.`,
    cell,
  );

export const treatmentWithoutPrice = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "value-treatment-alone",
    `There is a price for the treatment but none for the seed. ${valueOut("lot")} Add the price of the seed.`,
    cell,
  );

export const rateNowSeedWeightUnknown = (cell: Whereabouts): Finding =>
  finding(
    "stops",
    "value-seed-weight-unknown",
    `The rate is a weight, and the seeds per weight of this lot are not known. ${valueOut("lot")} Add seeds_per_lb or tkw_g, or give the rate in seeds.`,
    cell,
  );

export const otherCurrency = (file: string, column: string, written: string, used: string): Finding =>
  finding(
    "doubt",
    "other-currency",
    `These prices are in ${shown(written)}, other prices in ${used}. No exchange rate is known, so the numbers are read as ${used}. Give all prices in one currency.`,
    { file, column, value: written },
  );
