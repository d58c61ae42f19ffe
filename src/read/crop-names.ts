/** Crops by the names people give them. */
import { crops, type CropName } from "../vocabulary/crops.ts";
import { plainName } from "./tables/headers.ts";

const otherNames: Record<string, CropName> = {
  springwheat: "wheat",
  winterwheat: "wheat",
  durumwheat: "durum",
  oat: "oats",
  soybeans: "soybean",
  soya: "soybean",
  soyabean: "soybean",
  maize: "corn",
  rapeseed: "canola",
  oilseedrape: "canola",
  linseed: "flax",
};

/** The crop called so, null for one that is not known. Example: `Winter wheat` → `wheat`. */
export function parseCrop(text: string): CropName | null {
  const name = plainName(text);
  return Object.hasOwn(crops, name)
    ? (name as CropName)
    : Object.hasOwn(otherNames, name)
      ? otherNames[name]!
      : null;
}
