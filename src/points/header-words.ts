/**
 * Headers that no table knows, by the words in them: monitors and their programs shorten, join and cut names in ever new
 * ways, as `Yld Vol(Dry)(bu/ac)`, `yld_mass_wet` or, at a shapefile's ten letters, `AppliedRat`. What is taken is told.
 */
import { parseUnit, type QuantityName } from "../read/units/column-units.ts";
import { pointColumns, type PointColumnName } from "./columns.ts";

const says = (...words: string[]): RegExp => new RegExp(`^(?:${words.join("|")})$`);

/** Beginnings of names; a name that is cut short still has them. Common practice of the trade, no source. */
const words: [name: PointColumnName, one: RegExp, never: RegExp | null][] = [
  ["latitude", says("lat", "latitud.*", "breite.*"), null],
  ["longitude", says("lon", "lng", "long", "longitud.*", "langen?grad.*"), null],
  ["x", says("east.*", "x", "xcoord.*", "coordx", "utme", "utmx", "xutm", "rechtswert", "ostwert"), null],
  ["y", says("north.*", "y", "ycoord.*", "coordy", "utmn", "utmy", "yutm", "hochwert", "nordwert"), null],
  ["moisture", says("moist.*", "mst", "feucht.*", "humid.*", "humed.*"), null],
  ["flow", says("flow.*", "flw", "throughput"), null],
  ["dry_yield", says("yld.*", "yield.*", "volume", "ertrag.*", "rendement", "rendim.*"), null],
  ["yield", says("yld.*", "yield.*", "volume", "ertrag.*", "rendement", "rendim.*"), null],
  ["target", says("target.*", "tgt.*", "control.*", "ctrl.*", "prescri.*"), null],
  [
    "rate",
    says(
      "rate?s?",
      "rt",
      "appl.*",
      "apd",
      "popul.*",
      "pop",
      "seeding",
      "aussaat.*",
      "saatst.*",
      "dosis",
      "dose",
    ),
    null,
  ],
  ["swath", says("swath.*", "swth.*", "width", "breite"), null],
  ["distance", says("distance", "dist", "distanc.*"), null],
  ["speed", says("speed.*", "vehiclsp.*", "veloc.*"), null],
  ["heading", says("heading", "track", "course", "bearing"), null],
  ["variety", says("variet.*", "hybrid.*", "cultivar.*", "sorte"), null],
];
/** Words with which a column is about something else. */
const otherwise = says(
  "sd",
  "std",
  "stdev",
  "cv",
  "diff.*",
  "offset",
  "count",
  "id",
  "delay",
  "elev.*",
  "error",
  "name",
);
const dry = says("dry", "dr", "adj.*", "trocken", "sec", "seco", "seca");
/** What is said of a column besides its name. */
const beside = says(
  "wet",
  "we",
  "w",
  "dry",
  "dr",
  "d",
  "vol",
  "mass",
  "estimated",
  "actual",
  "mean",
  "avg",
  "grain",
  "crop",
  "gps",
  "utm",
  "dd",
  "deg",
);

/** Numbers, of which the rows below a header are full, have no words. */
const letter = /\p{L}/u;

/** `Yld Vol(Dry)`, `AppliedRate` and `utm_e` → yld vol dry, applied rate, utme. */
function wordsOf(header: string): string[] {
  const parts = header
    .normalize("NFKD")
    .replaceAll(/\p{M}+/gu, "")
    .replaceAll("ß", "ss")
    .replaceAll(/(\p{Ll})(\p{Lu})/gu, "$1 $2")
    .toLowerCase()
    .split(/[^\p{L}\d/]+/u)
    .filter((part) => part !== "");
  const joined: string[] = [];
  for (const part of parts) {
    const last = joined.at(-1);
    const isPlace = /^(?:utm|coord|x|y)$/.test(last ?? "") && /^(?:e|n|x|y|utm|coord)$/.test(part);
    if (isPlace) joined[joined.length - 1] = last! + part;
    else joined.push(part);
  }
  return joined;
}

/** The unit in the last brackets, or in the words behind the name. */
function unitOf(header: string, parts: readonly string[], quantity: QuantityName): string {
  const bracket = /[([]([^()[\]]*)[)\]]\s*$/.exec(header)?.[1] ?? "";
  if (parseUnit(quantity, bracket) !== null) return bracket;
  for (let from = 1; from < parts.length; from++) {
    const behind = parts.slice(from);
    // `bu_ac` and `buac`: the stroke is lost.
    const stroke = behind.join("").replace(/(?<=.)(ac|ha|m2|ft2)$/, "/$1");
    for (const text of [behind.join("/"), behind.join(" "), stroke])
      if (parseUnit(quantity, text) !== null) return text;
  }
  return "";
}

/**
 * What headers mean that are not known yet.
 *
 * @param headers all of the file
 * @param nameOf the column that a header is known as, null where it is not
 * @returns header → column, with its unit where the header says one, as a person would have answered
 */
export function meaningsByWords(
  headers: readonly string[],
  nameOf: (header: string) => PointColumnName | null,
): Map<string, string> {
  const taken = new Set(headers.map(nameOf).filter((name) => name !== null));
  const found = new Map<string, string>();
  for (const header of headers) {
    if (header.length > 60 || !letter.test(header) || nameOf(header) !== null) continue;
    const parts = wordsOf(header);
    const name = columnOf(parts);
    if (name === null || taken.has(name)) continue;
    taken.add(name);
    const { quantity } = pointColumns.find((column) => column.name === name)!;
    const unit = quantity === null ? "" : unitOf(header, parts, quantity);
    found.set(header, unit === "" ? name : `${name} (${unit})`);
  }
  return found;
}

function columnOf(parts: readonly string[]): PointColumnName | null {
  if (parts.some((part) => otherwise.test(part))) return null;
  for (const [name, one] of words) {
    const at = parts.findIndex((part) => one.test(part));
    if (at < 0 || (name === "dry_yield" && !parts.some((part) => dry.test(part)))) continue;
    // A letter alone is a place only where nothing else is said.
    if (parts[at]!.length === 1 && !parts.every((part, p) => p === at || beside.test(part) || part === "m"))
      continue;
    return name;
  }
  return null;
}
