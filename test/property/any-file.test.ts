/** Whatever a file holds: an answer with findings or one plain message, and no row that goes missing. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { analyze } from "../../src/analyze.ts";
import { checkTrial } from "../../src/check/index.ts";
import { readTrial } from "../../src/read/trial-files.ts";
import { defaultSettings, defaultUnits } from "../../src/vocabulary/settings.ts";
import { TrialError, type Trial } from "../../src/vocabulary/trial.ts";

const cell = fc.oneof(
  {
    weight: 6,
    arbitrary: fc.constantFrom("A", "B", "2024", "2025", "1", "2", "1.2", "1200000", "300", "55.5", "13"),
  },
  {
    weight: 2,
    arbitrary: fc.constantFrom(
      "",
      " ",
      "-",
      "NA",
      "0",
      "-5",
      "1e9",
      "1e-9",
      "1e400",
      "NaN",
      "Infinity",
      "1,200,000",
    ),
  },
  {
    weight: 1,
    arbitrary: fc.constantFrom(
      "=1+1",
      "#REF!",
      "2024-05-01",
      "1/2/24",
      "\u0000",
      "\u202ex",
      "−3",
      "½",
      "٣",
      '"',
      "a;b\tc,d",
    ),
  },
  { weight: 1, arbitrary: fc.string({ maxLength: 12, unit: "binary" }) },
);
const header = fc.oneof(
  {
    weight: 8,
    arbitrary: fc.constantFrom(
      "variety",
      "season",
      "rate (seeds/ac)",
      "rate (million/ac)",
      "rate (lb/ac)",
      "yield (bu/ac)",
      "yield (t/ha)",
      "moisture (%)",
      "block",
      "position",
      "field",
      "stand (plants/ft2)",
      "lodging",
      "protein",
      "seeded",
      "note",
    ),
  },
  { weight: 1, arbitrary: cell },
);
const needed = ["variety", "season", "rate (seeds/ac)", "yield (bu/ac)"];
const headers = fc.oneof(
  { weight: 1, arbitrary: fc.array(header, { minLength: 1, maxLength: 9 }) },
  {
    weight: 3,
    arbitrary: fc
      .array(header, { maxLength: 3 })
      .map((more) => [...needed, ...more.filter((name) => !needed.includes(name))]),
  },
);
const sound = fc
  .tuple(
    fc.constantFrom("A", "B"),
    fc.constantFrom("2024", "2025"),
    fc.constantFrom("800000", "1200000", "1600000"),
    fc.integer({ min: 40, max: 70 }),
  )
  .map((row) => row.map(String));
const row = fc.oneof(
  { weight: 3, arbitrary: sound },
  { weight: 2, arbitrary: fc.array(cell, { maxLength: 9 }) },
);
const file = fc
  .record({
    headers,
    rows: fc.array(row, { maxLength: 25 }),
    comma: fc.constantFrom(",", ";", "\t"),
    end: fc.constantFrom("\n", "\r\n"),
  })
  .map(({ headers: names, rows, comma, end }) =>
    [names, ...rows].map((cells) => cells.join(comma)).join(end),
  );
const bytes = fc.oneof(
  { weight: 9, arbitrary: file.map((text) => new TextEncoder().encode(text)) },
  { weight: 1, arbitrary: fc.uint8Array({ maxLength: 200 }) },
);

/** The trial, or null where the file was refused by a plain message. */
function readAndCheck(files: Uint8Array[]): Trial | null {
  try {
    const named = files.map((content, i) => ({ name: `file-${i}.csv`, bytes: content }));
    return checkTrial(readTrial(named, defaultSettings, defaultUnits), defaultSettings, defaultUnits);
  } catch (error) {
    if (!(error instanceof TrialError)) throw error;
    expect(error.message).toMatch(/^\S.*\.$/s);
    return null;
  }
}

/** Places of numbers that JSON cannot hold. */
const unwritable = (value: unknown, path = ""): string[] =>
  typeof value === "number" && !Number.isFinite(value)
    ? [path]
    : value === undefined
      ? [path]
      : typeof value === "object" && value !== null
        ? Object.entries(value).flatMap(([key, inner]) => unwritable(inner, `${path}.${key}`))
        : [];

describe("any file", () => {
  it("accounts for each row: used, or listed once with its reason", () => {
    let understood = 0;
    fc.assert(
      fc.property(fc.array(bytes, { minLength: 1, maxLength: 2 }), (files) => {
        const trial = readAndCheck(files);
        if (trial === null) return;
        understood++;
        expect(trial.rowsRead).toBe(trial.strips.length + trial.rowsLeftOut);
        const listed = trial.findings.filter(({ code }) => code.startsWith("row-"));
        expect(listed).toHaveLength(trial.rowsLeftOut);
        expect(new Set(listed.map(({ file: name, row: number }) => `${name} ${number}`)).size).toBe(
          trial.rowsLeftOut,
        );
        expect(unwritable(trial)).toEqual([]);
        expect(trial.environments.reduce((sum, { strips }) => sum + strips, 0)).toBe(trial.strips.length);
      }),
      { seed: 20270424, numRuns: 600 },
    );
    expect(understood).toBeGreaterThan(120);
  });

  it("ends in a result that JSON can hold", () => {
    fc.assert(
      fc.property(fc.array(sound, { maxLength: 12 }), fc.array(row, { maxLength: 4 }), (rows, odd) => {
        const text = [needed, ...rows, ...odd].map((cells) => cells.join(",")).join("\n");
        const files = [{ name: "strips.csv", bytes: new TextEncoder().encode(text) }];
        let trial: Trial;
        try {
          trial = readTrial(files, defaultSettings, defaultUnits);
        } catch (error) {
          if (!(error instanceof TrialError)) throw error;
          return;
        }
        const result = analyze(trial, defaultSettings, defaultUnits);
        expect(unwritable(result)).toEqual([]);
        expect(JSON.parse(JSON.stringify(result))).toEqual(result);
        expect(result.rows.read).toBe(result.rows.used + result.rows.leftOut);
      }),
      { seed: 20270424, numRuns: 12 },
    );
  });
});
