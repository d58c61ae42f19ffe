import fc from "fast-check";
import { strToU8 } from "fflate";
import { describe, expect, it } from "vitest";
import { readFarm, type Farm } from "../../src/farm/read-farm.ts";
import { answersWith, noAnswers, type Answers } from "../../src/read/answers/answers.ts";
import { TrialError, type Strip, type Trial } from "../../src/vocabulary/trial.ts";
import { accounts, rounded, told } from "../fixtures/same-result.ts";
import { workbook, type Cell, type Tab } from "../fixtures/write-workbook.ts";

/** A few in every run of the tests; `STRIPCURVE_MIXTURES=2000` and another `STRIPCURVE_SEED` look further. */
const mixtures = Number(process.env["STRIPCURVE_MIXTURES"] ?? 60);
const seed = Number(process.env["STRIPCURVE_SEED"] ?? 20260428);

interface Row {
  variety: string;
  season: number;
  field: string;
  block: number;
  /** In units of 10,000 seeds/ac and of 0.1 bu/ac, 0.1 %. */
  rate: number;
  grain: number;
  moisture: number;
  lodging: number;
}

const lodgingScores = [0, 1, 4, 7, 9];

/** One and the same trial: every variety at every rate in every block of every field and season. */
const trial: fc.Arbitrary<Row[]> = fc
  .record({
    varieties: fc.subarray(["Ostrin", "Wester 22", "Sundal"], { minLength: 2 }),
    seasons: fc.subarray([2024, 2025, 2026], { minLength: 1 }),
    fields: fc.subarray(["Hill", "Long Bottom"], { minLength: 1 }),
    rates: fc.subarray([80, 110, 140, 175], { minLength: 3 }),
    numbers: fc.array(fc.nat(9999), { minLength: 40, maxLength: 40 }),
  })
  .map(({ varieties, seasons, fields, rates, numbers }) => {
    const rows: Row[] = [];
    const next = (from: number, count: number): number =>
      from + ((numbers[rows.length % 40]! + rows.length * 37 + count * 11) % count);
    for (const season of seasons)
      for (const field of fields)
        for (const block of [1, 2])
          for (const rate of rates)
            for (const variety of varieties)
              rows.push({
                variety,
                season,
                field,
                block,
                rate,
                grain: next(400, 300),
                moisture: next(111, 50),
                lodging: lodgingScores[next(0, 5)]!,
              });
    return rows;
  });

const columns = ["variety", "season", "field", "block", "rate", "grain", "moisture", "lodging"] as const;
type Column = (typeof columns)[number];

/** Trade words of each language, and lodging from upright to flat. */
const languages: Record<string, { headers: string[]; lodging: string[] }> = {
  plain: {
    headers: ["variety", "season", "field", "block", "rate", "yield", "moisture", "lodging"],
    lodging: ["none", "slight", "leaning", "bad", "flat"],
  },
  short: {
    headers: ["VAR", "Yr", "Fld", "Rep", "Pop", "Yld", "Moist", "Lodged"],
    lodging: ["upright", "trace", "some", "severe", "down"],
  },
  German: {
    headers: ["Sorte", "Erntejahr", "Schlag", "Wdh.", "Aussaatstärke", "Ertrag", "Feuchte", "Lager"],
    lodging: ["kein", "leicht", "mittel", "stark", "flach"],
  },
  French: {
    headers: ["Variété", "Année", "Parcelle", "Bloc", "Densité de semis", "Rendement", "Humidité", "Verse"],
    lodging: ["aucune", "léger", "moyen", "fort", "couché"],
  },
  Spanish: {
    headers: [
      "Variedad",
      "Campaña",
      "Lote",
      "Bloque",
      "Densidad de siembra",
      "Rendimiento",
      "Humedad",
      "Vuelco",
    ],
    lodging: ["ninguno", "leve", "medio", "fuerte", "caído"],
  },
};

const layouts = [
  ...(["one table", "tabs", "by season below", "by variety below", "side by side", "variety above"] as const),
  ...(["rates across", "blocks across", "seasons in rows of their own"] as const),
] as const;

/** How a farm keeps it. */
interface Habit {
  book: boolean;
  language: string;
  layout: (typeof layouts)[number];
  units: "in brackets" | "behind" | "in a row of their own";
  rates: "million" | "ones" | "with M" | "with commas" | "thousands";
  pounds: boolean;
  moisture: "number" | "with %" | "percent cell";
  words: boolean;
  spelling: "same" | "spaces" | "misspelt";
  comma: boolean;
  titles: string[];
  unusedColumn: boolean;
  /** Seasons and fields written once over the rows that they hold for, in cells of a workbook that are merged. */
  merged: boolean;
  ends: ("total" | "mean" | "blank" | "remark")[];
}

