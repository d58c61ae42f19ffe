import { describe, expect, it } from "vitest";
import { toPerAcre } from "../../../../src/numbers/units.ts";
import { noAnswers, QuestionError, type Answers } from "../../../../src/read/answers/answers.ts";
import { holdsWhat } from "../../../../src/read/tables/open-sheets.ts";
import { gridSheet, type Sheet } from "../../../../src/read/tables/sheet.ts";
import { readTrial } from "../../../../src/read/trial-files.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import type { Trial } from "../../../../src/vocabulary/trial.ts";
import { us } from "../read-csv.ts";

/** One trial, invented: every layout below holds these strips and no others. */
const varieties = ["Ostrin", "Wester"];
const seasons = [2025, 2026];
const blocks = ["1", "2"];
const rates = [800_000, 1_100_000, 1_400_000];
const yieldOf = (variety: string, season: number, block: string, rate: number): number =>
  40 + varieties.indexOf(variety) * 7 + (season - 2025) * 3.5 + Number(block) * 0.6 + rate / 100_000;
const truth = varieties.flatMap((variety) =>
  seasons.flatMap((season) =>
    blocks.flatMap((block) => rates.map((rate) => ({ variety, season, block, rate }))),
  ),
);
type Cell = string | number;

const sheetOf = (rows: readonly (readonly Cell[])[], tab = "Sheet1"): Sheet =>
  gridSheet(
    { file: tab === "Sheet1" ? "book.xlsx" : `book.xlsx [${tab}]`, source: "book.xlsx", tab },
    rows.map((row) => row.map(String)),
  );
const read = (sheets: readonly Sheet[], answers: Answers = noAnswers): Trial =>
  readTrial(sheets, defaultSettings, us, answers);
const stripsOf = ({ strips }: Trial): string[] =>
  strips
    .map(({ variety, season, field, block, rateSeedsPerM2, yieldKgPerHa }) =>
      [
        variety,
        season,
        field,
        block,
        Math.round(rateSeedsPerM2 * 4046.8564224),
        (yieldKgPerHa / 67.2511).toFixed(2),
      ].join(" "),
    )
    .sort();
const wanted = truth
  .map(({ variety, season, block, rate }) =>
    [variety, season, "Hill", block, rate, yieldOf(variety, season, block, rate).toFixed(2)].join(" "),
  )
  .sort();

/** A row for each variety, season and block, its yields side by side. */
const wide = (names: readonly Cell[], season?: number): Cell[][] =>
  varieties.flatMap((variety) =>
    seasons
      .filter((one) => season === undefined || one === season)
      .flatMap((one) =>
        blocks.map((block): Cell[] => [
          ...(names.includes("Season") ? [variety, one, "Hill", block] : [variety, "Hill", block]),
          ...rates.map((rate) => yieldOf(variety, one, block, rate)),
        ]),
      ),
  );
const long = (without: "variety" | "season" | null, is: (row: (typeof truth)[number]) => boolean): Cell[][] =>
  truth
    .filter(is)
    .map(({ variety, season, block, rate }) => [
      ...(without === "variety" ? [] : [variety]),
      ...(without === "season" ? [] : [season]),
      "Hill",
      block,
      rate,
      yieldOf(variety, season, block, rate),
    ]);
const names = ["Variety", "Season", "Field", "Rep"];
const longNames = [...names, "Rate (seeds/ac)", "Yield (bu/ac)"];
const without = (name: string): string[] => longNames.filter((one) => one !== name);
const everyRow = (): boolean => true;

