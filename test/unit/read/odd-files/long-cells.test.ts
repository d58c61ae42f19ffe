/** Reading takes twice as long for twice as much, whatever stands in the file. */
import { describe, expect, it } from "vitest";
import { readLots } from "../../../../src/read/lots.ts";
import { readSeason } from "../../../../src/read/season-file/season.ts";
import { readTrial } from "../../../../src/read/trial-files.ts";
import { defaultSettings } from "../../../../src/vocabulary/settings.ts";
import { us } from "../read-csv.ts";

const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);
const strips = (text: string): void => {
  readTrial([{ name: "strips.csv", bytes: bytesOf(text) }], defaultSettings, us);
};
const lots = (text: string): void => {
  readLots({ name: "lots.csv", bytes: bytesOf(text) }, defaultSettings, us);
};
const season = (text: string): void => {
  readSeason({ name: "season.yaml", bytes: bytesOf(text) });
};
const header = "variety,season,field,block,rate (seeds/ac),yield (bu/ac)";

/** CPU time that a reading takes, whether the file is refused or not [microseconds]. */
function cost(read: (text: string) => void, text: string): number {
  const before = process.cpuUsage();
  try {
    read(text);
  } catch {
    // Refused; the time counts all the same.
  }
  return process.cpuUsage(before).user;
}

const cells: [what: string, read: (text: string) => void, ofLength: (length: number) => string][] = [
  [
    "spaces before a percent sign",
    strips,
    (n) => `${header},moisture\nA,2026,N,1,1000000,60,%${" ".repeat(n)}x\n`,
  ],
  ["spaces in a number", strips, (n) => `${header}\nA,2026,N,1,1${" ".repeat(n)}x,60\n`],
  ["spaces in a date", strips, (n) => `${header},seeded\nA,2026,N,1,1000000,60,1${" ".repeat(n)}x\n`],
  ["spaces in a header", strips, (n) => `${header}${" ".repeat(n)}x\nA,2026,N,1,1000000,60\n`],
  [
    "spaces in a lodging scale",
    strips,
    (n) => `${header},lodging (a${" ".repeat(n)}b)\nA,2026,N,1,1000000,60,1\n`,
  ],
  ["many headers", strips, (n) => `${header},${"a,".repeat(n / 10)}b\nA,2026,N,1,1000000,60\n`],
  [
    "many headers and none of them the rate",
    strips,
    (n) => `variety,season,yield,${"rata,".repeat(n / 10)}b\nA,2026,60\n`,
  ],
  ["one long line", strips, (n) => "a".repeat(n)],
  ["quotation marks", strips, (n) => `${header}\n${'"a""'.repeat(n / 4)}`],
  ["spaces in a unit of price", lots, (n) => `variety,seed_price,seed_price_unit\nA,20,/${" ".repeat(n)}x\n`],
  [
    "strokes in a unit of price",
    lots,
    (n) => `variety,seed_price,seed_price_unit\nA,20,${"/ ".repeat(n / 2)}x\n`,
  ],
  ["spaces in the season's lodging scale", season, (n) => `lodging_scale: "a${" ".repeat(n)}b"\n`],
  ["spaces in a price of the season", season, (n) => `grain_price: "6${" ".repeat(n)}b"\n`],
  ["spaces in a unit of the season", season, (n) => `row_spacing: "6 i${" ".repeat(n)}n"\n`],
];

describe("reading", () => {
  it.each(cells)("is linear in %s", (_, read, ofLength) => {
    const length = 30_000;
    cost(read, ofLength(1_000));
    const [single, double] = [ofLength(length), ofLength(2 * length)];
    // A part of a second that grows fourfold is what this is to find, and it grows so at each try; some milliseconds
    // are noise, and a machine with other work may disturb one try.
    const grows = (): boolean => {
      const once = cost(read, single);
      return cost(read, double) > 2.8 * once + 20_000;
    };
    expect([1, 2, 3, 4].every(grows)).toBe(false);
  });
});
