/** Crops by the names people give them. */
import { crops, type CropName } from "../vocabulary/crops.ts";
import { plainName } from "./tables/headers.ts";

const otherNames = new Map([
  ...named("wheat", "springwheat winterwheat hrsw hrww srww swsw sww swww hrs hrw srw cwrs"),
  ...named("wheat", "weizen winterweizen sommerweizen ble trigo"),
  ...named("durum", "durumwheat hartweizen"),
  ...named("barley", "gerste wintergerste sommergerste braugerste orge cebada"),
  ...named("oats", "oat hafer avoine avena"),
  ...named("rye", "roggen winterroggen seigle centeno"),
  ...named("soybean", "soybeans soya soyabean soja sojabohne sojabohnen"),
  ...named("corn", "maize mais kornermais maiz"),
  ...named("canola", "rapeseed oilseedrape raps winterraps colza"),
  ...named("flax", "linseed lein ollein lin lino"),
]);

function named(crop: CropName, words: string): [string, CropName][] {
  return words.split(" ").map((word) => [word, crop]);
}

/** The crop called so, null for one that is not known. Example: `Winter wheat` → `wheat`, `Malt barley` → `barley`. */
export function parseCrop(text: string): CropName | null {
  const whole = cropCalled(text);
  if (whole !== null || text.length > longestName) return whole;
  const [word, ...others] = text
    .split(/[^\p{L}\p{M}]+/u)
    .filter((one) => one !== "" && !kinds.has(one.toLowerCase()));
  return word === undefined || others.length > 0 ? null : cropCalled(word);
}

/** Words of a crop's kind or use, which leave it the crop that it is. */
const kinds = new Set(
  "spring winter hard soft red white malt malting feed food milling forage seed grain row two six hulless hulled".split(
    " ",
  ),
);

/** Longer texts are remarks. */
const longestName = 40;

function cropCalled(text: string): CropName | null {
  const name = plainName(text);
  return Object.hasOwn(crops, name) ? (name as CropName) : (otherNames.get(name) ?? null);
}

/** What titles say of other crops than that of the strips. */
const ofOtherGround =
  /previous|preceding|prior|after|follow|into|stubble|residue|cover|rotation|price|vorfrucht|précédent|anterior/i;

/** The crop that a title speaks of, null for none or several. Example: `Barley seeding rates` → `barley`. */
export function cropInTitle(title: string): CropName | null {
  if (ofOtherGround.test(title)) return null;
  const found = new Set(title.split(/[^\p{L}\p{M}]+/u).flatMap((word) => parseCrop(word) ?? []));
  return found.size === 1 ? [...found][0]! : null;
}

/** The first crop that a file's or a tab's own name gives, null for none. Example: `2026_Gerste Strips.csv` → `barley`. */
export function cropInName(name: string): CropName | null {
  const words = name.split(/[^\p{L}\p{M}]+/u);
  for (const word of words) {
    const crop = parseCrop(word);
    if (crop !== null) return crop;
  }
  return null;
}