const habit: fc.Arbitrary<Habit> = fc.record({
  book: fc.boolean(),
  language: fc.constantFrom(...Object.keys(languages)),
  layout: fc.constantFrom(...layouts),
  units: fc.constantFrom("in brackets", "behind", "in a row of their own"),
  rates: fc.constantFrom("million", "ones", "with M", "with commas", "thousands"),
  pounds: fc.boolean(),
  moisture: fc.constantFrom("number", "with %", "percent cell"),
  words: fc.boolean(),
  spelling: fc.constantFrom("same", "spaces", "misspelt"),
  comma: fc.boolean(),
  titles: fc.subarray([
    "Seeding rate strips",
    "",
    "weigh wagon weights, combine header 30 ft",
    "Miller & Sons",
  ]),
  unusedColumn: fc.boolean(),
  merged: fc.boolean(),
  ends: fc.subarray(["total", "mean", "blank", "remark"] as const),
});

const misspelt: Record<string, string> = { Ostrin: "OSTRIN", "Wester 22": "Wster 22", Sundal: "Sundall" };

function cellOf(column: Column, row: Row, index: number, how: Habit): Cell {
  const decimals = (value: number, places: number): Cell =>
    how.comma && !how.book
      ? value.toFixed(places).replace(".", ",")
      : how.book
        ? { number: Number(value.toFixed(places)) }
        : value.toFixed(places);
  const grain = row.grain / 10;
  switch (column) {
    case "variety":
      if (how.spelling === "spaces" && index % 3 === 1) return ` ${row.variety.replace(" ", "  ")} `;
      return how.spelling === "misspelt" && index % 3 === 1 ? misspelt[row.variety]! : row.variety;
    case "rate":
      if (how.rates === "million") return decimals(row.rate / 100, 2);
      if (how.rates === "ones") return decimals(row.rate * 10_000, 0);
      if (how.rates === "thousands") return decimals(row.rate * 10, 0);
      if (how.rates === "with M")
        return `${row.rate / 100} M`.replace(".", how.comma && !how.book ? "," : ".");
      return (row.rate * 10_000).toLocaleString(how.comma && !how.book ? "de-DE" : "en-US");
    case "grain":
      return how.pounds ? decimals(grain * 60, 0) : decimals(grain, 1);
    case "moisture":
      if (how.moisture === "with %")
        return `${row.moisture / 10} %`.replace(".", how.comma && !how.book ? "," : ".");
      return how.moisture === "percent cell" && how.book
        ? { number: row.moisture / 1000, percent: true }
        : decimals(row.moisture / 10, 1);
    case "lodging":
      return how.words
        ? languages[how.language]!.lodging[lodgingScores.indexOf(row.lodging)]!
        : decimals(row.lodging, 0);
    default:
      return typeof row[column] === "number" ? decimals(row[column], 0) : row[column];
  }
}

function unitOf(column: Column, how: Habit): string {
  if (column === "rate") return how.rates === "million" ? "million/ac" : "seeds/ac";
  if (column === "grain") return how.pounds ? "lb/ac" : "bu/ac";
  return column === "moisture" ? "%" : "";
}

/** Header, row of units if wanted, and rows. */
function tableOf(rows: readonly Row[], kept: readonly Column[], how: Habit): Cell[][] {
  const named = kept.map((column) => languages[how.language]!.headers[columns.indexOf(column)]!);
  const units = kept.map((column) => unitOf(column, how));
  const header = named.map((name, index) =>
    units[index] === "" || how.units === "in a row of their own"
      ? name
      : how.units === "behind"
        ? `${name} ${units[index]!}`
        : `${name} (${units[index]!})`,
  );
  const isBeside = ["side by side", "variety above", "rates across", "blocks across"].includes(how.layout);
  const more = how.unusedColumn && !isBeside;
  return [
    [...header, ...(more ? ["Photo"] : [])],
    ...(how.units === "in a row of their own" ? [units] : []),
    ...rows.map((row, index) => [
      ...kept.map((column) => cellOf(column, row, index, how)),
      ...(more ? [index % 2 === 0 ? "yes" : ""] : []),
    ]),
  ];
}

const rateText = (rate: number, how: Habit): string =>
  how.rates === "ones"
    ? String(rate * 10_000)
    : (rate * 10_000).toLocaleString(how.comma && !how.book ? "de-DE" : "en-US");

/** A rate as it stands in the name of a column. */
function rateNamed(rate: number, how: Habit): string {
  if (how.rates === "ones" || how.rates === "with commas") return rateText(rate, how);
  if (how.rates === "thousands") return `${rate * 10}k`;
  return `${rate / 100} M`.replace(".", how.comma && !how.book ? "," : ".");
}

