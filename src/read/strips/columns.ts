/** The columns of a strips file: names, what they hold, how they are read. */
import { listed } from "./listed.ts";
import type { QuantityName } from "../units/column-units.ts";

/** How the text of a cell is read. */
export type CellKind = "text" | "number" | "season" | "date" | "lodging" | "crop" | "yes-no" | "money";

export interface Column<Name extends string = string> {
  name: Name;
  /** Other names that are understood; case, spaces, underscores, points and dashes do not matter. */
  also: string[];
  kind: CellKind;
  /** Unit table for numbers; null for plain ones. */
  quantity: QuantityName | null;
  needed: boolean;
  /** Names that say the unit as well, with that unit. */
  unitNames: Record<string, string>;
  /** One sentence for `check`, the schemas and the manual. */
  meaning: string;
}

type Named = "name" | "kind" | "meaning";

/** A column by what is to be said of it: a plain number or a text has no quantity, and most are not needed. */
export const column = <Name extends string>(
  said: Pick<Column<Name>, Named> & Partial<Omit<Column, Named>>,
): Column<Name> => ({ quantity: null, also: [], needed: false, unitNames: {}, ...said });

/** In the order in which `check` and the schemas list them. */
/** Names that the strips and the drill's own log share. */
export const seedsPerPound = column({
  name: "seeds_per_lb",
  kind: "number",
  quantity: "seedsPerPound",
  meaning: "Seeds in a pound of the lot that was sown.",
  also: ["seeds per pound", "seeds/lb", "kernels per pound"],
});

