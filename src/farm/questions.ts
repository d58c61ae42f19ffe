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

function findingQuestion(
  { code, file, column, value, message }: Finding,
  lots: readonly string[],
): Question[] {
  if (code === "row-seed-weight-unknown" && value !== null) {
    const near = probableName(value, lots);
    return near === null ? [] : [sameName("variety", value, near)];
  }
  if (code === "crop-named-otherwise" && value !== null) return [cropQuestion(file, value)];
  if (code === "test-weight-as-kernels" && value !== null) {
    const at = value.lastIndexOf(" (");
    const [header, unit] = [value.slice(0, at), value.slice(at + 2, -1)];
    return [
      {
        id: `kernels ${header}`,
        text: `Is column “${header}” the test weight in ${unit}? As weight of a thousand kernels it does not go with the lots.`,
        choices: [
          {
            text: `yes, test weight in ${unit}`,
            answers: answersWith({ columns: { [header]: `test_weight (${unit})` } }),
          },
          { text: "no, a thousand kernels weigh that much", answers: saidNo(`kernels ${header}`) },
        ],
      },
    ];
  }
  if ((code === "yields-in-another-unit" || code === "rates-in-another-unit") && value !== null) {
    const at = value.lastIndexOf(" (");
    const [header, unit] = [value.slice(0, at), value.slice(at + 2, -1)];
    const what = code === "yields-in-another-unit" ? "yield" : "rate";
    return [
      {
        id: `${what}s ${header}`,
        text: `${message.split(":")[0]!}. Are they in ${unit}?`,
        choices: [
          { text: `yes, ${unit}`, answers: answersWith({ columns: { [header]: `${what} (${unit})` } }) },
          { text: "no, the header is right", answers: saidNo(`${what}s ${header}`) },
        ],
      },
    ];
  }
  if (code === "blocks-missing") {
    return [
      {
        id: "fill down block",
        text: "Some strips have no block. Do empty cells repeat the one above?",
        choices: [
          { text: "yes, in block", answers: answersWith({ fillDown: ["block"] }) },
          { text: "no, they have none", answers: saidNo("fill down block") },
        ],
      },
    ];
  }
  if (code === "row-season-unclear" && value !== null) {
    const short = /(?<!\d)(\d\d)(?!\d)/.exec(value)?.[1];
    const near = short === undefined ? null : 2000 + Number(short);
    return near === null
      ? []
      : [
          {
            id: `season ${value}`,
            text: `In which year were the strips of “${value}” harvested?`,
            choices: [near, near - 1, near + 1].map((year) => ({
              text: String(year),
              answers: answerName("season", value, String(year)),
            })),
          },
        ];
  }
  if (code === "row-rate-in-thousands") {
    return [
      {
        id: "thousands rate",
        text: `Rates such as “${value ?? ""}” are far too small. Are they thousands of seeds?`,
        choices: [
          { text: "yes, thousands", answers: answersWith({ thousands: ["rate"] }) },
          { text: "no, leave those strips out", answers: saidNo("thousands rate") },
        ],
      },
    ];
  }
  if (code === "value-not-a-number" && column === "lodging" && value !== null) {
    return [
      {
        id: `lodging ${value}`,
        text: `How bad is lodging that is called “${value}”, from 0 upright to 9 flat?`,
        choices: lodgingDegrees.map(([text, score]) => ({
          text,
          answers: answersWith({ lodgingWords: { [value]: score } }),
        })),
      },
    ];
  }
  return [];
}
