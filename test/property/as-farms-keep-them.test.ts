import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { TrialError, type Strip, type Trial } from "../../src/vocabulary/trial.ts";
import { habit, kept, plain, readKept, tabsOf, trial } from "../fixtures/kept-on-farms.ts";
import { accounts, rounded, told } from "../fixtures/same-result.ts";

/** A few in every run of the tests; `STRIPCURVE_MIXTURES=2000` and another `STRIPCURVE_SEED` look further. */
const mixtures = Number(process.env["STRIPCURVE_MIXTURES"] ?? 30);
const seed = Number(process.env["STRIPCURVE_SEED"] ?? 20260428);

const stripsOf = ({ strips }: Trial): string[] =>
  strips.map((strip: Strip) => JSON.stringify(rounded({ ...strip, place: null }))).sort();

const time = 120_000 + 2000 * mixtures;

describe("one and the same trial, however a farm keeps it", () => {
  it(
    "is the same strips",
    async () => {
      await fc.assert(
        fc.asyncProperty(trial, habit, async (rows, how) => {
          const [one, other] = [await plain(rows, how), await kept(rows, how)];
          accounts(other.trial);
          expect(other.trial.rowsLeftOut).toBe(0);
          expect(stripsOf(other.trial)).toEqual(stripsOf(one.trial));
          expect(rounded(other.settings.lots)).toEqual(rounded(one.settings.lots));
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
          expect(told(await kept(rows, how))).toEqual(told(await plain(rows, how)));
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
        "variety",
        "rate",
        "\u00a0",
        "1,234.5",
        "99999999999999999999",
        "½",
        "60-62",
        "13.1 ?",
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
          const farm = await readKept(tabs, rows, how).catch((error: unknown) => {
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
