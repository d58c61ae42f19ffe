/**
 * The words of the trial: what a field offers, before anything is estimated.
 *
 * Every number is in the engine's units, and its name ends in that unit.
 */

/** Where a strip or a message comes from: a file as the person named it, and the row a spreadsheet shows (the header is row 1). */
export interface Place {
  file: string;
  row: number;
}

/** Columns of names, which one and the same hand may spell in two ways. */
export const namedColumns = ["variety", "field", "farm", "ground"] as const;
export type NamedColumn = (typeof namedColumns)[number];

/** How lodging was scored. Scores of different scales are pooled only where `lodging-scales.ts` allows it. */
export type LodgingScale =
  | "percent"
  | "zero-to-nine"
  | "zero-to-nine-percent"
  | "zero-to-five-percent"
  | "one-to-five"
  | "one-to-nine"
  | "one-to-nine-resistance"
  | "area-angle"
  | "belgian";

/**
 * A lodging score as it was given, and the same score as a share, 0 upright: of the area where the scale counts area
 * (percent, 0–9 and 0–5 percent codes), else of the way to the worst the scale has.
 */
export interface LodgingScore {
  scale: LodgingScale;
  score: number;
  share: number;
}

/** One harvested strip. What was not recorded is null. */
export interface Strip {
  place: Place;
  variety: string;
  season: number;
  farm: string;
  field: string;
  /** The person's own word for the ground; absent where none was given. */
  ground?: string;
  /** Replicate inside the environment; "" where none was given. */
  block: string;
  /** Order of the strip across the field, 1, 2, 3 …. */
  position: number | null;
  /** Viable (pure live) seeds sown. */
  rateSeedsPerM2: number;
  /** Grain at the crop's market moisture. */
  yieldKgPerHa: number;
  moisturePct: number | null;
  standPlantsPerM2: number | null;
  headsPerM2: number | null;
  lodging: LodgingScore | null;
  groundCoverPct: number | null;
  proteinPct: number | null;
  testWeightKgPerHl: number | null;
  /** ISO date. */
  seeded: string | null;
  seedsPerKg: number | null;
  germinationPct: number | null;
  /** Water the crop could use in that season, rain plus irrigation. */
  waterMm: number | null;
  note: string;
}

/** What a strip has beside its rate and yield when nothing else was recorded. */
export const nothingElse = {
  moisturePct: null,
  standPlantsPerM2: null,
  headsPerM2: null,
  lodging: null,
  groundCoverPct: null,
  proteinPct: null,
  testWeightKgPerHl: null,
  seeded: null,
  seedsPerKg: null,
  germinationPct: null,
  waterMm: null,
  note: "",
} satisfies Partial<Strip>;

/** One field in one season. */
export interface Environment {
  /** `season field` or `season farm field`: unique, and readable as it is. */
  id: string;
  farm: string;
  field: string;
  season: number;
  strips: number;
  blocks: number;
}

/**
 * How much a finding matters.
 * `stops`: what it names is left out or has no answer. `doubt`: used, but look at it. `note`: good to know.
 */
export type Severity = "stops" | "doubt" | "note";

/** Something worth saying about the trial. `file`, `row` and `column` are null where it concerns more than one place. */
export interface Finding {
  code: string;
  severity: Severity;
  file: string | null;
  row: number | null;
  column: string | null;
  /** The value as it stood in the file, null where there is none to show. */
  value: string | null;
  /** What is the matter and what to do, in whole sentences; not where: tellers put file, row and column before it. */
  message: string;
}

/** How a column of a file was understood. */
export interface ReadColumn {
  file: string;
  header: string;
  /** Column of `read/columns.ts`, null when it was not understood and is ignored. */
  column: string | null;
  unit: string | null;
}

/** All strips of all files. Rows read = strips + rows left out; each row left out has a finding of severity `stops`. */
export interface Trial {
  strips: Strip[];
  /** Sorted by season, farm, field. */
  environments: Environment[];
  columns: ReadColumn[];
  rowsRead: number;
  rowsLeftOut: number;
  /** Names that a person said are of their own, however near to others. */
  namesApart?: string[];
  findings: Finding[];
}

/** A caller's mistake, with a code that tests and programs can hold on to. */
export class TrialError extends Error {
  readonly code: string;
  constructor(code: string, message: string) {
    super(message);
    this.name = "TrialError";
    this.code = code;
  }
}
