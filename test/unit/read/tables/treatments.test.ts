import { describe, expect, it } from "vitest";
import { readFarm } from "../../../../src/farm/read-farm.ts";
import { answersWith, type Answers } from "../../../../src/read/answers/answers.ts";
import { treatmentIn } from "../../../../src/read/tables/treatments.ts";
import type { Strip, Trial } from "../../../../src/vocabulary/trial.ts";
import { workbook, type Cell, type Tab } from "../../../fixtures/write-workbook.ts";

/** One trial, invented; every workbook below holds these strips and no others. */
const strips = ["Ostrin", "Wester 22"].flatMap((variety, v) =>
  [2025, 2026].flatMap((season) =>
    ["Hill", "Creek"].flatMap((field, f) =>
      [1, 2].flatMap((block) =>
        [0.8, 1.1, 1.4].map((rate, r) => ({
          variety,
          season,
          field,
          block,
          rate,
          grain: 50 + 3 * v + (season - 2025) + 2 * f + block + 2 * r,
        })),
      ),
    ),
  ),
);
type Kept = (typeof strips)[number];
const number = (value: number): Cell => ({ number: value });
const where = (wanted: Partial<Kept>): Kept[] =>
  strips.filter((strip) =>
    Object.entries(wanted).every(([name, value]) => strip[name as keyof Kept] === value),
  );
const read = async (tabs: Tab[], answers?: Answers): Promise<Trial> =>
  (await readFarm([{ name: "book.xlsx", bytes: workbook(tabs), as: "strips" }], answers && { answers }))
    .trial;
const told = ({ strips: found }: Trial): string[] =>
  found
    .map(({ variety, season, field, block, rateSeedsPerM2, yieldKgPerHa }: Strip) =>
      [variety, season, field, block, rateSeedsPerM2.toFixed(3), yieldKgPerHa.toFixed(1)].join("|"),
    )
    .sort();
const header = ["Variety", "Year", "Field", "Rep", "Rate (M/ac)", "Yield (bu/ac)"];
const rowOf = ({ variety, season, field, block, rate, grain }: Kept): Cell[] => [
  variety,
  number(season),
  field,
  number(block),
  number(rate),
  number(grain),
];
const data: Tab = { name: "Data", cells: [header, ...strips.map(rowOf)] };
const plain = read([data]);
const same = async (trial: Trial): Promise<void> => {
  expect(told(trial)).toEqual(told(await plain));
  expect([trial.rowsRead, trial.rowsLeftOut]).toEqual([strips.length, 0]);
};
const codes = ({ findings }: Trial): string[] => findings.map(({ code }) => code);