export const stripColumns = [
  column({
    name: "variety",
    kind: "text",
    meaning: "Name of the variety.",
    also: ["cultivar", "hybrid", "genotype", "variety name"],
    needed: true,
  }),
  column({
    name: "season",
    kind: "season",
    meaning: "Year of harvest, four digits.",
    also: ["year", "crop year", "harvest year"],
    needed: true,
  }),
  column({
    name: "rate",
    kind: "number",
    quantity: "stripRate",
    meaning:
      "Viable (pure live) seeds sown. A weight of seed is accepted where seeds per pound and germination are known.",
    also: [
      "seeding rate",
      "seed rate",
      "sowing rate",
      "planting rate",
      "target rate",
      "seeding population",
      "seeds",
      "viable seeds",
      "pls",
    ],
    needed: true,
  }),
  column({
    name: "yield",
    kind: "number",
    quantity: "yield",
    meaning: "Grain harvested. Needed, or else the strip's weight, length and width.",
    also: ["grain yield", "yld"],
  }),
  column({
    name: "strip_weight",
    kind: "number",
    quantity: "stripWeight",
    meaning: "Grain of the strip as weighed.",
    also: ["weight", "grain weight", "harvest weight", "net weight"],
    unitNames: {
      "grain lbs": "lb",
      "net lbs": "lb",
      "lbs harvested": "lb",
      lbs: "lb",
      pounds: "lb",
      bushels: "bu",
      "total bushels": "bu",
      "bushels harvested": "bu",
      "net bushels": "bu",
    },
  }),
  column({
    name: "gross_weight",
    kind: "number",
    quantity: "stripWeight",
    meaning:
      "Weight of wagon or truck with the grain of the strip; with tare_weight instead of strip_weight.",
    also: ["gross weight"],
  }),
  column({
    name: "tare_weight",
    kind: "number",
    quantity: "stripWeight",
    meaning: "Weight of the same wagon or truck empty.",
    also: ["tare weight"],
  }),
  column({
    name: "strip_length",
    kind: "number",
    quantity: "length",
    meaning: "Harvested length of the strip.",
    also: ["length", "harvest length"],
  }),
  column({
    name: "strip_width",
    kind: "number",
    quantity: "length",
    meaning: "Harvested width of the strip.",
    also: ["width", "harvest width", "cut width", "header width"],
  }),
  column({
    name: "strip_area",
    kind: "number",
    quantity: "area",
    meaning: "Harvested ground of the strip, instead of its length and width.",
    also: ["strip area"],
    unitNames: { "acres harvested": "ac", "harvested acres": "ac", acres: "ac", hectares: "ha" },
  }),
  column({
    name: "moisture",
    kind: "number",
    quantity: "moisture",
    meaning: "Moisture of the grain at harvest. The yield is adjusted from it to the crop's market moisture.",
    also: ["harvest moisture", "grain moisture", "moisture pct"],
  }),
  column({
    name: "farm",
    kind: "text",
    meaning: "Farm, where strips of several are together.",
    also: ["grower", "client", "farm name"],
  }),
  column({
    name: "field",
    kind: "text",
    meaning: "Field.",
    also: ["field name", "location", "site", "paddock"],
  }),
  column({
    name: "ground",
    kind: "text",
    meaning:
      "Word of your own for the ground: hill, flat, bottom, irrigated. Fields of one ground share a rate of their own.",
    also: ["ground type", "landscape position"],
  }),
  column({
    name: "block",
    kind: "text",
    meaning: "Replicate inside the field and season.",
    also: ["rep", "repl", "replicate", "replication"],
  }),
  column({
    name: "position",
    kind: "number",
    meaning: "Order of the strip across the field: 1, 2, 3 ….",
    also: ["pos", "strip position", "strip order", "order"],
  }),
  column({
    name: "stand",
    kind: "number",
    quantity: "stand",
    meaning: "Plants that came up.",
    also: ["stand count", "plant stand", "plant count", "plants", "plant density", "emergence count"],
  }),
  column({
    name: "row_spacing",
    kind: "number",
    quantity: "rowSpacing",
    meaning: "Distance between rows, where stands are counted along the row.",
    also: ["spacing"],
  }),
  column({
    name: "heads",
    kind: "number",
    quantity: "heads",
    meaning: "Heads that bear grain.",
    also: ["head count", "spikes", "ears", "panicles"],
  }),
  column({
    name: "lodging",
    kind: "lodging",
    meaning: "Lodging score: 0 to 9, 0 upright, unless the header names another scale.",
    also: ["lodging score", "lodging rating"],
  }),
  column({
    name: "ground_cover",
    kind: "number",
    quantity: "groundCover",
    meaning: "Ground covered between the rows.",
    also: ["row fill", "row fill pct", "row closure", "ground cover pct", "canopy cover"],
  }),
  column({
    name: "protein",
    kind: "number",
    quantity: "sharePct",
    meaning: "Protein content of the grain.",
    also: ["grain protein", "protein pct"],
  }),
  column({
    name: "test_weight",
    kind: "number",
    quantity: "testWeight",
    meaning: "Weight of a measured bushel or hectolitre.",
    also: ["testwt", "bushel weight", "hectolitre weight", "specific weight"],
  }),
  column({
    name: "seeded",
    kind: "date",
    meaning: "Day of seeding, as 2026-04-28.",
    also: ["seeding date", "planting date", "planted", "sowing date", "sown", "date seeded", "date planted"],
  }),
  seedsPerPound,
  column({
    name: "seeds_per_kg",
    kind: "number",
    quantity: "seedsPerKg",
    meaning: "Seeds in a kilogram of the lot that was sown.",
    also: ["seeds/kg"],
  }),
  column({
    name: "tkw_g",
    kind: "number",
    quantity: "kernelWeight",
    meaning: "Weight of a thousand kernels of the lot that was sown, in grams.",
    also: [
      "tkw",
      "tgw",
      "tsw",
      "thousand kernel weight",
      "thousand seed weight",
      "1000 kernel weight",
      "1000 seed weight",
    ],
  }),
  column({
    name: "germination_pct",
    kind: "number",
    quantity: "sharePct",
    meaning: "Germination of the lot that was sown.",
    also: ["germination", "germ", "germ pct"],
  }),
  column({
    name: "purity_pct",
    kind: "number",
    quantity: "sharePct",
    meaning: "Purity of the lot that was sown.",
    also: ["purity"],
  }),
  column({
    name: "water",
    kind: "number",
    quantity: "water",
    meaning: "Water the crop could use in that season, rain plus irrigation.",
    also: ["rain", "rainfall", "precipitation", "rain plus irrigation"],
  }),
  column({
    name: "crop",
    kind: "crop",
    meaning: "Crop, where a file holds several; only strips of the crop asked for are used.",
    also: ["species"],
  }),
  column({
    name: "exclude",
    kind: "text",
    meaning:
      "Why the strip is to be left out of every answer; empty for strips that are used. A column called use, keep or include says no instead.",
    also: ["leave_out"],
  }),
  column({
    name: "note",
    kind: "text",
    meaning: "Anything worth remembering.",
    also: ["notes", "comment", "comments", "remark", "remarks"],
  }),
] as const;

