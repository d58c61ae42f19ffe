/** The moisture that yields are told at: in a header, behind its unit, or in a line above or below the table. */

/** A header whose unit says that yields are at market moisture. */
const adjusted =
  /\b(?:adj|adjusted|corrected|std|standardi[sz]ed|korrigiert|corrig[ée]|corregido|ajustado)\b/iu;
/** In the name, not in brackets: there `dry` is no moisture at all. */
const dried = /^[^([]*\b(?:dry|trocken|sec|seco)\b/i;
/** `Yield (dry)`, with nothing else in brackets: of grain that is sold dry, and not of its dry matter. */
const onlyDry = /[([]\s*(?:dry|adj\.?|adjusted|corrected|trocken|sec|seco)\s*[)\]]\s*$/i;
/** `Yield (wet)`: as it was harvested. */
const onlyWet = /[([]\s*(?:wet|as harvested|raw|feucht|humide|h[úu]medo)\s*[)\]]\s*$/iu;

const before =
  "(?:\\b(?:adj(?:\\.|usted)?|corr(?:\\.|ected)?|dried|brought|standardi[sz]ed|korrigiert|corrig[ée]|corregido|ajustado)\\s+(?:to|at|auf|à|al?)\\b" +
  "|\\bat\\b|@|,|;|\\bbei\\b|\\bmit\\b|\\bauf\\b|(?<!\\p{L})à(?!\\p{L})|\\bal\\b";
const moistureWords = "moisture|moist\\.?|h2o|feuchte|humidit[ée]|humedad";
const dryMatter = "ts|tm|ms|dm|dry matter|trockensubstanz|trockenmasse";

/** `at 13.5 %`, `bei 14 %`, `à 15 %`, `adjusted to 13 %`, or `86 % TS`: the moisture, or the dry matter, that a yield is told at. */
const basisBehind = new RegExp(
  `^(.*?)[\\s,;(]*(?:${before}|(?=\\d)))\\s*(\\d{1,2}(?:[.,]\\d+)?)\\s*%(?:\\s*(?:${moistureWords}|(${dryMatter})))?\\s*\\)?$`,
  "iu",
);
/** `@ 13.5`: without its sign, between what grain is sold at. */
const basisWithoutSign = /^(.*?)[\s,;(]*(?:@|\bat\b|\bbei\b)\s*((?:8|9|1[0-9])(?:[.,]\d+)?)\s*\)?$/iu;
/** `13.5 % bu/ac`: in front of the unit. */
const basisInFront = new RegExp(
  `^(.*?)[\\s,;]*(?:${before}|(?=\\d)))\\s*(\\d{1,2}(?:[.,]\\d+)?)\\s*%(?:\\s*(?:${moistureWords}|(${dryMatter})))?[\\s,;]+(\\S.*)$`,
  "iu",
);

/** Longer texts are no headers, and no lines about moisture. */
const longest = 160;

/** A text without the moisture that it gives, and that moisture [%]; null where it gives none. */
export function moistureTold(text: string): { rest: string; moisturePct: number } | null {
  if (text.length > longest) return null;
  const told = text.trim();
  const [, before, basis, ofDryMatter, after = ""] =
    basisBehind.exec(told) ?? basisWithoutSign.exec(told) ?? basisInFront.exec(told) ?? [];
  if (before === undefined || basis === undefined) return null;
  const pct = Number(basis.replace(",", "."));
  return { rest: `${before} ${after}`.trim(), moisturePct: ofDryMatter === undefined ? pct : 100 - pct };
}

/** The moisture in `bu/ac at 13.5 %` or `kg/ha, dry`, and what is left. */
export function splitMoisture(bracket: string): { unit: string; moisturePct: number | null } {
  if (bracket.length > longest) return { unit: bracket, moisturePct: null };
  if (
    /^(?:dry|adj\.?|adjusted|corrected|trocken|sec|seco|wet|as harvested|raw|feucht|humide|h[úu]medo)$/iu.test(
      bracket,
    )
  )
    return { unit: "", moisturePct: null };
  const dry = /^(.*?)[\s,;]*\bdry(?:\s+(?:matter|weight|basis))?$/i.exec(bracket)?.[1];
  // A bushel is grain as it is sold: `bu/ac, dry` is at market moisture.
  if (dry !== undefined) return { unit: dry, moisturePct: /\bbu|\bbpa/i.test(dry) ? null : 0 };
  const wet = /^(.*?)[\s,;]*\b(?:wet|raw|as harvested)$/i.exec(bracket)?.[1];
  if (wet !== undefined) return { unit: wet, moisturePct: null };
  const told = moistureTold(bracket);
  return told === null
    ? { unit: bracket, moisturePct: null }
    : { unit: told.rest, moisturePct: told.moisturePct };
}

/** Whether a header says that its yields are at market moisture already: `adjusted yield`, `Yield (dry)`, `dry bu/ac`. */
export const saysMarketMoisture = (header: string): boolean =>
  adjusted.test(header) || dried.test(header) || onlyDry.test(header) || /\bbu\S*,?\s+dry\b/i.test(header);

/** Whether a header says that its yields are as they were harvested. */
export const saysWet = (header: string): boolean => onlyWet.test(header) || /\b(?:wet|raw)\b/i.test(header);

const ofYields = /\b(?:yields?|bu\/ac?|bushels?|ertr[aä]ge?|rendements?|rdts?|rendimientos?|rindes?)\b/iu;
const broughtTo =
  /\b(?:adj(?:usted|\.)?|corrected|dried|dry|standardi[sz]ed|at|@|are|expressed|reported|bezogen|bei|auf|ramenés?|aux normes|à|corregidos?|ajustados?|al?)\b/iu;

/** The moisture that a line beside a table says its yields are at [%]; null where it says none. */
export function moistureOfYields(line: string): number | null {
  if (line.length > longest || !ofYields.test(line) || !broughtTo.test(line)) return null;
  const found = line.match(/(?<![\d.,])\d{1,2}(?:[.,]\d+)?\s*%/gu) ?? [];
  if (found.length !== 1) return null;
  const pct = Number(found[0].replace("%", "").replace(",", "."));
  return pct >= leastOfGrain && pct <= mostOfGrain ? pct : null;
}
/** Grain is sold at moistures from 8 (flax, canola) to 16 % (common practice). */
const [leastOfGrain, mostOfGrain] = [7, 17];
