/** Names that are probably meant to be the same. */
import type { Lot } from "../vocabulary/settings.ts";
import type { Finding, Strip } from "../vocabulary/trial.ts";
import * as messages from "../messages/values.ts";
import { gather } from "../maths/group-by.ts";
import { textOrder } from "./groups.ts";

/** What is left of a name without case, spaces and punctuation. */
const bare = (name: string): string =>
  name
    .normalize("NFKC")
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]/gu, "");

const alike = (column: string, names: Iterable<string>): Finding[] =>
  [...gather([...names], bare)]
    .filter(([key, spellings]) => key !== "" && spellings.length > 1)
    .map(([, spellings]) => messages.alikeNames(column, spellings.sort(textOrder)));

/** Spellings that differ only in case, spaces or punctuation, and varieties that strips and lots do not share. */
export function checkNames(strips: readonly Strip[], lots: readonly Lot[]): Finding[] {
  const varieties = new Set<string>();
  const fields = new Set<string>();
  const farms = new Set<string>();
  for (const { variety, field, farm } of strips) {
    varieties.add(variety);
    fields.add(field);
    farms.add(farm);
  }
  const findings = [
    ...alike("variety", new Set([...varieties, ...lots.map((lot) => lot.variety)])),
    ...alike("field", fields),
    ...alike("farm", farms),
  ];
  if (lots.length === 0 || strips.length === 0) return findings;
  const withLot = new Set(lots.map((lot) => lot.variety));
  const withoutLot = [...varieties].filter((variety) => !withLot.has(variety)).sort(textOrder);
  const withoutStrips = [...withLot].filter((variety) => !varieties.has(variety)).sort(textOrder);
  if (withoutLot.length > 0) findings.push(messages.varietyWithoutLot(withoutLot));
  if (withoutStrips.length > 0) findings.push(messages.lotWithoutStrips(withoutStrips));
  return findings;
}