describe("a workbook as a farm keeps it", () => {
  it("names variety and rate in one cell, fields and seasons by its tabs", async () => {
    const trial = await read(
      [2025, 2026].flatMap((season) =>
        ["Hill", "Creek"].map((field) => ({
          name: `${field} ${season}`,
          cells: [
            [`${field} – rates of ${season}`],
            ["Strip", "Treatment", "Rep", "Yield (bu/ac)"],
            ...where({ season, field }).map(({ variety, rate, block, grain }, at) => [
              number(at + 1),
              `${variety} @ ${rate}M`,
              number(block),
              number(grain),
            ]),
          ],
        })),
      ),
    );
    await same({ ...trial, strips: trial.strips.map((strip) => ({ ...strip, position: null })) });
    expect(trial.findings.find(({ code }) => code === "treatments-parted")?.message).toBe(
      "Cells of this column name variety and rate together; “Ostrin @ 0.8M” is read as variety Ostrin, rate 0.8M.",
    );
  });

  it("numbers its treatments, and a tab says what each number is", async () => {
    const treatments = where({ season: 2025, field: "Hill", block: 1 });
    const numberOf = (strip: Kept): number =>
      treatments.findIndex(({ variety, rate }) => variety === strip.variety && rate === strip.rate) + 1;
    const trial = await read([
      {
        name: "Key",
        cells: [
          ["Trt", "Variety", "Rate (M/ac)"],
          ...treatments.map((one) => [number(numberOf(one)), one.variety, number(one.rate)]),
        ],
      },
      {
        name: "Yields",
        cells: [
          ["Trt", "Year", "Field", "Rep", "Yield (bu/ac)"],
          ...strips.map((one) => [
            number(numberOf(one)),
            number(one.season),
            one.field,
            number(one.block),
            number(one.grain),
          ]),
        ],
      },
    ]);
    await same(trial);
    expect(codes(trial)).toContain("treatments-explained");
    expect(codes(trial)).not.toContain("column-ignored");
  });

  it("has a tab of means beside the strips, which is not read, and is where that is answered", async () => {
    const means: Tab = {
      name: "By variety",
      cells: [
        ["Variety", "Year", "Field", "Rate (M/ac)", "Yield (bu/ac)", "Strips"],
        ...where({ block: 1, season: 2025 }).map(({ variety, season, field, rate, grain }) => [
          variety,
          number(season),
          field,
          number(rate),
          number(grain + 0.5),
          number(2),
        ]),
      ],
    };
    const trial = await read([means, data]);
    await same(trial);
    expect(trial.findings.find(({ code }) => code === "means-not-read")?.message).toContain(
      'columns.yaml: tabs: {"By variety": strips}',
    );
    const asked = answersWith({ tabs: { "By variety": { holds: "strips", nameIs: null, values: {} } } });
    expect((await read([means, data], asked)).strips).toHaveLength(strips.length + 12);
  });

  it("has field, season and repetition in the title above each table", async () => {
    const cells = [2025, 2026].flatMap((season) =>
      ["Hill", "Creek"].flatMap((field) =>
        [1, 2].flatMap((block): Cell[][] => [
          [`${field} ${season} – Replication ${block}`],
          ["Variety", "Rate (M/ac)", "Yield (bu/ac)"],
          ...where({ season, field, block }).map(({ variety, rate, grain }) => [
            variety,
            number(rate),
            number(grain),
          ]),
          [],
        ]),
      ),
    );
    await same(await read([{ name: "Sheet1", cells }]));
  });

  it("marks numbers with stars and margins of error", async () => {
    const cells = [
      header,
      ...strips.map((strip, at) => [
        ...rowOf(strip).slice(0, 5),
        at % 3 === 0
          ? `${strip.grain}*`
          : at % 3 === 1
            ? `${strip.grain} ± 1.2`
            : `${strip.grain} +/- 1,3 bu/ac`,
      ]),
    ];
    await same(await read([{ name: "Data", cells }]));
  });

  it("says once above the table how long and wide the strips are", async () => {
    const cells = [
      ["All strips 800 ft x 30 ft"],
      ["Variety", "Year", "Field", "Rep", "Rate (M/ac)", "Net lb"],
      ...strips.map((strip) => [...rowOf(strip).slice(0, 5), number((strip.grain * 60 * 800 * 30) / 43_560)]),
    ];
    await same(await read([{ name: "Data", cells }]));
  });

  it("names field and season in one cell", async () => {
    const cells = [
      ["Variety", "Site-year", "Rep", "Rate (M/ac)", "Yield (bu/ac)"],
      ...strips.map((strip, at) => [
        strip.variety,
        at % 2 === 0 ? `${strip.field} ${strip.season}` : `${strip.season} ${strip.field}`,
        ...rowOf(strip).slice(3),
      ]),
    ];
    const trial = await read([{ name: "Data", cells }]);
    await same(trial);
    expect(codes(trial)).toContain("site-years-parted");
  });

  it("has dry yields beside a moisture: they are at market moisture already", async () => {
    const cells = [
      [...header.slice(0, 5), "Dry yield (bu/ac)", "Moist"],
      ...strips.map((strip, at) => [...rowOf(strip), number(11 + (at % 5))]),
    ];
    await same(await read([{ name: "Data", cells }]));
  });

  it("has varieties across, and is told what to answer", async () => {
    const cells = [
      ["Year", "Rate (M/ac)", "Ostrin", "Wester 22"],
      ["2025", "0.8", "51", "54"],
    ];
    await expect(read([{ name: "Data", cells }])).rejects.toThrow(
      'If "Ostrin", "Wester 22" are each a variety with its yields below, say so in columns.yaml: columns: {"Ostrin": variety, "Wester 22": variety}.',
    );
  });
});

describe("a treatment in one cell", () => {
  it.each([
    ["Brant 7 @ 1.1M", "Brant 7", "1.1M"],
    ["Tolka, 1,100,000", "Tolka", "1,100,000"],
    ["Tolka 900k", "Tolka", "900k"],
    ["1.4 M Tolka", "Tolka", "1.4 M"],
    ["Tolka - 300 seeds/m2", "Tolka", "300 seeds/m2"],
  ])("%s is %s at %s", (text, variety, rate) => {
    expect(treatmentIn(text)).toEqual({ variety, rate });
  });

  it.each(["Tolka", "Brant 7", "1.1M", "60-62", "Rep 2", "1.1 million seeds/ac", "Hill 2025"])(
    "%s is none",
    (text) => {
      expect(treatmentIn(text)).toBeNull();
    },
  );
});