/** A row for all that `across` tells apart, its values side by side below names that tell it. */
function acrossOf(rows: readonly Row[], across: "rate" | "block", how: Habit): Cell[][] {
  const measured = ["grain", "moisture", "lodging"] as const;
  const shared = columns.filter(
    (column) => column !== across && !(measured as readonly string[]).includes(column),
  );
  const alike = groups(rows, (row) => shared.map((column) => row[column]).join("|")).map(([, own]) => own);
  const left = tableOf(
    alike.map(([first]) => first!),
    shared,
    how,
  );
  const beside = alike[0]!.map((one, index) => {
    const [header, ...below] = tableOf(
      alike.map((own) => own[index]!),
      measured,
      how,
    );
    const name = across === "rate" ? rateNamed(one.rate, how) : `Rep ${one.block}`;
    return [header!.map((text) => `${text as string} ${name}`), ...below];
  });
  return left.map((cells, row) => [...cells, ...beside.flatMap((block) => block[row]!)]);
}

const without = (...left: Column[]): Column[] => columns.filter((column) => !left.includes(column));
const groups = <Key>(rows: readonly Row[], key: (row: Row) => Key): [Key, Row[]][] =>
  [...new Set(rows.map(key))].map((one) => [one, rows.filter((row) => key(row) === one)]);

/** Cells of a column that say the same as the one above become one cell with it. */
function mergedDown({ name, cells }: Tab, at: readonly number[], first: number, count: number): Tab {
  const merged: [number, number, number][] = [];
  const left = cells.map((row) => [...row]);
  for (const x of at) {
    let top = first;
    for (let y = first + 1; y <= first + count; y++) {
      const same = y < first + count && JSON.stringify(cells[y]![x]) === JSON.stringify(cells[top]![x]);
      if (same) left[y]![x] = "";
      else {
        if (y - 1 > top) merged.push([x, top, y - 1]);
        top = y;
      }
    }
  }
  return { name, cells: left, merged };
}

function tabsOf(rows: readonly Row[], how: Habit): Tab[] {
  const titles = how.titles.map((title): Cell[] => [title]);
  const ends = how.ends.map((end): Cell[] => {
    if (end === "blank") return [];
    if (end === "remark") return ["Checked against the weigh ticket book"];
    return [end === "total" ? "TOTAL" : "mean", "", "", "", "", { number: 55.5 }];
  });
  const one = (cells: Cell[][]): Tab[] => [{ name: "Strips", cells: [...titles, ...cells, ...ends] }];
  switch (how.layout) {
    case "tabs":
      return groups(rows, ({ season }) => season).map(([season, own]) => ({
        name: how.book ? String(season) : `strips-${season}`,
        cells: [...titles, ...tableOf(own, without("season"), how), ...ends],
      }));
    case "by season below":
      return one(
        groups(rows, ({ season }) => season).flatMap(([season, own]) => [
          [`Harvest ${season}`],
          ...tableOf(own, without("season"), how),
          [],
        ]),
      );
    case "by variety below":
      return one(
        groups(rows, ({ variety }) => variety).flatMap(([variety, own]) => [
          [variety],
          ...tableOf(own, without("variety"), how),
          [],
        ]),
      );
    case "rates across":
      return one(acrossOf(rows, "rate", how));
    case "blocks across":
      return one(acrossOf(rows, "block", how));
    case "seasons in rows of their own": {
      const parts = groups(rows, ({ season }) => season);
      return one(
        parts.flatMap(([season, own], index) => {
          const head = how.units === "in a row of their own" ? 2 : 1;
          const table = tableOf(own, without("season"), how);
          const names = index === 0 ? table.slice(0, head) : [];
          return [...names, [`Harvest ${season}`], ...table.slice(head)];
        }),
      );
    }
    case "side by side": {
      const tables = groups(rows, ({ variety }) => variety).map(([, own]) => tableOf(own, columns, how));
      return one(tables[0]!.map((_, index) => tables.flatMap((table) => [...table[index]!, ""])));
    }
    case "variety above": {
      const shared = ["season", "field", "block"] as const;
      const own = ["rate", "grain", "moisture", "lodging"] as const;
      const varieties = groups(rows, ({ variety }) => variety);
      const left = tableOf(varieties[0]![1], shared, how);
      const blocks = varieties.map(([, its]) => tableOf(its, own, how));
      const names = [...shared.map(() => ""), ...varieties.flatMap(([variety]) => [variety, "", "", "", ""])];
      return one([
        names,
        ...left.map((cells, index) => [...cells, ...blocks.flatMap((block) => [...block[index]!, ""])]),
      ]);
    }
    default: {
      const tabs = one(tableOf(rows, columns, how));
      const head = titles.length + (how.units === "in a row of their own" ? 2 : 1);
      const at = [columns.indexOf("season"), columns.indexOf("field")];
      return how.book && how.merged ? tabs.map((tab) => mergedDown(tab, at, head, rows.length)) : tabs;
    }
  }
}

