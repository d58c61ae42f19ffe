/** What the desk asks of the engine and what comes back: plain data, so that it can cross to a worker. */
import type { FarmFile, FileKind } from "../farm/farm-files.ts";
import type { DrillWishes } from "../farm/drill-card.ts";
import type { FarmOutput, Reader } from "../farm/report-farm.ts";
import type { PlanWishes } from "../farm/plan-trial.ts";
import type { Answers, Question } from "../read/answers/answers.ts";
import type { NumberedPart } from "./report-parts.ts";
import type { TypedEntry } from "../read/season-file/season.ts";
import type { HarvestStep, ScaleUse } from "../vocabulary/harvest.ts";
import type { Finding, ReadColumn } from "../vocabulary/trial.ts";

/** Everything an answer depends on. The same number is the same content. */
export interface DeskInput {
  number: number;
  files: FarmFile[];
  typed: TypedEntry[];
  /** What was answered on the desk; it wins over a file of answers. */
  answers: Answers;
}

/** The files of a harvest: points and what goes with them. */
export interface HarvestFiles {
  harvested: FarmFile[];
  seeded: FarmFile[];
  sheet: FarmFile | null;
  weighed: FarmFile | null;
}

/** What the files of a harvest do not say; texts as typed, "" where left empty. */
export interface HarvestWishes {
  season: number | null;
  delayS: number | null;
  combineWidth: string;
  drillWidth: string;
  farm: string;
  field: string;
  variety: string;
  /** Header → what it means. */
  columns: Record<string, string>;
  off: HarvestStep[];
  calibrate: ScaleUse;
}

/** What the wishes are called on the desk and in messages. */
export const harvestWishLabels = {
  column: "What a header means",
  crop: "Crop",
  variety: "Variety",
  year: "Season",
  sheet: "Field sheet",
  delay: "Grain delay",
  "combine-width": "Full width of the combine’s cut",
  "drill-width": "Width of a drill pass",
  farm: "Farm",
  field: "Field",
} as const;

export interface ReportAsk {
  input: DeskInput;
  reader: Reader;
  locale: string;
}

export interface Errands {
  /** Opens what was dropped: archives unpacked, each file recognized, its tables as rows of cells. */
  look: { ask: { files: FarmFile[] }; gives: { files: LookedFile[] } };
  answer: { ask: { input: DeskInput }; gives: Answered };
  /** The report as it can first be read, with a mark for each part that is yet to be drawn, those in sight first. */
  report: { ask: ReportAsk; gives: { html: string; inOrder: number[] } };
  /** Parts of that report, by the numbers of their marks. */
  parts: { ask: ReportAsk & { wanted: number[] }; gives: { parts: NumberedPart[] } };
  /** The report as it is saved. */
  wholeReport: { ask: ReportAsk; gives: { html: string } };
  json: { ask: { input: DeskInput }; gives: { text: string } };
  plan: { ask: { input: DeskInput; wishes: PlanWishes; locale: string }; gives: { outputs: FarmOutput[] } };
  /** Strips made from points: the strips file and the page about it. */
  harvest: {
    ask: { input: DeskInput; files: HarvestFiles; wishes: HarvestWishes; locale: string };
    gives: { name: string; csv: string; html: string };
  };
  drill: { ask: { input: DeskInput; wishes: DrillWishes }; gives: { text: string } };
  /** The file of answers: all that were given, and the questions still open. */
  answers: { ask: { input: DeskInput }; gives: { text: string } };
  pack: {
    ask: { files: FarmFile[]; typed: TypedEntry[]; answers: Answers; leftOut: string | null };
    gives: { bytes: Uint8Array };
  };
}
export type ErrandName = keyof Errands;

/** A table as it is in a file. */
export interface LookedSheet {
  /** As findings name it. */
  file: string;
  tab: string | null;
  holds: "strips" | "lots" | null;
  /** What the tab's name says about columns that its table does not have. */
  toldByTab: Readonly<Record<string, string>>;
  /** Mark between cells when it is written again. */
  delimiter: "," | ";";
  rows: string[][];
}

export interface LookedFile {
  name: string;
  bytes: Uint8Array;
  as: FileKind | null;
  /** Why it cannot be used. */
  problem: string | null;
  sheets: LookedSheet[];
}

/** What the desk itself shows of a result; the rest is in the report. */
export interface Answered {
  /** Why there is no result, in words; null where there is one. */
  problem: string | null;
  /** What only the person can say. */
  questions: Question[];
  findings: Finding[];
  columns: ReadColumn[];
  rows: { read: number; used: number; leftOut: number };
  varieties: string[];
  /** Whether any variety gets a rate. */
  answered: boolean;
  units: "us" | "metric";
  remarks: string[];
}

/** To the worker. */
export interface Order<Name extends ErrandName = ErrandName> {
  id: number;
  name: Name;
  ask: Errands[Name]["ask"];
}

/** From the worker: a step begins, an errand is done, or it failed with a message for the person. */
export type Word =
  | { id: number; step: string }
  | { id: number; gives: unknown }
  | { id: number; failed: string; code: string };

/** Built files that the worker needs before its first errand. */
export interface Provisions {
  built: Record<string, string>;
  /** The reports' script, in UTF-8. */
  pageScript: Uint8Array;
  /** Files of a farm that nobody sees: the engine runs it once, so that its first errand is quicker. */
  rehearsal: Record<string, string>;
  /** To the other worker, if there are two; `helps` is true in the second one. */
  port?: MessagePort;
  helps?: boolean;
}
