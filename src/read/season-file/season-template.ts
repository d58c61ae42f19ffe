/** A season file to fill in. */
import { crops } from "../../vocabulary/crops.ts";
import {
  assumable,
  defaultsIn,
  isAssumed,
  type Settings,
  type UnitChoice,
} from "../../vocabulary/settings.ts";
import { premiumKind, priorEntries, seasonEntries, type SeasonEntry } from "./season-entries.ts";
import type { SeasonContext } from "./season-kinds.ts";

const helpColumn = 40;

const line = (entry: string, help: string): string => `${entry.padEnd(helpColumn)} # ${help}`.trimEnd();

/** Left empty where they are usual, so that they follow when somebody writes another crop. */
const ofTheCrop: readonly string[] = ["late_cap", "rate_step"];

const entryLine = (entry: SeasonEntry, settings: Settings, context: SeasonContext, indent = ""): string => {
  const known = entry.tell(settings, context);
  const unit = entry.unit(context);
  const isToCome = assumable.some((what) => what === entry.key && isAssumed(settings, what));
  const isUsual =
    ofTheCrop.includes(entry.key) &&
    known === entry.tell(defaultsIn(context.units.system, settings.crop), context);
  const help = [
    entry.help,
    known === "" && unit !== "" ? `In ${unit}.` : "",
    known === "" || !(isToCome || isUsual)
      ? ""
      : `Empty: ${known}, ${isUsual ? `for ${settings.crop}` : "assumed"}.`,
  ];
  const value = isToCome || isUsual ? "" : known;
  return line(`${indent}${entry.key}: ${value}`.trimEnd(), help.filter((text) => text !== "").join(" "));
};

/**
 * The text of a season file with every entry, its default, its unit and a line of help. What money or seed rests on and nobody
 * gave is left empty, so that it counts as assumed until somebody fills it in.
 *
 * @param settings  whose values are shown; the defaults unless others are given
 * @example readSeason of it gives the settings back, to the six digits that are written
 */
export function seasonTemplate(units: UnitChoice, settings: Settings = defaultsIn(units.system)): string {
  const context: SeasonContext = { crop: crops[settings.crop], units, currencies: new Set() };
  const percent = (share: number): string => `${Number((share * 100).toPrecision(6))}%`;
  const steps = settings.proteinSchedule.map(
    ({ proteinPct, premiumPerKg }) =>
      `  - { protein: ${proteinPct}%, premium: ${premiumKind.tell(premiumPerKg, context)} }`,
  );
  return [
    "# Next season. Every entry may be left out or left empty; then its default is used, and answers say what was assumed.",
    "",
    line(
      `units: ${units.system}`,
      "us or metric: what numbers without a unit are in, and how answers are shown.",
    ),
    line(`currency: ${units.currency}`, "Sign or letters, such as $, € or USD."),
    line(`crop: ${settings.crop}`, `${Object.keys(crops).join(", ")}.`),
    "",
    ...seasonEntries.map((entry) => entryLine(entry, settings, context)),
    "",
    "# Premium or discount for protein, straight between the steps, level beyond them. Such as:",
    "#   - { protein: 13%, premium: -0.12 $/bu }",
    "#   - { protein: 14%, premium: 0 $/bu }",
    "protein_schedule:",
    ...steps,
    "",
    line(
      `interval_levels: [${settings.intervalLevels.map(percent).join(", ")}]`,
      "Levels of the two ranges that are shown.",
    ),
    line(
      `forms: [${settings.forms.join(", ")}]`,
      "Shapes of the curve that are fitted in each field and season.",
    ),
    "",
    "# Assumptions before any strip is seen. Three good seasons override it.",
    "priors:",
    ...priorEntries.map((entry) => entryLine(entry, settings, context, "  ")),
    "",
  ].join("\n");
}
