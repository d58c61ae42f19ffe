/** The season file: prices, dates and limits in the person's words and units. */
import { daysBetween } from "../../numbers/calendar.ts";
import { isAlias, isMap, isScalar, isSeq, LineCounter, parseDocument, type Node, type YAMLMap } from "yaml";
import {
  nestedTooDeeply,
  seasonIsResult,
  seasonNotYaml,
  seasonProblems,
  seasonTooLarge,
  type SeasonProblem,
} from "../../messages/season.ts";
import { crops, type CropName } from "../../vocabulary/crops.ts";
import { mostDaysLate } from "../../vocabulary/seed-card.ts";
import {
  defaultsIn,
  forCrop,
  defaultSettings,
  defaultUnits,
  type Settings,
  type UnitChoice,
} from "../../vocabulary/settings.ts";
import { decodeText } from "../tables/decode.ts";
import type { InputFile } from "../tables/input-file.ts";
import { nearestName } from "../nearest-name.ts";
import {
  cropKind,
  currencyKind,
  formKind,
  levelKind,
  premiumKind,
  priorEntries,
  proteinKind,
  seasonEntries,
  unitSystem,
  type SeasonEntry,
} from "./season-entries.ts";
import { plainFault } from "../plain-faults.ts";
import { readableEntries, seasonYaml } from "./season-in-part.ts";
import { EntryFault, type Kind, type SeasonContext } from "./season-kinds.ts";

/** An entry given elsewhere than in the season file, such as by an option of the command; it wins over the file. */
export interface TypedEntry {
  key: string;
  text: string;
  /** What the person knows it as, `--grain-price`. */
  from: string;
}

export interface Season {
  settings: Settings;
  units: UnitChoice;
}

/** The parts of a season file that can be read, and those that cannot. */
export interface SeasonInPart {
  season: Season;
  leftOut: SeasonProblem[];
}

/** What applies where nobody says it, taken from the files themselves. */
export interface UsualSeason {
  crop?: CropName;
  system?: UnitChoice["system"];
  currency?: string;
}

/** A season file is a page long; nothing of this size is one. */
const mostBytes = 200_000;

const firstKeys = ["units", "currency", "crop"] as const;
const listKeys = ["protein_schedule", "interval_levels", "forms", "priors"] as const;

/** Every key a season file may have. */
export const seasonKeys: readonly string[] = [
  ...firstKeys,
  ...seasonEntries.map(({ key }) => key),
  ...listKeys,
];

/** A value of the file with its line. */
interface Entry {
  node: Node | null;
  line: number;
}

/**
 * Settings and units from a season file and from entries typed elsewhere, over the defaults.
 *
 * YAML 1.2 core schema; no tags, no aliases. Every scalar is read from the text as it was typed, so `6,20` and `6.20 $/bu`
 * are prices, and dates stay as written. An empty entry leaves its default.
 *
 * @param file   null: no file
 * @param typed  entries that win over the file
 * @param base   what applies where neither says anything; without it the defaults
 * @param usual  what holds of crop, units and currency where none of these say it
 * @throws TrialError `season-not-yaml`, `season-too-large`; `file-binary` and others of `decodeText`
 * @throws TrialError `season-entry` with a line for each entry that cannot be understood: key, line, value, what to do
 */
export function readSeason(
  file: InputFile | null,
  typed: readonly TypedEntry[] = [],
  base: Season | null = null,
  usual: UsualSeason = {},
): Season {
  return new SeasonReader(file, typed, base, usual, null).read().season;
}

/**
 * The same of a file with faults: entries that cannot be understood are left out, and defaults stand for them.
 *
 * @param without  keys to be left out besides
 * @throws TrialError as `readSeason` does, for what says how the others are read (units, currency, crop), and for entries
 *   typed elsewhere
 */
export const readSeasonInPart = (
  file: InputFile | null,
  typed: readonly TypedEntry[],
  base: Season | null,
  usual: UsualSeason,
  without: ReadonlySet<string>,
): SeasonInPart => new SeasonReader(file, typed, base, usual, without).read();