describe("one trial in the layouts that farms keep", () => {
  it.each<[string, Cell[][]]>([
    [
      "a column for each rate, their unit in the title",
      [["Yield bu/ac by seeding rate (seeds/ac)"], [...names, ...rates], ...wide(names)],
    ],
    ["rates with their million", [[...names, "0.8 M", "1.1 M", "1.4 M"], ...wide(names)]],
    [
      "yields named with their rate",
      [[...names, "yield at 800k", "yield at 1100k", "yield at 1400k"], ...wide(names)],
    ],
    [
      "one heading across the rates below it",
      [[...names, "Seeding rate (seeds/ac)", "", ""], ["", "", "", "", ...rates], ...wide(names)],
    ],
    [
      "a heading of the yield across the rates",
      [[...names, "Yield (bu/ac)", "", ""], ["", "", "", "", "0.8M", "1.1M", "1.4M"], ...wide(names)],
    ],
    [
      "a mean beside the rates and a mean below them",
      [
        [...names, "800k", "1.1 M", "1.4 M", "Mean"],
        ...wide(names).map((row) => [...row, 50]),
        ["Mean", "", "", "", 51, 52, 53],
      ],
    ],
    [
      "a column for each repetition",
      [
        ["Variety", "Year", "Field", "Rate (seeds/ac)", "Rep 1", "Rep 2"],
        ...varieties.flatMap((variety) =>
          seasons.flatMap((season) =>
            rates.map((rate) => [
              variety,
              season,
              "Hill",
              rate,
              ...blocks.map((block) => yieldOf(variety, season, block, rate)),
            ]),
          ),
        ),
      ],
    ],
    [
      "repetitions below one heading, with their average",
      [
        ["Variety", "Year", "Field", "Rate (seeds/ac)", "Yield (bu/ac)", "", "Avg"],
        ["", "", "", "", "Rep 1", "Rep 2", ""],
        ...varieties.flatMap((variety) =>
          seasons.flatMap((season) =>
            rates.map((rate) => [
              variety,
              season,
              "Hill",
              rate,
              ...blocks.map((block) => yieldOf(variety, season, block, rate)),
              50,
            ]),
          ),
        ),
      ],
    ],
    [
      "a column for each season",
      [
        ["Variety", "Field", "Rep", "Rate (seeds/ac)", "2025 yield", "2026 yield"],
        ...varieties.flatMap((variety) =>
          blocks.flatMap((block) =>
            rates.map((rate) => [
              variety,
              "Hill",
              block,
              rate,
              ...seasons.map((season) => yieldOf(variety, season, block, rate)),
            ]),
          ),
        ),
      ],
    ],
    [
      "rates and repetitions, both in the names",
      [
        [
          "Variety",
          "Season",
          "Field",
          ...rates.flatMap((rate) => blocks.map((block) => `${rate} rep ${block}`)),
        ],
        ...varieties.flatMap((variety) =>
          seasons.map((season) => [
            variety,
            season,
            "Hill",
            ...rates.flatMap((rate) => blocks.map((block) => yieldOf(variety, season, block, rate))),
          ]),
        ),
      ],
    ],
    [
      "names in two rows, units in a third",
      [
        [...names, "Seeding", "Grain"],
        ["", "", "", "", "rate", "yield"],
        ["", "", "", "", "seeds/ac", "bu/ac"],
        ...long(null, everyRow),
      ],
    ],
    [
      "a season above each part of one table",
      [
        ["2025 harvest"],
        without("Season"),
        ...long("season", ({ season }) => season === 2025),
        ["2026 harvest"],
        ...long("season", ({ season }) => season === 2026),
      ],
    ],
    [
      "a variety above each part of one table",
      [
        without("Variety"),
        ["Ostrin"],
        ...long("variety", ({ variety }) => variety === "Ostrin"),
        ["Wester"],
        ...long("variety", ({ variety }) => variety === "Wester"),
      ],
    ],
    [
      "a season above each of two tables side by side",
      [
        ["2025", "", "", "", "", "", "2026"],
        [...without("Season"), "", ...without("Season")],
        ...long("season", ({ season }) => season === 2025).map((row, index) => [
          ...row,
          "",
          ...long("season", ({ season }) => season === 2026)[index]!,
        ]),
      ],
    ],
    [
      "means of the repetitions among them",
      [
        longNames,
        ...long(null, everyRow).flatMap((row, index) =>
          index % 6 === 5 ? [row, [...row.slice(0, 3), "mean", row[4]!, 49.9]] : [row],
        ),
        ["Subtotal", "", "", "", "", 50],
        ["n.s.", "", "", "", "", ""],
      ],
    ],
    [
      "seasons as short years",
      [
        longNames,
        ...long(null, everyRow).map(([name, season, ...row]) => [
          name!,
          `'${String(season).slice(2)}`,
          ...row,
        ]),
      ],
    ],
    [
      "seasons as two years",
      [
        longNames,
        ...long(null, everyRow).map(([name, season, ...row]) => [
          name!,
          `${Number(season) - 1}/${String(season).slice(2)}`,
          ...row,
        ]),
      ],
    ],
    [
      "bushels and acres of each strip",
      [
        [...names, "Rate (seeds/ac)", "Bushels", "Acres"],
        ...long(null, everyRow).map((row) => [...row.slice(0, 5), Number(row[5]) * 0.8, 0.8]),
      ],
    ],
  ])("reads alike with %s", (_, rows) => {
    const trial = read([sheetOf(rows)]);
    expect(stripsOf(trial)).toEqual(wanted);
    expect(trial.rowsLeftOut).toBe(0);
  });

  it("a tab for each season, with a column for each rate", () => {
    const header = ["Variety", "Field", "Rep", ...rates];
    const sheets = seasons.map((season) =>
      sheetOf([header, ...wide(header.map(String), season)], String(season)),
    );
    expect(sheets.map((sheet) => holdsWhat(sheet, noAnswers))).toEqual(["strips", "strips"]);
    expect(stripsOf(read(sheets))).toEqual(wanted);
  });

  it("a tab for each variety, which is doubtful until it is answered", () => {
    const sheets = varieties.map((name) =>
      sheetOf([without("Variety"), ...long("variety", ({ variety }) => variety === name)], name),
    );
    const trial = read(sheets);
    expect(stripsOf(trial)).toEqual(wanted);
    const doubts = trial.findings.filter(
      ({ code, severity }) => code === "value-from-beside" && severity === "doubt",
    );
    expect(doubts.map(({ message }) => message)).toEqual(
      varieties.map(
        (name) =>
          `There is no column variety: "${name}" is used for all rows, from the name of the tab. If that is wrong, add the column, or say it in columns.yaml: tabs: {"${name}": {variety: …}}.`,
      ),
    );
  });

  it("says which columns became strips", () => {
    const { findings } = read([sheetOf([[...names, ...rates], ...wide(names)])]);
    expect(findings.find(({ code }) => code === "columns-as-rows")?.message).toContain(
      'Columns "800000", "1100000", "1400000" each name a rate: each of their cells is read as a strip.',
    );
  });

  it("reads a yield that is missing below one rate as no strip, and the others of the row", () => {
    const rows = wide(names);
    rows[0]![5] = "";
    const trial = read([sheetOf([[...names, ...rates], ...rows])]);
    expect(stripsOf(trial)).toEqual(wanted.filter((strip) => strip !== "Ostrin 2025 Hill 1 1100000 51.60"));
  });
});

