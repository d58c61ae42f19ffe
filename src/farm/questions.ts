/** What only the person can say about a farm's files, as questions with the answers that each choice gives. */
import { alikeNames } from "../check/names.ts";
import { checkColumnUnits } from "../check/column-units.ts";
import {
  answerFor,
  answerName,
  answersWith,
  notUsedAnswer,
  type Answers,
  type Question,
} from "../read/answers/answers.ts";
import { cropInName } from "../read/crop-names.ts";
import { stripHeaders } from "../read/strips/strips-header.ts";
import { probableName } from "../vocabulary/spelling.ts";
import { namedColumns, type Finding, type NamedColumn, type Trial } from "../vocabulary/trial.ts";
import type { Farm } from "./farm.ts";

/** Degrees of lodging that a word may stand for. */
const lodgingDegrees: readonly (readonly [string, number])[] = [
  ["0, upright", 0],
  ["1, slight", 1],
  ["4, leaning", 4],
  ["7, bad", 7],
  ["9, flat", 9],
];

/** Questions that a farm's files leave open, each once; answered ones are not asked again. */
export function questionsOf({ trial, settings, answers }: Farm): Question[] {
  const questions = [
    ...headerQuestions(trial),
    ...namedColumns.flatMap((column) => {
      const groups = alikeNames(trial.strips, settings.lots, column);
      return groups.flatMap(([name, ...others]) =>
        others.flatMap((other) =>
          isSettled(answers, column, other) || trial.namesApart?.includes(other) === true
            ? []
            : [sameName(column, other, name!)],
        ),
      );
    }),
    ...repeatQuestions(trial),
    ...[...trial.findings, ...checkColumnUnits(trial, settings.crop)].flatMap((finding) =>
      findingQuestion(
        finding,
        settings.lots.map((lot) => lot.variety),
      ),
    ),
  ];
  const open = questions.filter(({ id }) => !answers.saidNo.includes(id));
  return [...new Map(open.map((question) => [question.id, question])).values()];
}

const isSettled = (answers: Answers, column: NamedColumn, name: string): boolean =>
  answerFor(answers.names[column], name) !== undefined;

const sameName = (column: NamedColumn, other: string, name: string): Question => ({
  id: `${column} ${other}`,
  text: `Is “${other}” the same ${column} as “${name}”?`,
  choices: [
    { text: `yes, ${name}`, answers: answerName(column, other, name) },
    { text: "no, it is one of its own", answers: answerName(column, other, other) },
  ],
});

const saidNo = (id: string): Answers => answersWith({ saidNo: [id] });

/** Headers that look like a known one. */
function headerQuestions({ columns, findings }: Trial): Question[] {
  const doubted = findings.filter(({ code, severity }) => code === "column-ignored" && severity === "doubt");
  return doubted.flatMap(({ file, column: header }) => {
    if (header === null) return [];
    const taken = new Set(columns.filter((one) => one.file === file).map(({ column }) => column ?? ""));
    const near = stripHeaders.nearest(header, taken);
    if (near === null) return [];
    return [
      {
        id: `column ${header}`,
        text: `Is column “${header}” ${near}?`,
        choices: [
          { text: `yes, ${near}`, answers: answersWith({ columns: { [header]: near } }) },
          { text: "no, it is not used", answers: answersWith({ columns: { [header]: notUsedAnswer } }) },
        ],
      },
    ];
  });
}

/** Columns that a spreadsheet merges or leaves empty below the first of a group, from the widest group to the narrowest. */
const grouped: readonly string[] = ["farm", "season", "field", "variety", "block"];
/** Fewer rows than this without a name or a year are forgotten cells; the findings say what to do. */
const fewestRepeats = 3;

/** Several rows without variety or season may repeat the cell above. */
function repeatQuestions({ columns, findings }: Trial): Question[] {
  const bare = findings.filter(
    ({ code, column }) => code === "row-value-missing" && (column === "variety" || column === "season"),
  );
  if (bare.length < fewestRepeats) return [];
  const had = new Set(columns.map(({ column }) => column));
  const fillDown = grouped.filter((column) => had.has(column));
  const [{ column }] = bare as [Finding];
  return [
    {
      id: "fill down",
      text: `${bare.length} rows have no ${column ?? "variety"}. Do empty cells repeat the one above?`,
      choices: [
        { text: `yes, in ${fillDown.join(", ")}`, answers: answersWith({ fillDown }) },
        { text: "no, leave those rows out", answers: saidNo("fill down") },
      ],
    },
  ];
}

/** What a finding leaves to ask, by its code; null where it leaves nothing. */
type AskAbout = (finding: Finding, lots: readonly string[]) => Question | null;

/** The same of a finding with the name, cell or header that it is about. */
const ofValue =
  (ask: (value: string, finding: Finding, lots: readonly string[]) => Question | null): AskAbout =>
  (finding, lots) =>
    finding.value === null ? null : ask(finding.value, finding, lots);

