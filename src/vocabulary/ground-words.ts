/**
 * Kinds of ground that farms of a region have in common.
 *
 * A person's word for the ground may be any; only words of this list leave the farm, since others could name a place. Words
 * of the trade, common practice without source: a word that is missing keeps its strips at home and harms nothing else.
 */
export const groundKinds = [
  "bottom",
  "dryland",
  "heavy",
  "hill",
  "irrigated",
  "level",
  "sandy",
  "slope",
] as const;
export type GroundKind = (typeof groundKinds)[number];

/** In English, German, French and Spanish, small letters, spaces single. */
const words: Record<GroundKind, readonly string[]> = {
  bottom: [
    "bottom, bottomland, bottom land, low ground, lowland, valley, swale, depression",
    "senke, niederung, tal, fond, bas-fond, fond de vallée, bajo, vega, hondonada",
  ],
  dryland: ["dryland, dry land, rainfed, not irrigated, unbewässert, non irrigué, pluvial, secano"],
  heavy: [
    "heavy, heavy clay, clay, clayey, schwer, ton, argile, argileux, lourd, arcilla, arcilloso, pesado",
  ],
  hill: [
    "hill, hilltop, hill top, knoll, ridge, upland, crest",
    "hügel, kuppe, höhe, colline, butte, sommet, loma, cerro",
  ],
  irrigated: ["irrigated, irrigation, pivot, bewässert, beregnet, irrigué, regadío, riego"],
  level: ["level, flat, flats, plain, eben, ebene, plat, plaine, plano, llano"],
  sandy: ["sand, sandy, light, sandig, leicht, sable, sableux, léger, arena, arenoso, ligero"],
  slope: ["slope, side slope, sideslope, hillside, hang, pente, coteau, ladera, pendiente"],
};

const kindOfWord = new Map(
  groundKinds.flatMap((kind) =>
    words[kind].flatMap((line) => line.split(", ").map((word): [string, GroundKind] => [word, kind])),
  ),
);

/**
 * The kind of ground that a person's word means; null for a word of their own.
 *
 * @param word  as in the column `ground`, or with a farm before it: "Home, Hill top"
 */
export function groundKindOf(word: string): GroundKind | null {
  const plain = word
    .slice(word.lastIndexOf(",") + 1)
    .trim()
    .toLowerCase()
    .replace(/[\s_]+/g, " ");
  return kindOfWord.get(plain) ?? null;
}