/** The first question, where what is read cannot go on without an answer. */
function asked(sheets: readonly Sheet[], answers: Answers = noAnswers) {
  try {
    read(sheets, answers);
  } catch (error) {
    if (error instanceof QuestionError) return error.questions[0]!;
    throw error;
  }
  throw new Error("nothing was asked");
}

describe("what only the person knows is asked once", () => {
  it("names across, which may be varieties", () => {
    const rows = seasons.flatMap((season) =>
      blocks.flatMap((block) =>
        rates.map((rate): Cell[] => [
          season,
          "Hill",
          block,
          rate,
          ...varieties.map((variety) => yieldOf(variety, season, block, rate)),
        ]),
      ),
    );
    const sheet = sheetOf([["Year", "Field", "Rep", "Rate (seeds/ac)", ...varieties], ...rows]);
    const [first] = asked([sheet]).choices;
    expect(first!.text).toBe("none: Ostrin, Wester are each a variety, with its yield below");
    expect(stripsOf(read([sheet], first!.answers))).toEqual(wanted);
  });

  it("thousands of what area", () => {
    const rows = long(null, everyRow).map((row) =>
      row.map((cell, index) => (index === 4 ? Number(cell) / 1000 : cell)),
    );
    const sheet = sheetOf([[...names, "Population (thousands)", "Yield"], ...rows]);
    const { choices } = asked([sheet]);
    expect(choices.slice(0, 2).map(({ text }) => text)).toEqual(["thousand seeds/ac", "thousand seeds/ha"]);
    expect(stripsOf(read([sheet], choices[0]!.answers))).toEqual(wanted);
  });

  it("a bare rate, the units in which it is usual first", () => {
    const rows = long(null, everyRow).map((row) =>
      row.map((cell, index) => (index === 4 ? Number(cell) / 1e6 : cell)),
    );
    const sheet = sheetOf([[...names, "Rate", "Yield"], ...rows]);
    const { choices } = asked([sheet]);
    expect(choices[0]!.text).toBe("million seeds/ac");
    expect(stripsOf(read([sheet], choices[0]!.answers))).toEqual(wanted);
  });

  it("years of two digits behind the names of tabs, all at once", () => {
    const tabs = seasons.map((season) => `Hill ${season % 100}`);
    const sheets = seasons.map((season, index) => ({
      ...sheetOf([without("Season"), ...long("season", (row) => row.season === season)], tabs[index]),
      together: tabs,
    }));
    const first = asked(sheets).choices[0]!;
    expect(first.text).toBe(
      "none: the names of the tabs are the season: “Hill 25” is 2025, “Hill 26” is 2026",
    );
    expect(stripsOf(read(sheets, first.answers))).toEqual(wanted);
    // A tab beside it whose name is no year leaves the question to each.
    const [one] = asked([{ ...sheets[0]!, together: [...tabs, "Bottom"] }]).choices;
    expect(one!.text).toBe("none: the name of the tab is the season: “Hill 25” is 2025");
  });
});