class SeasonReader {
  readonly #file: InputFile | null;
  readonly #typed: readonly TypedEntry[];
  readonly #base: Season | null;
  readonly #usual: UsualSeason;
  /** Keys that are left out where faults of the file are told; null where they are thrown. */
  readonly #without: ReadonlySet<string> | null;
  readonly #lines = new LineCounter();
  readonly #problems: SeasonProblem[] = [];
  readonly #context: SeasonContext = {
    crop: crops[defaultSettings.crop],
    units: defaultUnits,
    currencies: new Set(),
  };
  #entries = new Map<string, Entry>();
  #settings: Settings = defaultSettings;
  /** The first entry that is written in another currency than those before it. */
  #inOther = "";

  constructor(
    file: InputFile | null,
    typed: readonly TypedEntry[],
    base: Season | null,
    usual: UsualSeason,
    without: ReadonlySet<string> | null,
  ) {
    this.#without = without;
    this.#file = file;
    this.#typed = typed;
    this.#base = base;
    this.#usual = usual;
  }

  read(): SeasonInPart {
    if (this.#file !== null) this.#entries = this.#parse(this.#file);
    for (const key of this.#without ?? []) this.#entries.delete(key);
    const context = this.#context;
    const usual = this.#base?.units ?? this.#usualUnits();
    const system = this.#one("units", unitSystem) ?? usual.system;
    const currency = this.#one("currency", currencyKind);
    const crop =
      this.#one("crop", cropKind) ?? this.#base?.settings.crop ?? this.#usual.crop ?? defaultSettings.crop;
    context.units = { system, currency: currency ?? usual.currency };
    context.crop = crops[crop];
    this.#settings =
      this.#base === null ? defaultsIn(system, crop) : forCrop(this.#base.settings, system, crop);
    for (const entry of inOrder(seasonEntries)) this.#apply(entry, this.#textOf(entry.key));
    this.#readList(
      "protein_schedule",
      (node) => this.#proteinStep(node),
      (steps) => {
        const proteinSchedule = [...steps].sort((a, b) => a.proteinPct - b.proteinPct);
        const twice = proteinSchedule.find(
          (step, index) => proteinSchedule[index + 1]?.proteinPct === step.proteinPct,
        );
        if (twice !== undefined)
          this.#fault("protein_schedule", `${twice.proteinPct}% is in it twice. Delete one.`);
        else this.#settings = { ...this.#settings, proteinSchedule };
      },
    );
    this.#readList(
      "interval_levels",
      (node) => this.#scalar("interval_levels", node, levelKind),
      (levels) => {
        const [inner, outer] = [...levels].sort((a, b) => a - b);
        if (levels.length !== 2 || inner === outer)
          this.#fault("interval_levels", "Write two levels, like [80%, 95%].");
        else this.#settings = { ...this.#settings, intervalLevels: [inner!, outer!] };
      },
    );
    this.#readList(
      "forms",
      (node) => this.#scalar("forms", node, formKind),
      (forms) => {
        if (forms.length === 0) this.#fault("forms", "Write at least one form.");
        else
          this.#settings = {
            ...this.#settings,
            forms: defaultSettings.forms.filter((form) => forms.includes(form)),
          };
      },
    );
    this.#readPriors();
    this.#holdDates();
    context.units = { system, currency: currency ?? this.#currencyWritten() };
    const decisive = this.#problems.filter((problem) => this.#without === null || this.#isDecisive(problem));
    if (decisive.length > 0) throw seasonProblems(this.#problems);
    return { season: { settings: this.#settings, units: context.units }, leftOut: this.#problems };
  }

  /** Two dates a season apart are of two years: taken as they are, seed would be added for hundreds of days. */
  #holdDates(): void {
    const { bestSeedingDate: best, plannedSeedingDate: planned } = this.#settings;
    if (best === null || planned === null) return;
    const days = daysBetween(best, planned);
    if (Math.abs(days) <= mostDaysLate) return;
    const found = this.#textOf("planned_seeding_date") ?? this.#textOf("best_seeding_date");
    this.#problem(
      found?.from ?? "planned_seeding_date",
      found?.line ?? null,
      found?.text ?? null,
      `This is ${Math.abs(days)} days ${days > 0 ? "after" : "before"} the best seeding date, ${best}. Give both dates the year of the coming season.`,
    );
    this.#settings = { ...this.#settings, plannedSeedingDate: null };
  }

  /** Whether all else depends on it: it says how the others are read, or is no entry of the file. */
  #isDecisive({ key }: SeasonProblem): boolean {
    const isTyped = this.#typed.some(({ from }) => from === key);
    return isTyped || nearestName(key, firstKeys) !== null;
  }

  /** The map at the top, with the misspelt keys reported. */
  #parse(file: InputFile): Map<string, Entry> {
    if (file.bytes.length > mostBytes) throw seasonTooLarge(file.name);
    const { text } = decodeText(file.bytes, file.name);
    if (/^\s*\{\s*"schema":\s*"stripcurve-result-/.test(text)) throw seasonIsResult(file.name);
    const top = this.#document(file.name, text);
    if (top === null) return new Map();
    if (!isMap(top))
      throw seasonNotYaml(
        file.name,
        1,
        `This is not a file of entries. ${/^[^:\n]*[,;\t][^:\n]*\n/.test(text) ? "It reads like a table, which goes with --lots or as strips. " : ""}It has to be entries like \`grain_price: 6.20 $/bu\`.`,
      );
    return this.#pairs(top, seasonKeys, "");
  }

  #document(name: string, text: string): Node | null {
    try {
      const document = parseDocument(this.#without === null ? text : this.#readable(text), {
        ...seasonYaml,
        lineCounter: this.#lines,
      });
      const [problem] = [...document.errors, ...document.warnings];
      if (problem === undefined) return document.contents;
      if (problem.message.includes("call stack")) throw nestedTooDeeply(name);
      const { line, advice, written } = plainFault(text, problem);
      throw seasonNotYaml(name, line, advice, written);
    } catch (error) {
      if (error instanceof RangeError) throw nestedTooDeeply(name);
      throw error;
    }
  }

  #readable(text: string): string {
    const readable = readableEntries(text);
    for (const { key, line, advice } of readable.broken) this.#problem(key, line, null, advice);
    return readable.text;
  }

  #pairs(map: YAMLMap, known: readonly string[], inside: string): Map<string, Entry> {
    const found = new Map<string, Entry>();
    for (const { key, value } of map.items) {
      const keyNode = key as Node;
      const line = this.#lineOf(keyNode);
      const name = isScalar(keyNode) ? String(keyNode.source ?? keyNode.value) : "";
      if (known.includes(name)) {
        found.set(name, { node: value as Node | null, line });
        continue;
      }
      const near = nearestName(name, known);
      this.#problem(
        `${inside}${name}`,
        line,
        null,
        near === null
          ? `There is no such entry. Known are ${known.join(", ")}.`
          : `There is no such entry. Did you mean ${near}?`,
      );
    }
    return found;
  }

  #lineOf(node: Node | null): number {
    const start = node?.range?.[0];
    return start === undefined ? 1 : this.#lines.linePos(start).line;
  }

  #problem(key: string, line: number | null, value: string | null, advice: string): void {
    this.#problems.push({ file: this.#file?.name ?? null, key, line, value, advice });
  }

  /** A fault of an entry of the file as a whole. */
  #fault(key: string, advice: string): void {
    this.#problem(key, this.#entries.get(key)?.line ?? null, null, advice);
  }

  /** What was typed for a key, or stands in the file; null where it is left out, empty, or no single value. */
  #textOf(key: string): { text: string; from: string | null; line: number | null } | null {
    const typed = this.#typed.findLast((entry) => entry.key === key);
    if (typed !== undefined) return { text: typed.text, from: typed.from, line: null };
    const entry = this.#entries.get(key);
    if (entry === undefined) return null;
    const text = this.#scalarText(key, entry);
    return text === null ? null : { text, from: null, line: entry.line };
  }

  /** Text of a single value as typed, null where it is empty; reports lists, maps and aliases. */
  #scalarText(key: string, { node, line }: Entry): string | null {
    if (node === null) return null;
    if (isScalar(node)) {
      if (node.value === null) return null;
      const text = (typeof node.value === "string" ? node.value : (node.source ?? String(node.value))).trim();
      return text === "" ? null : text;
    }
    this.#problem(
      key,
      line,
      null,
      isAlias(node)
        ? "References (*) are not understood here. Write the value itself."
        : "It has to be a single value.",
    );
    return null;
  }

  #one<Value>(key: string, kind: Kind<Value>): Value | null {
    const found = this.#textOf(key);
    return found === null ? null : this.#understand(found.from ?? key, found.line, found.text, kind);
  }

  #understand<Value>(key: string, line: number | null, text: string, kind: Kind<Value>): Value | null {
    const { currencies } = this.#context;
    const known = currencies.size;
    try {
      return kind.read(text, this.#context);
    } catch (error) {
      if (!(error instanceof EntryFault)) throw error;
      this.#problem(key, line, text, error.message);
      return null;
    } finally {
      if (known === 1 && currencies.size > 1) this.#inOther = line === null ? key : `${key} (line ${line})`;
    }
  }

  #apply(
    entry: SeasonEntry,
    found: { text: string; from: string | null; line: number | null } | null,
    inside = "",
  ): void {
    if (found === null) return;
    const settings = this.#understand(found.from ?? `${inside}${entry.key}`, found.line, found.text, {
      unit: entry.unit,
      tell: () => "",
      schema: {},
      read: (text, context) => entry.apply(text, this.#settings, context),
    });
    if (settings === null) return;
    const assumed = settings.assumed.filter((key) => inside !== "" || key !== entry.key);
    this.#settings = { ...settings, assumed };
  }

  #scalar<Value>(key: string, node: Node | null, kind: Kind<Value>): Value | null {
    const line = this.#lineOf(node);
    const text = this.#scalarText(key, { node, line });
    if (text === null) return null;
    return this.#understand(key, line, text, kind);
  }

  /** A list of values: `take` gets them all, unless one was not understood. */
  #readList<Value>(
    key: string,
    read: (node: Node | null) => Value | null,
    take: (values: Value[]) => void,
  ): void {
    const entry = this.#entries.get(key);
    if (entry === undefined || entry.node === null || (isScalar(entry.node) && entry.node.value === null))
      return;
    if (!isSeq(entry.node)) {
      this.#fault(key, "It has to be a list.");
      return;
    }
    const before = this.#problems.length;
    const values = entry.node.items.map((node) => {
      const value = read(node as Node | null);
      if (value === null && this.#problems.length === before) this.#fault(key, "One of its values is empty.");
      return value;
    });
    if (this.#problems.length === before) take(values as Value[]);
  }

  #proteinStep(node: Node | null): { proteinPct: number; premiumPerKg: number } | null {
    const key = "protein_schedule";
    if (node === null || !isMap(node)) {
      this.#problem(
        key,
        this.#lineOf(node),
        null,
        "Write each step like { protein: 14%, premium: 0.10 $/bu }.",
      );
      return null;
    }
    const pairs = this.#pairs(node, ["protein", "premium"], `${key}, `);
    const value = (name: string, kind: Kind<number>): number | null => {
      const entry = pairs.get(name);
      const found = entry === undefined ? null : this.#scalarText(`${key}, ${name}`, entry);
      if (found === null) {
        this.#problem(`${key}, ${name}`, this.#lineOf(node), null, "It is missing in this step.");
        return null;
      }
      return this.#understand(`${key}, ${name}`, entry!.line, found, kind);
    };
    const proteinPct = value("protein", proteinKind);
    const premiumPerKg = value("premium", premiumKind);
    return proteinPct === null || premiumPerKg === null ? null : { proteinPct, premiumPerKg };
  }

  #readPriors(): void {
    const entry = this.#entries.get("priors");
    if (entry === undefined || entry.node === null || (isScalar(entry.node) && entry.node.value === null))
      return;
    if (!isMap(entry.node)) {
      this.#fault("priors", "Its entries go below it, indented.");
      return;
    }
    const pairs = this.#pairs(
      entry.node,
      priorEntries.map(({ key }) => key),
      "priors, ",
    );
    for (const priorEntry of priorEntries) {
      const found = pairs.get(priorEntry.key);
      if (found === undefined) continue;
      const text = this.#scalarText(`priors, ${priorEntry.key}`, found);
      if (text !== null) this.#apply(priorEntry, { text, from: null, line: found.line }, "priors, ");
    }
  }

  /** The currency that prices were written in, where no entry says it. */
  #currencyWritten(): string {
    const [currency, other] = this.#context.currencies;
    if (other !== undefined) {
      this.#problem(
        "currency",
        null,
        null,
        `Prices are written in ${currency!}, but ${this.#inOther} in ${other}. Write them all in one.`,
      );
    }
    return currency ?? (this.#base?.units ?? this.#usualUnits()).currency;
  }

  #usualUnits(): UnitChoice {
    const { system = defaultUnits.system, currency = defaultUnits.currency } = this.#usual;
    return { system, currency };
  }
}

/** The lodging limit is read after its scale, whatever their order. */
const inOrder = (entries: readonly SeasonEntry[]): SeasonEntry[] =>
  [...entries].sort((a, b) => Number(b.key === "lodging_scale") - Number(a.key === "lodging_scale"));
