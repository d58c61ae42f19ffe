/** What is known of the input that the desk asked about last, so that its other errands need not repeat it. */
import { analyzeFarm, analyzeFarmBeside, type AnalysisStep, type StepsApart } from "../farm/analyze-farm.ts";
import { changesSince } from "../farm/changes-since.ts";
import type { Farm } from "../farm/farm.ts";
import type { PageMaker } from "../farm/page-maker.ts";
import { readFarm } from "../farm/read-farm.ts";
import { reportInParts, type ReportInParts } from "../farm/report-farm.ts";
import { analysisSteps } from "../tell/wording/steps.ts";
import type { Result } from "../vocabulary/result.ts";
import type { DeskInput, ReportAsk } from "./errands.ts";

/** Says which step of the work begins. */
export type Begin = (step: string) => void;

interface Known {
  number: number;
  farm: Farm;
  result: Result | null;
}

/** The last input, read, analysed and reported as far as it was asked for. */
export class LastInput {
  readonly #maker: (locale: string) => PageMaker;
  readonly #stepsNow: () => StepsApart | null;
  #known: Known | null = null;
  #told: { key: string; report: ReportInParts } | null = null;

  /**
   * @param maker     of pages for a person's locale
   * @param stepsNow  steps of an analysis in a second thread, once there is one
   */
  constructor(maker: (locale: string) => PageMaker, stepsNow: () => StepsApart | null) {
    this.#maker = maker;
    this.#stepsNow = stepsNow;
  }

  /** The farm of the input that was read last, even if its analysis failed; null for any other input. */
  farmRead({ number }: DeskInput): Farm | null {
    return this.#known?.number === number ? this.#known.farm : null;
  }

  /** The farm of an input; read again only where it is not the last one. */
  async farmOf(input: DeskInput): Promise<Farm> {
    return (await this.#read(input)).farm;
  }

  /** The farm of an input and its result; analysed only once. */
  async resultOf(input: DeskInput, begin: Begin): Promise<{ farm: Farm; result: Result }> {
    const found = await this.#read(input);
    const steps = this.#stepsNow();
    const tell = (step: AnalysisStep): void => begin(analysisSteps[step]);
    found.result ??=
      steps === null ? analyzeFarm(found.farm, tell) : await analyzeFarmBeside(steps, found.farm, tell);
    return { farm: found.farm, result: found.result };
  }

  /** The report on an input for a reader; begun anew if another was told last. */
  async reportOf({ input, reader, locale }: ReportAsk, begin: Begin): Promise<ReportInParts> {
    const { farm, result } = await this.resultOf(input, begin);
    begin("Drawing the report");
    const key = `${input.number} ${reader} ${locale}`;
    if (this.#told?.key === key) return this.#told.report;
    const pages = this.#maker(locale);
    const earlier =
      farm.earlier === null || reader === "educator"
        ? {}
        : { earlier: await changesSince(farm.earlier, farm, pages) };
    const report = await reportInParts(result, pages, { reader, files: farm.stripFiles, ...earlier });
    this.#told = { key, report };
    return report;
  }

  async #read({ number, files, typed, answers }: DeskInput): Promise<Known> {
    if (this.#known?.number === number) return this.#known;
    const farm = await readFarm(files, { typed, answers });
    return (this.#known = { number, farm, result: null });
  }
}