export type StripColumnName = (typeof stripColumns)[number]["name"];

/** Columns of a lots file. */
export const lotColumns = [
  column({
    name: "variety",
    kind: "text",
    meaning: "Name of the variety, as in the strips.",
    also: ["cultivar", "hybrid", "genotype"],
    needed: true,
  }),
  column({
    name: "rate_now",
    kind: "number",
    quantity: "rate",
    meaning: "Viable seeds sown per area today.",
    also: ["rate", "seeding rate", "current rate"],
  }),
  column({
    name: "lowest_rate",
    kind: "number",
    quantity: "rate",
    meaning: "Lowest rate you accept, because of weeds; no less is advised.",
    also: ["minimum rate", "min rate"],
  }),
  column({
    name: "recommended_rate",
    kind: "number",
    quantity: "rate",
    meaning:
      "Rate that came with the variety, from its supplier or tag; one weak piece of evidence beside your strips.",
    also: listed(
      "recommended, recommended seeding rate, recommended population, suggested rate",
      "tag rate, supplier rate, supplier's rate, advised rate",
      "empfohlene saatstärke, empfehlung, dose recommandée, dosis recomendada",
    ),
  }),
  column({
    name: "seeds_per_lb",
    kind: "number",
    quantity: "seedsPerPound",
    meaning: "Seeds in a pound of the lot.",
    also: ["seeds per pound", "seeds/lb", "kernels per pound"],
  }),
  column({
    name: "seeds_per_kg",
    kind: "number",
    quantity: "seedsPerKg",
    meaning: "Seeds in a kilogram of the lot.",
    also: ["seeds/kg"],
  }),
  column({
    name: "tkw_g",
    kind: "number",
    quantity: "kernelWeight",
    meaning: "Weight of a thousand kernels of the lot, in grams.",
    also: listed(
      "tkw, tgw, tsw, thousand kernel weight, thousand seed weight",
      "1000 kernel weight, 1000 seed weight",
    ),
  }),
  column({
    name: "germination_pct",
    kind: "number",
    quantity: "sharePct",
    meaning: "Germination on the tag.",
    also: ["germination", "germ", "germ pct"],
  }),
  column({
    name: "purity_pct",
    kind: "number",
    quantity: "sharePct",
    meaning: "Purity on the tag.",
    also: ["purity"],
  }),
  column({
    name: "seed_price",
    kind: "money",
    meaning: "Price of the seed, its unit in brackets: ($/bu), ($/lb), ($/cwt), ($/unit).",
    also: listed("price, seed cost, cost"),
  }),
  column({
    name: "seed_price_unit",
    kind: "text",
    meaning: "Unit of the seed price, where the header names none.",
    also: ["price unit"],
  }),
  column({
    name: "seeds_per_unit",
    kind: "number",
    meaning: "Seeds in the unit or bag that the price is for.",
    also: ["seeds per bag"],
  }),
  column({
    name: "treatment_cost",
    kind: "money",
    meaning: "Price of the treatment, in the unit of the seed price unless brackets name another.",
    also: listed("treatment, treatment price, seed treatment cost"),
  }),
  column({
    name: "treated",
    kind: "yes-no",
    meaning: "Whether the seed is treated: yes or no.",
    also: ["seed treated"],
  }),
  column({
    name: "area",
    kind: "number",
    quantity: "area",
    meaning: "Area to be sown with the lot, for the order.",
    also: ["sown area"],
    unitNames: {
      acres: "ac",
      hectares: "ha",
      ac: "ac",
      ha: "ha",
    },
  }),
] as const;

export type LotColumnName = (typeof lotColumns)[number]["name"];
