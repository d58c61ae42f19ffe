/** The columns of a strips file: names, what they hold, how they are read. */
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

const column = <Name extends string>(
  name: Name,
  kind: CellKind,
  quantity: QuantityName | null,
  meaning: string,
  also: string[],
  needed = false,
  unitNames: Record<string, string> = {},
): Column<Name> => ({ name, also, kind, quantity, needed, unitNames, meaning });

/** In the order in which `check` and the schemas list them. */
export const stripColumns = [
  column(
    "variety",
    "text",
    null,
    "Name of the variety.",
    ["cultivar", "hybrid", "genotype", "variety name"],
    true,
  ),
  column(
    "season",
    "season",
    null,
    "Year of harvest, four digits.",
    ["year", "crop year", "harvest year"],
    true,
  ),
  column(
    "rate",
    "number",
    "stripRate",
    "Viable (pure live) seeds sown. A weight of seed is taken where seeds per pound and germination are known.",
    [
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
    true,
  ),
  column(
    "yield",
    "number",
    "yield",
    "Grain harvested. Needed, or else the strip's weight, length and width.",
    ["grain yield", "yld"],
  ),
  column(
    "strip_weight",
    "number",
    "stripWeight",
    "Grain of the strip as weighed.",
    ["weight", "grain weight", "harvest weight", "net weight"],
    false,
    {
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
  ),
  column(
    "gross_weight",
    "number",
    "stripWeight",
    "Weight of wagon or truck with the grain of the strip; with tare_weight instead of strip_weight.",
    ["gross weight"],
  ),
  column("tare_weight", "number", "stripWeight", "Weight of the same wagon or truck empty.", ["tare weight"]),
  column("strip_length", "number", "length", "Harvested length of the strip.", ["length", "harvest length"]),
  column("strip_width", "number", "length", "Harvested width of the strip.", [
    "width",
    "harvest width",
    "cut width",
    "header width",
  ]),
  column(
    "strip_area",
    "number",
    "area",
    "Harvested ground of the strip, instead of its length and width.",
    ["strip area"],
    false,
    { "acres harvested": "ac", "harvested acres": "ac", acres: "ac", hectares: "ha" },
  ),
  column(
    "moisture",
    "number",
    "moisture",
    "Moisture of the grain at harvest. The yield is brought from it to the crop's market moisture.",
    ["harvest moisture", "grain moisture", "moisture pct"],
  ),
  column("farm", "text", null, "Farm, where strips of several are together.", [
    "grower",
    "client",
    "farm name",
  ]),
  column("field", "text", null, "Field.", ["field name", "location", "site", "paddock"]),
  column(
    "ground",
    "text",
    null,
    "Word of your own for the ground: hill, flat, bottom, irrigated. Fields of one ground share a rate of their own.",
    ["ground type", "landscape position"],
  ),
  column("block", "text", null, "Replicate inside the field and season.", [
    "rep",
    "repl",
    "replicate",
    "replication",
  ]),
  column("position", "number", null, "Order of the strip across the field: 1, 2, 3 ….", [
    "pos",
    "strip position",
    "strip order",
    "order",
  ]),
  column("stand", "number", "stand", "Plants that came up.", [
    "stand count",
    "plant stand",
    "plant count",
    "plants",
    "plant density",
    "emergence count",
  ]),
  column(
    "row_spacing",
    "number",
    "rowSpacing",
    "Distance between rows, where stands are counted along the row.",
    ["spacing"],
  ),
  column("heads", "number", "heads", "Heads that bear grain.", ["head count", "spikes", "ears", "panicles"]),
  column(
    "lodging",
    "lodging",
    null,
    "Lodging score: 0 to 9, 0 upright, unless the header names another scale.",
    ["lodging score", "lodging rating"],
  ),
  column("ground_cover", "number", "groundCover", "Ground covered between the rows.", [
    "row fill",
    "row fill pct",
    "row closure",
    "ground cover pct",
    "canopy cover",
  ]),
  column("protein", "number", "sharePct", "Protein content of the grain.", ["grain protein", "protein pct"]),
  column("test_weight", "number", "testWeight", "Weight of a measured bushel or hectolitre.", [
    "testwt",
    "bushel weight",
    "hectolitre weight",
    "specific weight",
  ]),
  column("seeded", "date", null, "Day of seeding, as 2026-04-28.", [
    "seeding date",
    "planting date",
    "planted",
    "sowing date",
    "sown",
    "date seeded",
    "date planted",
  ]),
  column("seeds_per_lb", "number", "seedsPerPound", "Seeds in a pound of the lot that was sown.", [
    "seeds per pound",
    "seeds/lb",
    "kernels per pound",
  ]),
  column("seeds_per_kg", "number", "seedsPerKg", "Seeds in a kilogram of the lot that was sown.", [
    "seeds/kg",
  ]),
  column(
    "tkw_g",
    "number",
    "kernelWeight",
    "Weight of a thousand kernels of the lot that was sown, in grams.",
    [
      "tkw",
      "tgw",
      "tsw",
      "thousand kernel weight",
      "thousand seed weight",
      "1000 kernel weight",
      "1000 seed weight",
    ],
  ),
  column("germination_pct", "number", "sharePct", "Germination of the lot that was sown.", [
    "germination",
    "germ",
    "germ pct",
  ]),
  column("purity_pct", "number", "sharePct", "Purity of the lot that was sown.", ["purity"]),
  column("water", "number", "water", "Water the crop could use in that season, rain plus irrigation.", [
    "rain",
    "rainfall",
    "precipitation",
    "rain plus irrigation",
  ]),
  column(
    "crop",
    "crop",
    null,
    "Crop, where a file holds several; only strips of the crop asked for are used.",
    ["species"],
  ),
  column(
    "exclude",
    "text",
    null,
    "Why the strip is to be left out of every answer; empty for strips that are used.",
    ["leave_out"],
  ),
  column("note", "text", null, "Anything worth remembering.", [
    "notes",
    "comment",
    "comments",
    "remark",
    "remarks",
  ]),
] as const;

export type StripColumnName = (typeof stripColumns)[number]["name"];

/** Columns of a lots file. */
export const lotColumns = [
  column(
    "variety",
    "text",
    null,
    "Name of the variety, as in the strips.",
    ["cultivar", "hybrid", "genotype"],
    true,
  ),
  column("rate_now", "number", "rate", "Viable seeds sown per area today.", [
    "rate",
    "seeding rate",
    "current rate",
  ]),
  column("lowest_rate", "number", "rate", "Lowest rate you accept, because of weeds; no less is advised.", [
    "minimum rate",
    "min rate",
  ]),
  column(
    "recommended_rate",
    "number",
    "rate",
    "Rate that came with the variety, from its supplier or tag; one weak piece of evidence beside your strips.",
    [
      ...["recommended", "recommended seeding rate", "recommended population", "suggested rate"],
      ...["tag rate", "supplier rate", "supplier's rate", "advised rate"],
      ...["empfohlene saatstärke", "empfehlung", "dose recommandée", "dosis recomendada"],
    ],
  ),
  column("seeds_per_lb", "number", "seedsPerPound", "Seeds in a pound of the lot.", [
    "seeds per pound",
    "seeds/lb",
    "kernels per pound",
  ]),
  column("seeds_per_kg", "number", "seedsPerKg", "Seeds in a kilogram of the lot.", ["seeds/kg"]),
  column("tkw_g", "number", "kernelWeight", "Weight of a thousand kernels of the lot, in grams.", [
    ...["tkw", "tgw", "tsw", "thousand kernel weight", "thousand seed weight"],
    ...["1000 kernel weight", "1000 seed weight"],
  ]),
  column("germination_pct", "number", "sharePct", "Germination on the tag.", [
    "germination",
    "germ",
    "germ pct",
  ]),
  column("purity_pct", "number", "sharePct", "Purity on the tag.", ["purity"]),
  column(
    "seed_price",
    "money",
    null,
    "Price of the seed, its unit in brackets: ($/bu), ($/lb), ($/cwt), ($/unit).",
    [...["price", "seed cost", "cost"]],
  ),
  column("seed_price_unit", "text", null, "Unit of the seed price, where the header names none.", [
    "price unit",
  ]),
  column("seeds_per_unit", "number", null, "Seeds in the unit or bag that the price is for.", [
    "seeds per bag",
  ]),
  column(
    "treatment_cost",
    "money",
    null,
    "Price of the treatment, in the unit of the seed price unless brackets name another.",
    [...["treatment", "treatment price", "seed treatment cost"]],
  ),
  column("treated", "yes-no", null, "Whether the seed is treated: yes or no.", ["seed treated"]),
  column("area", "number", "area", "Area to be sown with the lot, for the order.", ["sown area"], false, {
    acres: "ac",
    hectares: "ha",
    ac: "ac",
    ha: "ha",
  }),
] as const;

export type LotColumnName = (typeof lotColumns)[number]["name"];
