/** Files that a seeded generator breaks in one to three ways: as people, spreadsheets and disks do. */
import { random, type Random } from "../../../../src/maths/random.ts";

export interface BrokenFile {
  name: string;
  bytes: Uint8Array;
  /** Rows that are not blank below the header; null where the damage leaves that open. */
  rows: number | null;
}

interface Table {
  header: string[];
  rows: string[][];
}

const pick = <Item>(items: readonly Item[], draw: Random): Item => items[Math.floor(draw() * items.length)]!;
const below = (count: number, draw: Random): number => Math.floor(draw() * count);

function makeTable(draw: Random): Table {
  const rates = [800_000, 1_100_000, 1_400_000, 1_700_000];
  const rows: string[][] = [];
  for (const season of [2025, 2026]) {
    for (const variety of ["Ostrindel", "Brimsolt"]) {
      for (const rate of rates) {
        rows.push([
          variety,
          String(season),
          "North",
          String(1 + below(3, draw)),
          String(rate),
          (50 + 20 * draw()).toFixed(1),
          (12 + 4 * draw()).toFixed(1),
          (18 + 10 * draw()).toFixed(1),
          String(below(8, draw)),
          `${season}-04-${20 + below(9, draw)}`,
          "",
        ]);
      }
    }
  }
  const header = ["variety", "season", "field", "block", "rate (seeds/ac)", "yield (bu/ac)", "moisture (%)"];
  return { header: [...header, "stand (plants/ft2)", "lodging", "seeded", "note"], rows };
}

const strangeCells = [
  "",
  " ",
  "-",
  "NA",
  "#N/A",
  "#DIV/0!",
  "=SUM(A1:A9)",
  "+1",
  "@x",
  "1.2",
  "28",
  "1,2",
  "1.2E+06",
  "-1",
  "0",
  "1e999",
  "abc",
  "12-Jan",
  "2026-04-28",
  "60 bu/ac",
  "13.5%",
  "$6",
  "TRUE",
  "½",
  "٣",
  "\u202eabc",
  "<b>x</b>",
  "javascript:x",
  "{{x}}",
  "__proto__",
  "x".repeat(3_000),
  "9".repeat(60),
  "a\nb",
  'a"b',
  "a;b",
  "a,b",
  "a\tb",
  "\u00a0",
  "null",
  "undefined",
];

/** Changes of the table: the number of rows stays known. */
const tableFaults: Record<string, (table: Table, draw: Random) => void> = {
  "strange cells": (table, draw) => {
    for (let times = 1 + below(6, draw); times > 0; times--) {
      const row = pick(table.rows, draw);
      row[below(row.length, draw)] = pick(strangeCells, draw);
    }
  },
  "a column of strange cells": (table, draw) => {
    const index = below(table.header.length, draw);
    const value = pick(strangeCells, draw);
    for (const row of table.rows) row[index] = value;
  },
  "short rows": (table, draw) => {
    for (let times = 3; times > 0; times--) pick(table.rows, draw).splice(1 + below(9, draw));
  },
  "long rows": (table, draw) => {
    for (let times = 3; times > 0; times--) pick(table.rows, draw).push(pick(strangeCells, draw), "x");
  },
  "a repeated header": (table, draw) => {
    table.rows.splice(below(table.rows.length, draw), 0, [...table.header]);
  },
  "repeated rows": (table, draw) => {
    table.rows.splice(below(table.rows.length, draw), 0, [...pick(table.rows, draw)]);
  },
  "merged cells": (table) => {
    table.rows.forEach((row, index) => {
      if (index % 4 !== 0) row[0] = "";
    });
  },
  "blank rows": (table, draw) => {
    for (let times = 3; times > 0; times--)
      table.rows.splice(below(table.rows.length, draw), 0, ["", "", ""]);
  },
  totals: (table) => {
    table.rows.push(["Mean", "", "", "", "", "60.0"], ["Total", "", "", "", "", "", "", "", "", "", "end"]);
  },
  "columns in another order": (table, draw) => {
    const order = table.header.map((_, index) => index).sort(() => draw() - 0.5);
    table.header = order.map((index) => table.header[index]!);
    table.rows = table.rows.map((row) => order.map((index) => row[index] ?? ""));
  },
  "a lost column": (table, draw) => {
    const index = below(table.header.length, draw);
    for (const row of [table.header, ...table.rows]) row.splice(index, 1);
  },
  "a doubled column": (table, draw) => {
    const index = below(table.header.length, draw);
    for (const row of [table.header, ...table.rows]) row.push(row[index] ?? "");
  },
  "strange headers": (table, draw) => {
    table.header[below(table.header.length, draw)] = pick(
      [...strangeCells, "rate", "yield (kg/ha)", "rate (lb/ac)"],
      draw,
    );
  },
  "other units": (table, draw) => {
    table.header[4] = pick(
      ["rate", "rate (million/ac)", "rate (kg/ha)", "rate (x)", "rate [seeds/m2]"],
      draw,
    );
    table.header[5] = pick(["yield", "yield (t/ha)", "yield (kg/ha dry)", "yield ()", "yield"], draw);
  },
  "decimal commas": (table) => {
    for (const row of table.rows)
      for (const index of [5, 6, 7]) row[index] = (row[index] ?? "").replace(".", ",");
  },
  "three decimals": (table) => {
    for (const row of table.rows) for (const index of [5, 6, 7]) row[index] = `${row[index] ?? ""}00`;
  },
  "thousands parted": (table, draw) => {
    const gap = pick([",", ".", " ", "'", "\u202f"], draw);
    for (const row of table.rows) row[4] = (row[4] ?? "").replace(/\B(?=(\d{3})+$)/g, gap);
  },
  "rates with an exponent": (table) => {
    for (const row of table.rows)
      row[4] = Number(row[4] ?? "")
        .toExponential(2)
        .toUpperCase();
  },
  "dates for rates": (table, draw) => {
    for (let times = 4; times > 0; times--)
      pick(table.rows, draw)[4] = pick(["12-Jan", "Aug-00", "1/2/2026"], draw);
  },
  "no rows": (table) => {
    table.rows = [];
  },
};