const askAbout = new Map<string, AskAbout>([
  ["row-seed-weight-unknown", ofValue((variety, _, lots) => varietyOfLot(variety, lots))],
  ["crop-named-otherwise", ofValue((name, { file }) => cropQuestion(file, name))],
  ["test-weight-as-kernels", ofValue((named) => testWeightQuestion(named))],
  ["yields-in-another-unit", ofValue((named, { message }) => unitQuestion("yield", named, message))],
  ["rates-in-another-unit", ofValue((named, { message }) => unitQuestion("rate", named, message))],
  ["blocks-missing", () => blocksRepeatQuestion],
  ["row-season-unclear", ofValue((season) => harvestYearQuestion(season))],
  ["row-rate-in-thousands", ({ value }) => thousandsQuestion(value)],
  [
    "value-not-a-number",
    ofValue((word, { column }) => (column === "lodging" ? lodgingWordQuestion(word) : null)),
  ],
]);

function findingQuestion(finding: Finding, lots: readonly string[]): Question[] {
  const question = askAbout.get(finding.code)?.(finding, lots) ?? null;
  return question === null ? [] : [question];
}

/** Whether a variety without a lot is one of the lots, misspelt. */
function varietyOfLot(variety: string, lots: readonly string[]): Question | null {
  const near = probableName(variety, lots);
  return near === null ? null : sameName("variety", variety, near);
}

/** Whether a tab or file holds strips of the crop in its name. */
function cropQuestion(file: string | null, name: string): Question {
  const crop = cropInName(name)!;
  const id = `crop ${name}`;
  const place = { [name]: { holds: null, nameIs: null, values: { crop } } };
  const isTab = file?.endsWith(`[${name}]`) === true;
  return {
    id,
    text: `Are the strips of “${name}” ${crop}?`,
    choices: [
      { text: `yes, ${crop}`, answers: answersWith(isTab ? { tabs: place } : { files: place }) },
      { text: "no", answers: saidNo(id) },
    ],
  };
}

/** `Weight (lb/bu)` → `Weight` and `lb/bu`. */
function headerAndUnit(named: string): { header: string; unit: string } {
  const at = named.lastIndexOf(" (");
  return { header: named.slice(0, at), unit: named.slice(at + 2, -1) };
}

/** Whether a column that reads as the weight of kernels is the test weight of the grain. */
function testWeightQuestion(named: string): Question {
  const { header, unit } = headerAndUnit(named);
  const id = `kernels ${header}`;
  return {
    id,
    text: `Is column “${header}” the test weight in ${unit}? As weight of a thousand kernels it does not go with the lots.`,
    choices: [
      {
        text: `yes, test weight in ${unit}`,
        answers: answersWith({ columns: { [header]: `test_weight (${unit})` } }),
      },
      { text: "no, a thousand kernels weigh that much", answers: saidNo(id) },
    ],
  };
}

/** Whether yields or rates are in the unit that would make them usual ones. */
function unitQuestion(what: "yield" | "rate", named: string, message: string): Question {
  const { header, unit } = headerAndUnit(named);
  const id = `${what}s ${header}`;
  return {
    id,
    text: `${message.replace(/:.*/s, "")}. Are they in ${unit}?`,
    choices: [
      { text: `yes, ${unit}`, answers: answersWith({ columns: { [header]: `${what} (${unit})` } }) },
      { text: "no, the header is right", answers: saidNo(id) },
    ],
  };
}

const blocksRepeatQuestion: Question = {
  id: "fill down block",
  text: "Some strips have no block. Do empty cells repeat the one above?",
  choices: [
    { text: "yes, in block", answers: answersWith({ fillDown: ["block"] }) },
    { text: "no, they have none", answers: saidNo("fill down block") },
  ],
};

/** Which year a season of two digits is, such as `24/25`; null where it has none. */
function harvestYearQuestion(season: string): Question | null {
  const short = /(?<!\d)(\d\d)(?!\d)/.exec(season)?.[1];
  if (short === undefined) return null;
  const near = 2000 + Number(short);
  return {
    id: `season ${season}`,
    text: `In which year were the strips of “${season}” harvested?`,
    choices: [near, near - 1, near + 1].map((year) => ({
      text: String(year),
      answers: answerName("season", season, String(year)),
    })),
  };
}

const thousandsQuestion = (rate: string | null): Question => ({
  id: "thousands rate",
  text: `Rates such as “${rate ?? ""}” are far too small. Are they thousands of seeds?`,
  choices: [
    { text: "yes, thousands", answers: answersWith({ thousands: ["rate"] }) },
    { text: "no, leave those strips out", answers: saidNo("thousands rate") },
  ],
});

const lodgingWordQuestion = (word: string): Question => ({
  id: `lodging ${word}`,
  text: `How bad is lodging that is called “${word}”, from 0 upright to 9 flat?`,
  choices: lodgingDegrees.map(([text, score]) => ({
    text,
    answers: answersWith({ lodgingWords: { [word]: score } }),
  })),
});