function text({ cells }: Tab, how: Habit): Uint8Array {
  const mark = how.comma ? ";" : ",";
  const width = Math.max(...cells.map((row) => row.length));
  return strToU8(
    cells
      .map((row) =>
        Array.from({ length: width }, (_, index) => {
          const content = row[index] ?? "";
          const told =
            typeof content === "string"
              ? content
              : String(content.number).replace(".", how.comma ? "," : ".");
          return /[",;\n]/.test(told) && told.includes(mark) ? `"${told}"` : told;
        }).join(mark),
      )
      .join("\n"),
  );
}

const answersFor = (how: Habit): Answers => ({
  ...answersWith(how.rates === "thousands" ? { thousands: ["rate"] } : {}),
  names:
    how.spelling === "misspelt"
      ? {
          ...noAnswers.names,
          variety: Object.fromEntries(Object.entries(misspelt).map(([name, is]) => [is, name])),
        }
      : noAnswers.names,
});

const kept = (rows: readonly Row[], how: Habit): Promise<Farm> => readKept(tabsOf(rows, how), how);

const readKept = (tabs: readonly Tab[], how: Habit): Promise<Farm> => {
  const files = how.book
    ? [{ name: "book.xlsx", bytes: workbook(tabs), as: "strips" as const }]
    : tabs.map((tab) => ({ name: `${tab.name}.csv`, bytes: text(tab, how), as: "strips" as const }));
  return readFarm(files, { answers: answersFor(how) });
};

const plain = (rows: readonly Row[]): Promise<Farm> => {
  const lines = rows.map(({ variety, season, field, block, rate, grain, moisture, lodging }) =>
    [variety, season, field, block, rate / 100, grain / 10, moisture / 10, lodging].join(","),
  );
  const header = "variety,season,field,block,rate (million/ac),yield (bu/ac),moisture (%),lodging (0-9)";
  return readFarm([{ name: "strips.csv", bytes: strToU8([header, ...lines].join("\n")), as: "strips" }]);
};

const stripsOf = ({ strips }: Trial): string[] =>
  strips.map((strip: Strip) => JSON.stringify(rounded({ ...strip, place: null }))).sort();

const time = 120_000 + 2000 * mixtures;

describe("one and the same trial, however a farm keeps it", () => {
  it(
    "is the same strips",
    async () => {
      await fc.assert(
        fc.asyncProperty(trial, habit, async (rows, how) => {
          const [one, other] = [await plain(rows), await kept(rows, how)];
          accounts(other.trial);
          expect(other.trial.rowsLeftOut).toBe(0);
          expect(stripsOf(other.trial)).toEqual(stripsOf(one.trial));
        }),
        { seed, numRuns: mixtures },
      );
    },
    time,
  );

  it(
    "is the same result",
    async () => {
      await fc.assert(
        fc.asyncProperty(trial, habit, async (rows, how) => {
          expect(told(await kept(rows, how))).toEqual(told(await plain(rows)));
        }),
        { seed, numRuns: Math.ceil(mixtures / 30) },
      );
    },
    time,
  );

  it(
    "has each row used or told, whatever stands in its cells",
    async () => {
      const junk = fc.constantFrom(
        ...[
          "",
          "n/a",
          "?",
          "hail",
          "-5",
          "1e9",
          "=1+1",
          "12;5",
          "1.2.3",
          "TOTAL",
          "flat",
          "2025",
          "Ostrin",
          "0",
        ],
        ...["variety", "rate", "\u00a0", "1,234.5", "99999999999999999999", "½", "60-62", "13.1 ?"],
      );
      const damage = fc.array(fc.record({ at: fc.nat(), cell: fc.nat(), junk, wholeRow: fc.boolean() }), {
        minLength: 1,
        maxLength: 12,
      });
      await fc.assert(
        fc.asyncProperty(trial, habit, damage, async (rows, how, hits) => {
          const tabs = tabsOf(rows, how);
          for (const { at, cell, junk: put, wholeRow } of hits) {
            const { cells } = tabs[at % tabs.length]!;
            const row = cells[at % cells.length]!;
            if (wholeRow)
              cells.splice(
                at % cells.length,
                0,
                row.map((_, index) => (index === cell % 9 ? put : "")),
              );
            else if (row.length > 0) row[cell % row.length] = put;
          }
          const farm = await readKept(tabs, how).catch((error: unknown) => {
            if (!(error instanceof TrialError)) throw error;
            return null;
          });
          if (farm !== null) accounts(farm.trial);
        }),
        { seed, numRuns: mixtures },
      );
    },
    time,
  );
});