interface Written {
  text: string;
  rows: number | null;
}

/** Changes of the text: from here on rows may melt together. */
const textFaults: Record<string, (written: Written, draw: Random) => void> = {
  "cut off": (written, draw) => {
    written.text = written.text.slice(0, below(written.text.length, draw));
    written.rows = null;
  },
  "a stray quotation mark": (written, draw) => {
    const at = below(written.text.length, draw);
    written.text = `${written.text.slice(0, at)}"${written.text.slice(at)}`;
    written.rows = null;
  },
  "a lost line end": (written, draw) => {
    const ends = [...written.text.matchAll(/\n/g)].map(({ index }) => index);
    const at = pick(ends.length > 0 ? ends : [0], draw);
    written.text = written.text.slice(0, at) + written.text.slice(at + 1);
    written.rows = null;
  },
  "a zero byte": (written, draw) => {
    const at = below(written.text.length, draw);
    written.text = `${written.text.slice(0, at)}\0${written.text.slice(at)}`;
    written.rows = null;
  },
  "a title above": (written) => {
    written.text = `Variety trial of the valley\n\n${written.text}`;
    written.rows = null;
  },
  "doubled as a whole": (written) => {
    written.text += written.text;
    written.rows = null;
  },
  "garbled bytes": (written, draw) => {
    const letters = [...written.text];
    for (let times = 20; times > 0; times--)
      letters[below(letters.length, draw)] = String.fromCharCode(below(256, draw));
    written.text = letters.join("");
    written.rows = null;
  },
};

const cellText = (text: string, delimiter: string): string =>
  /["\n\r]/.test(text) || text.includes(delimiter) ? `"${text.replaceAll('"', '""')}"` : text;

function encode(text: string, encoding: string): Uint8Array {
  if (encoding === "windows-1252") return Uint8Array.from(text, (one) => one.charCodeAt(0) & 255);
  if (encoding === "utf-16le") {
    return Uint8Array.from(
      [...`\ufeff${text}`].flatMap((one) => [one.charCodeAt(0) & 255, one.charCodeAt(0) >> 8]),
    );
  }
  return new TextEncoder().encode(encoding === "utf-8-bom" ? `\ufeff${text}` : text);
}

/** So many broken files; the same number and seed give the same bytes. */
export function breakFiles(count: number, seed: number): BrokenFile[] {
  return Array.from({ length: count }, (_, index) => {
    const draw = random(seed, `odd file ${index}`);
    const table = makeTable(draw);
    const faults: string[] = [];
    for (let times = 1 + below(3, draw); times > 0; times--) {
      const fault = pick(Object.keys(tableFaults), draw);
      if (table.rows.length === 0 || faults.includes(fault)) continue;
      tableFaults[fault]!(table, draw);
      faults.push(fault);
    }
    const delimiter = pick([",", ";", "\t"], draw);
    const lineEnd = pick(["\n", "\r\n", "\r"], draw);
    const lines = [table.header, ...table.rows].map((cells) =>
      cells.map((cell) => cellText(cell, delimiter)).join(delimiter),
    );
    const notBlank = table.rows.filter((row) => row.some((cell) => cell.trim() !== "")).length;
    const written: Written = { text: lines.join("\n") + pick(["\n", ""], draw), rows: notBlank };
    if (draw() < 0.35) {
      const fault = pick(Object.keys(textFaults), draw);
      textFaults[fault]!(written, draw);
      faults.push(fault);
    }
    const encoding = pick(["utf-8", "utf-8", "utf-8-bom", "windows-1252", "utf-16le"], draw);
    return {
      name: `${index}: ${faults.join(", ")}; ${JSON.stringify(delimiter)}, ${encoding}`,
      bytes: encode(written.text.replaceAll("\n", lineEnd), encoding),
      rows: written.rows,
    };
  });
}
