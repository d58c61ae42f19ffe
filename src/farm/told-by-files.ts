/** Crop, units and currency that strips and lots show, if nobody gave them. */
import { cropOfStrips, currencyOfLots, unitsOfStrips } from "../messages/files.ts";
import { parseCrop } from "../read/crop-names.ts";
import type { LotsRead } from "../read/lots.ts";
import type { Season, UsualSeason } from "../read/season-file/season.ts";
import type { CropName } from "../vocabulary/crops.ts";
import type { Settings } from "../vocabulary/settings.ts";
import type { Finding, Trial } from "../vocabulary/trial.ts";

/** What a farm's files say under one crop and currency. */
export interface ReadParts {
  season: Season;
  lots: LotsRead;
  settings: Settings;
  trial: Trial;
}

/**
 * What the files say that differs from how they were read: the crop of strips that are all left out as of another, metric units
 * where no column of the strips is in any other, and the currency of lots that all have another.
 */
export function toldByFiles(read: ReadParts): UsualSeason {
  const crop = onlyCrop(read.trial);
  const currency = onlyCurrency(read.lots);
  return {
    ...(crop === null ? {} : { crop }),
    ...(read.season.units.system === "us" && isMetric(read.trial) ? { system: "metric" as const } : {}),
    ...(currency === null ? {} : { currency }),
  };
}

/** Which of these hold once read so: what a person said comes first, and lots in two currencies stay doubtful. */
export const heldOf = (
  { crop, system, currency }: UsualSeason,
  { season: { units }, settings, lots }: ReadParts,
): UsualSeason => ({
  ...(crop === undefined || settings.crop !== crop ? {} : { crop }),
  ...(system === undefined || units.system !== system ? {} : { system }),
  ...(currency === undefined || units.currency !== currency || onlyCurrency(lots) !== null
    ? {}
    : { currency }),
});

/** Remarks where they are used. */
export const saidByFiles = ({ crop, system, currency }: UsualSeason): Finding[] => [
  ...(crop === undefined ? [] : [cropOfStrips(crop)]),
  ...(system === undefined ? [] : [unitsOfStrips()]),
  ...(currency === undefined ? [] : [currencyOfLots(currency)]),
];

/** A unit of area, weight or length that is metric. */
const metricUnit = /(?:\/|^)(?:m2|ha|kg|t|dt|hl|l|m|cm|mm|m of row)$/;
/** Units that both systems share. */
const sharedUnit = /^(?:%|share|percent|g|0-9.*|[015]-[59].*|area-angle|belgian)$/;

/** Whether every unit of the strips is metric, and that of the rate or the yield among them. */
function isMetric({ columns }: Trial): boolean {
  const units = columns.flatMap(({ column, unit }) =>
    column === null || unit === null || sharedUnit.test(unit) ? [] : [{ column, unit }],
  );
  return (
    units.some(({ column }) => column === "rate" || column === "yield") &&
    units.every(({ unit }) => metricUnit.test(unit))
  );
}

function onlyCrop({ strips, findings }: Trial): CropName | null {
  const stopped = findings.filter(({ code }) => code.startsWith("row-"));
  if (strips.length > 0 || stopped.length === 0 || stopped.some(({ code }) => code !== "row-other-crop"))
    return null;
  const crops = new Set(stopped.map(({ value }) => parseCrop(value ?? "")));
  const [crop] = crops;
  return crops.size === 1 ? (crop ?? null) : null;
}

/** The one currency of the lots that differs from everything else; null for none or several. */
function onlyCurrency({ findings }: ReadParts["lots"]): string | null {
  const other = findings.filter(({ code }) => code === "other-currency");
  const values = new Set(other.map(({ value }) => value));
  const [value] = values;
  return values.size === 1 ? (value ?? null) : null;
}
