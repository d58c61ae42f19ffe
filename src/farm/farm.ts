import type { Answers } from "../read/answers/answers.ts";
import type { InputFile } from "../read/tables/input-file.ts";
import type { Settings, UnitChoice } from "../vocabulary/settings.ts";
import type { Trial } from "../vocabulary/trial.ts";
import type { TakenFile } from "./farm-files.ts";

/** A farm as read. */
export interface Farm {
  /** Strips with what was found in reading strips and lots; not yet checked, as `analyzeFarm` wants it. */
  trial: Trial;
  settings: Settings;
  units: UnitChoice;
  /** What was answered about the files. */
  answers: Answers;
  /** The kind of each file, in the order given. */
  files: TakenFile[];
  /** Files of strips as the pages name them, a sheet of a workbook after its file. */
  stripFiles: string[];
  /** An earlier result to compare with, for `changesSince`; null where none was given. */
  earlier: InputFile | null;
  /** Further remarks, such as an option that is not used, as sentences. */
  remarks: string[];
}