describe("rows of words among strips", () => {
  it("lose no row above them, though no cell holds a bare number", () => {
    const part = (season: number): Cell[][] =>
      long("season", (row) => row.season === season).map((row) => [
        row[0]!,
        "Hill",
        row[2] === "1" ? "A" : "B",
        `${Number(row[3]) / 1e6} M`,
        `${row[4]} bu/ac`,
      ]);
    const trial = read([sheetOf([without("Season"), ["2025"], ...part(2025), ["2026"], ...part(2026)])]);
    expect(trial.strips).toHaveLength(truth.length);
    expect(new Set(trial.strips.map(({ season }) => season))).toEqual(new Set(seasons));
  });

  describe("codes that a title explains", () => {
    const coded = ["Variety", "Season", "Rep", "Rate", "Yield (bu/ac)"];
    const under = (...titles: string[][]): Trial =>
      read([
        sheetOf([
          ...titles,
          coded,
          ["Ostrin", 2026, 1, "A", 60],
          ["Ostrin", 2026, 1, "b", 64],
          ["Ostrin", 2026, 1, "C", 65],
        ]),
      ]);
    const rates = ({ strips }: Trial): number[] =>
      strips.map(({ rateSeedsPerM2 }) => Math.round(toPerAcre(rateSeedsPerM2) / 1e4) / 100);

    it.each([
      ["in one line", [["A = 0.9 million, B = 1.2 million, C = 1.5 million seeds/ac"]]],
      ["one by one", [["A = 0.9 M/ac"], ["B = 1.2 M/ac"], ["C = 1.5 M/ac"]]],
      ["with the unit behind the last", [["Rates: A = 0.9; B = 1.2; C = 1.5 million seeds/ac"]]],
      [
        "in cells of their own, below another title",
        [["Seeding trial"], ["A = 900,000", "B = 1,200,000", "C = 1,500,000"]],
      ],
    ])("are the rates that they stand for, %s", (_, titles) => {
      const trial = under(...titles);
      expect(rates(trial)).toEqual([0.9, 1.2, 1.5]);
      expect(trial.findings.find(({ code }) => code === "codes-explained")!.message).toContain(
        'explains "A" (',
      );
    });

    it("are no rates where the title does not name them", () => {
      const trial = under(["A = 0.9 million, B = 1.2 million seeds/ac"]);
      expect(rates(trial)).toEqual([0.9, 1.2]);
      expect(trial.findings).toContainEqual(
        expect.objectContaining({ code: "row-not-a-number", value: "C" }),
      );
      expect(under(["A = 0.9 million seeds/ac"]).strips).toEqual([]);
    });

    it("are varieties, told in one line or one by one, where every cell of the column is such a code", () => {
      const table = (titles: string[][], ...varieties: string[]): Trial =>
        read([
          sheetOf([
            ["Strips of 2026 at Hill"],
            ...titles,
            ["Var", "Season", "Rep", "Rate", "Yield (bu/ac)"],
            ...varieties.map((variety, index) => [variety, 2026, index + 1, 1_200_000, 60]),
          ]),
        ]);
      const names = ({ strips }: Trial): string[] => strips.map(({ variety }) => variety);
      const [inRows, inLine] = [[["A = Ostrin"], ["B = Wester 22"]], [["Key: A = Ostrin, B = Wester 22"]]];
      expect(names(table(inRows, "A", "b"))).toEqual(["Ostrin", "Wester 22"]);
      expect(names(table(inLine, "A", "b"))).toEqual(["Ostrin", "Wester 22"]);
      expect(names(table(inLine, "A", "Sundal"))).toEqual(["A", "Sundal"]);
    });

    it("are no rates where only some cells are the numbers that a title explains", () => {
      const trial = read([
        sheetOf([
          ["1 = 7 in, 2 = 8 in"],
          coded,
          ["Ostrin", 2026, 1, "1", 60],
          ["Ostrin", 2026, 1, "1200000", 64],
        ]),
      ]);
      expect(trial.findings.map(({ code }) => code)).not.toContain("codes-explained");
    });

    it("are not told of where the title explains other things and no rate is one of them", () => {
      const { findings } = under(["Rows = 7.5 in, Width = 30 ft"]);
      expect(findings.map(({ code }) => code)).not.toContain("codes-explained");
    });
  });

  describe("what two titles say of one thing", () => {
    const weighed = ["Variety", "Season", "Rep", "Rate (million/ac)", "Weight (lb)"];
    const under = (titles: string[][], tab?: string): Sheet =>
      sheetOf([...titles, weighed, ["Ostrin", 2026, 1, 1.1, 2800], ["Ostrin", 2026, 1, 1.4, 2900]], tab);
    const disagreed = ({ findings }: Trial): string[] =>
      findings.flatMap(({ code, message }) => (code === "values-disagree" ? [message] : []));
    const length = ["strip length 1000 ft"];

    it("is doubtful where they differ, until one is answered", () => {
      const sheet = under([["strips 30 ft wide"], ["header width: 36 ft"], length]);
      const message =
        'There are two values for strip_width: "30 ft" from what is above the table, which is used, and "36 ft" from what is above the table. Say once in columns.yaml which is right: values: {strip_width: 30 ft}.';
      expect(disagreed(read([sheet]))).toEqual([message]);
      expect(disagreed(read([sheet], { ...noAnswers, values: { strip_width: "36 ft" } }))).toEqual([]);
    });

    it.each([
      ["the same in other words", [["strips 30 ft wide"], ["header width: 30 feet"], length]],
      ["a drill wider than the strips", [["40 ft wide drill"], ["header width: 30 ft"], length]],
      ["both sides in one line", [["strips 30 ft wide, 1000 ft long"]]],
    ])("is not where it is %s", (_, titles) => {
      const trial = read([under(titles)]);
      expect(disagreed(trial)).toEqual([]);
      expect(trial.strips).toHaveLength(2);
      expect(trial.strips[0]!.yieldKgPerHa / 67.2511).toBeCloseTo(2800 / 60 / ((1000 * 30) / 43_560), 1);
    });

    it("is doubtful where one season is answered for tabs of several", () => {
      const sheets = seasons.map((year) =>
        sheetOf([without("Season"), ...long("season", ({ season }) => season === year)], String(year)),
      );
      const messages = disagreed(read(sheets, { ...noAnswers, values: { season: "2027" } }));
      expect(messages).toHaveLength(2);
      expect(messages[0]).toContain('"2027" as answered, which is used, and "2025" from the name of the tab');
      expect(messages[0]).toContain('tabs: {"2025": {season: 2027}}');
    });

    it("says an answer that no cell is empty for", () => {
      const trial = read([sheetOf([longNames, ...long(null, everyRow)])], {
        ...noAnswers,
        values: { season: "2027" },
      });
      expect(trial.findings.find(({ code }) => code === "answer-not-used")?.message).toContain(
        'Column "Season" has a value in every row, so "2027", which you answered for season, is not used.',
      );
    });
  });
});
