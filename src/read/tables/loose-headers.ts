/**
 * Headers that no name fits as it is written: the words of one in another order, with words beside them that say nothing, or a
 * unit with what became of it: `Area Harvested`, `Avg Moisture (%)`, `lbs/ac seeded`. Only for columns that are not found otherwise.
 */
import { parseUnit } from "../units/column-units.ts";
import type { Column } from "../strips/columns.ts";
import { plainName, splitHeader } from "./headers.ts";

const says = (words: string): ReadonlySet<string> => new Set(words.split(" "));

/** Words that say nothing of what a column is, in four languages; common practice, no source. */
const fillers = says(
  "avg average mean actual measured the of in mittlere mittlerer mittleres durchschnittliche durchschnittlicher " +
    "tatsachliche gemessene gemessener der die das moyen moyenne reel reelle de du la le promedio media medio real del",
);
/** What became of so much per area: seed that was sown, grain that was harvested. */
const sown = says(
  "seeded sown planted drilled seeding seed gesat ausgesat seme semes semee semees semence sembrado sembrada sembrados",
);
const harvested = says(
  "harvest harvested yielded dry wet ernte drusch geerntet recolte recoltes recoltee cosecha cosechado cosechada " +
    "cosechados trocken sec seco feucht humide humedo",
);
/** Words about a harvest, with or without the word itself: `Largeur récoltée`. */
const ofHarvest = says("yield strip_weight strip_length strip_width strip_area moisture");

/** `kg por franja`, `lb/strip`: whose weight it is. */
const perStrip =
  /(?:\/|\b(?:per|je|pro|par|por)\s+)\s*(?:strip|plot|pass|streifen|parzelle|bande|parcelle|franja|parcela)\b/iu;

/** A unit of seeds needs no name either: `1000 seeds/ac`. */
const seeds = /\b(?:seeds?|sds|kernels?|körner|kö|grains|graines|semillas|sem|granos)\b/iu;

/** Words cut short: common practice, no source. */
const inFull: Readonly<Record<string, string>> = {
  wt: "weight",
  wgt: "weight",
  yld: "yield",
  moist: "moisture",
  pop: "population",
  len: "length",
  hum: "humedad",
  long: "longitud",
  dens: "densidad",
  gew: "gewicht",
};

const wordsIn = (text: string): string[] =>
  text
    .split(/[\s_,.]+/)
    .map(plainName)
    .filter((word) => word !== "")
    .map((word) => inFull[word] ?? word);

const bagOf = (words: readonly string[]): string =>
  words
    .filter((word) => !fillers.has(word))
    .toSorted()
    .join(" ");

/** Longer headers are remarks. */
const longest = 60;

/** Finds columns by the words of a header in any order, with words that say nothing left out and the unit before or after. */
export class LooseHeaders<Name extends string> {
  readonly #bags = new Map<string, Column<Name> | null>();
  readonly #columns: readonly Column<Name>[];

  /** @param names  every name of each column */
  constructor(columns: readonly Column<Name>[], names: Iterable<readonly [string, Column<Name>]>) {
    this.#columns = columns;
    for (const [name, column] of names) {
      const bag = bagOf(wordsIn(name));
      const other = this.#bags.get(bag);
      if (bag !== "") this.#bags.set(bag, other === undefined || other === column ? column : null);
    }
  }

  /** @returns the column and what stands for its unit, "" for none; null where no column or several are meant */
  find(header: string): { column: Column<Name>; bracket: string } | null {
    if (header.length > longest) return null;
    const own = header.replace(perStrip, "");
    const weight = this.#columns.find(({ name: one }) => one === "strip_weight");
    if (own !== header && weight !== undefined && parseUnit("stripWeight", own) !== null)
      return { column: weight, bracket: own.trim() };
    const rate = this.#columns.find(({ name: one }) => one === "rate");
    if (rate !== undefined && seeds.test(own) && parseUnit("stripRate", own) !== null)
      return { column: rate, bracket: own.trim() };
    const { name, bracket } = splitHeader(own);
    const words = name.trim().split(/[\s_,]+/);
    if (bracket !== "") return this.#meant(words, bracket);
    for (let count = words.length; count > 0; count--) {
      const inFront = this.#meant(words.slice(0, count), words.slice(count).join(" "));
      if (inFront !== null) return inFront;
      const behind = this.#meant(words.slice(-count), words.slice(0, -count).join(" "));
      if (behind !== null) return behind;
    }
    return null;
  }

  #meant(written: readonly string[], unit: string): { column: Column<Name>; bracket: string } | null {
    const words = written.flatMap(wordsIn);
    const takes = (column: Column<Name>): boolean =>
      unit === "" || (column.quantity !== null && parseUnit(column.quantity, unit) !== null);
    const named = this.#bags.get(bagOf(words));
    if (named === null) return null;
    if (named !== undefined && takes(named)) return { column: named, bracket: unit };
    const told = words.filter((word) => !fillers.has(word));
    const rest = told.filter((word) => !harvested.has(word));
    const ofRest = rest.length === told.length ? undefined : this.#bags.get(bagOf(rest));
    if (ofRest && ofHarvest.has(ofRest.name) && takes(ofRest)) return { column: ofRest, bracket: unit };
    if (unit === "" || told.length === 0) return null;
    const meant = told.every((word) => sown.has(word))
      ? ["rate"]
      : told.every((word) => harvested.has(word))
        ? ["yield", "strip_weight", "strip_area"]
        : [];
    const column = this.#columns.find((one) => meant.includes(one.name) && takes(one));
    return column === undefined ? null : { column, bracket: unit };
  }
}
