import { describe, expect, it } from "vitest";
import { analyze } from "../../../../src/analyze.ts";
import { checkTrial } from "../../../../src/check/index.ts";
import { readTrial } from "../../../../src/read/trial-files.ts";
import { defaultSettings, defaultUnits } from "../../../../src/vocabulary/settings.ts";
import { TrialError, type Trial } from "../../../../src/vocabulary/trial.ts";
import { handMade, type Outcome } from "./hand-made.ts";
import { breakFiles } from "./seeded.ts";

const broken = breakFiles(300, 20260428);

const known = new Map<Uint8Array, Trial | string>();
/** Each file is read once for all tests. */
function read(bytes: Uint8Array): Trial | string {
  const trial = known.get(bytes) ?? readOnce(bytes);
  known.set(bytes, trial);
  return trial;
}

/** The trial, or the code of the error that told the person what to do. Any other error fails. */
function readOnce(bytes: Uint8Array): Trial | string {
  try {
    return readTrial([{ name: "odd.csv", bytes }], defaultSettings, defaultUnits);
  } catch (error) {
    if (!(error instanceof TrialError)) throw error;
    expect(error.message).toMatch(/^odd\.csv\b.{20,}/su);
    expect(error.message.length).toBeLessThan(3_000);
    expect(error.message).not.toMatch(/undefined|\[object|NaN/);
    return error.code;
  }
}

/** Every row is a strip or has one finding of its own; nothing but plain numbers; findings that say something. */
function expectNothingLost(trial: Trial): void {
  const left = trial.findings.filter(({ code }) => code.startsWith("row-"));
  expect(trial.strips.length + left.length).toBe(trial.rowsRead);
  expect(left).toHaveLength(trial.rowsLeftOut);
  const rows = [...trial.strips.map(({ place }) => place.row), ...left.map(({ row }) => row)];
  expect(new Set(rows).size).toBe(trial.rowsRead);
  for (const finding of trial.findings) {
    expect(finding.message).toMatch(/^[A-Z].+\.$/s);
    expect(finding.message).not.toMatch(/undefined|\[object|NaN|Infinity/);
    expect(finding.value?.length ?? 0).toBeLessThanOrEqual(60);
    if (finding.code.startsWith("row-"))
      expect(finding).toMatchObject({ file: "odd.csv", severity: "stops" });
  }
  expect(JSON.parse(JSON.stringify(trial))).toStrictEqual(trial);
}

/** Rows that are no strips, listed together: totals, remarks, names of columns above another table. */
const rowsTold = ({ findings }: Trial): number =>
  findings
    .filter(({ code }) => code === "rows-skipped" || code === "table-begins" || code === "titles-skipped")
    .reduce(
      (count, { code, message }) =>
        count + (code === "table-begins" ? 1 : (message.match(/\d+ \("/g) ?? []).length),
      0,
    );

const outcomeOf = (trial: Trial | string): Outcome =>
  typeof trial === "string" ? trial : { used: trial.strips.length, left: trial.rowsLeftOut };

describe("odd files made by hand", () => {
  it.each(handMade.map((file) => [file.name, file] as const))("%s", (_, { bytes, outcome }) => {
    const trial = read(bytes);
    expect(outcomeOf(trial)).toEqual(outcome);
    if (typeof trial !== "string") expectNothingLost(trial);
  });
});

describe("odd files made by breaking good ones", () => {
  it("are many, of all kinds, and end in trials as well as in errors", () => {
    expect(handMade.length + broken.length).toBeGreaterThan(300);
    const outcomes = broken.map(({ bytes }) => outcomeOf(read(bytes)));
    const codes = new Set(outcomes.filter((outcome) => typeof outcome === "string"));
    expect(codes.size).toBeGreaterThanOrEqual(5);
    expect(outcomes.filter((outcome) => typeof outcome !== "string").length).toBeGreaterThan(100);
  });

  it.each(broken.map((file) => [file.name, file] as const))("%s", (_, { bytes, rows }) => {
    const trial = read(bytes);
    if (typeof trial === "string") {
      expect(trial).toMatch(/^[a-z]+(-[a-z]+)*$/);
      return;
    }
    expectNothingLost(trial);
    if (rows !== null) expect(trial.rowsRead + rowsTold(trial)).toBe(rows);
  });
});

describe("what is read from odd files", () => {
  it("goes through checking and analysis without a number that JSON cannot hold", () => {
    // Many of these files hold the same strips, written in another way: each trial is analysed once.
    const analysed = new Set<string>();
    for (const { name, bytes } of [...handMade, ...broken.slice(0, 8)]) {
      const trial = read(bytes);
      if (typeof trial === "string") continue;
      const checked = checkTrial(trial, defaultSettings, defaultUnits);
      const strips = JSON.stringify([checked.strips, checked.environments], (key, value: unknown) =>
        key === "place" ? null : value,
      );
      if (analysed.has(strips)) continue;
      analysed.add(strips);
      const result = analyze(checked, defaultSettings, defaultUnits);
      expect(result.rows.used + result.rows.leftOut, name).toBe(result.rows.read);
      expect(JSON.parse(JSON.stringify(result)), name).toStrictEqual(result);
    }
  });
});
