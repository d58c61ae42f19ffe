/** The same strips told as a lesson: one step after another, each with a picture, a question and a hidden answer. */
import type { Result } from "../../vocabulary/result.ts";
import type { Chart } from "../charts/chart.ts";
import { learning } from "../charts/learning.ts";
import { lessonStrips } from "../charts/lesson-strips.ts";
import { netReturn } from "../charts/net-return.ts";
import { twoRatesMarked } from "../charts/lesson-response.ts";
import { lessonSeasons } from "../charts/seasons.ts";
import type { ChartDrawer } from "../draw-charts.ts";
import type { PageParts } from "./page-parts.ts";
import {
  curveQuestion,
  doubledQuestion,
  doubledRows,
  flatQuestion,
  lessonSubject,
  moneyQuestion,
  moneyStep,
  nextQuestion,
  noiseQuestion,
  seasonsQuestion,
  seasonsStep,
  type DoubledPrices,
  type LessonSubject,
  type Question,
} from "../wording/lesson.ts";
import type { Measures } from "../../numbers/measures.ts";
import { counted } from "../../numbers/written-numbers.ts";
import { placeNames } from "../wording/places.ts";
import { cautions, glossary } from "./background.ts";
import { figure, numberTable, scrolling } from "./figure.ts";
import { markup, raw, type Markup } from "./markup.ts";
import { nextTable } from "./next-table.ts";
import { resultHeading, shell } from "./shell.ts";

interface Step {
  heading: string;
  text: string;
  picture?: Markup | null;
  question?: Question;
  /** Shown with the answer. */
  afterwards?: Markup;
}

export async function lessonPage(
  result: Result,
  doubled: DoubledPrices,
  parts: PageParts,
  measures: Measures,
  drawer: ChartDrawer,
  variety?: string,
): Promise<string> {
  const subject = lessonSubject(result, variety);
  const steps = subject === null ? [] : await lessonSteps(result, doubled, subject, measures, drawer);
  const main = markup`${
    subject === null
      ? markup`<p>${variety === undefined ? "None of these curves has its top" : `The curve of ${variety} does not have its top`} inside the tested rates, so there is nothing to teach from yet.</p>`
      : steps.map((step, index) => stepMarkup(step, index, steps.length))
  }
  ${glossary(result, measures, { answers: false })} ${cautions(result)}`;
  return shell(
    {
      above: resultHeading(result, measures).above,
      title: "How much seed? Ask the field",
      lede:
        subject === null
          ? "A lesson on seeding rates."
          : `A lesson on seeding rates with ${counted(result.rows.used, "strip", measures.style)}. The example is ${subject.variety}.`,
      main,
      scripts: { markup: markup`<script>${raw(parts.script)}</script>`, allowed: [parts.script] },
      engineVersion: result.engineVersion,
    },
    parts,
    measures,
  );
}

const stepMarkup = (
  { heading, text, picture, question, afterwards }: Step,
  index: number,
  count: number,
): Markup =>
  markup`<section class="step" id="step-${index + 1}" aria-label="${`Step ${index + 1} of ${count}`}" tabindex="-1">
    <p class="count">${index + 1} of ${count}</p>
    <h2>${heading}</h2>
    <div class="${picture ? "side-by-side" : ""}">
      <div>
        <p>${text}</p>
        ${
          question === undefined
            ? null
            : markup`<p class="ask">${question.ask}</p>
              <div class="lines" aria-hidden="true"></div>
              <details class="reveal"><summary>Answer</summary><p>${question.answer}</p>${afterwards}</details>`
        }
      </div>
      ${picture}
    </div>
  </section>`;

type Draw = (chart: Chart) => Promise<Markup | null>;

async function lessonSteps(
  result: Result,
  doubled: DoubledPrices,
  subject: LessonSubject,
  measures: Measures,
  drawer: ChartDrawer,
): Promise<Step[]> {
  const { variety } = subject;
  const draw: Draw = async (chart) => {
    if (!chart.subjects(result).includes(variety)) return null;
    const drawing = chart.draw(result, variety, measures);
    const svg = await drawer.drawSvg(chart, drawing.data);
    return figure(chart, variety, drawing, svg, chart.name);
  };
  return [
    ...(await fieldSteps(result, subject, measures, draw)),
    ...(await moneySteps(result, doubled, subject, measures, draw)),
  ];
}

/** What the strips show: in one field, by a curve, over the seasons. */
async function fieldSteps(
  result: Result,
  subject: LessonSubject,
  measures: Measures,
  draw: Draw,
): Promise<Step[]> {
  const { variety, fit } = subject;
  const place = placeNames(result).get(fit.environment) ?? fit.environment;
  return [
    {
      heading: "A question for the field",
      text: `${variety}, ${place}: ${counted(fit.strips, "strip", measures.style)}, sown at ${counted(fit.ratesSeedsPerM2.length, "rate")} in ${counted(fit.blocks, "block")}. Each mark is one strip, as harvested.`,
      picture: await draw(lessonStrips(fit, place, false)),
      question: noiseQuestion(subject, measures),
    },
    {
      heading: "A curve through the strips",
      text: "Remove the differences between blocks, then fit the curve that comes closest to all strips. Now every strip helps to judge every rate.",
      picture: await draw(lessonStrips(fit, place, true)),
      question: curveQuestion(subject, measures),
    },
    {
      ...seasonsStep(result, subject),
      picture: (await draw(lessonSeasons)) ?? (await draw(learning)),
      question: seasonsQuestion(result, subject, measures),
    },
  ];
}

/** What the strips are worth: seed against grain, other prices, a flat top, and the advice. */
async function moneySteps(
  result: Result,
  doubled: DoubledPrices,
  subject: LessonSubject,
  measures: Measures,
  draw: Draw,
): Promise<Step[]> {
  return [
    {
      heading: "The highest yield is not the highest profit",
      text: moneyStep(subject),
      picture: await draw(twoRatesMarked),
      question: moneyQuestion(result, subject, measures),
    },
    {
      heading: "If prices double",
      text: "Guess first, then look.",
      question: doubledQuestion,
      afterwards: numberTable({
        caption: `Most profitable rate, ${subject.variety}`,
        head: ["Prices", "Most profitable rate"],
        rows: doubledRows(result, doubled, subject, measures),
      }),
    },
    {
      heading: "The top is flat",
      text: "What each rate earns, after paying for the seed. The shaded rates earn nearly as much as the best one.",
      picture: await draw(netReturn),
      question: flatQuestion(result, subject, measures),
    },
    {
      heading: "And next season?",
      text: "You have seen what the strips show, what prices do, and how flat the top is.",
      question: nextQuestion,
      afterwards: scrolling("Next season", nextTable(result, measures, false)),
    },
  ];
}
