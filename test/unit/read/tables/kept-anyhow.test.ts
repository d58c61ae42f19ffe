import { describe, expect, it } from "vitest";
import { parseCrop } from "../../../../src/read/crop-names.ts";
import { toPerAcre } from "../../../../src/numbers/units.ts";
import type { Trial } from "../../../../src/vocabulary/trial.ts";
import { metric, readCsv, trialErrorOf } from "../read-csv.ts";

const rates = ({ strips }: Trial): number[] =>
  strips.map(({ rateSeedsPerM2 }) => Math.round(toPerAcre(rateSeedsPerM2) / 1e4) / 100);

describe("tables as farms keep them", () => {
  it.each([
    ["Rate (mil)", "million seeds/ac"],
    ["Rate (M)", "million seeds/ac"],
    ["Pop (k)", "thousand seeds/ac"],
    ["Pop. (x1000)", "thousand seeds/ac"],
  ])("ask of what area %j is, with an answer to copy", (header, unit) => {
    const error = trialErrorOf(() => readCsv(`variety,season,${header},yield\nOst,2026,1.2,60\n`));
    expect(error.message).toContain(`columns.yaml: columns: {"${header}": rate (${unit})}`);
  });

  it("take what the row above tells of the columns below each", () => {
    const trial = readCsv(
      ',,"800,000",,"1,100,000",\nVariety,Year,Yield,Moist,Yield,Moist\nOst,2026,60,13.5,64,13.5\nElm,2026,61,13.5,66,13.5\n',
    );
    expect(rates(trial)).toEqual([0.8, 1.1, 0.8, 1.1]);
    expect(trial.strips.every(({ moisturePct }) => moisturePct === 13.5)).toBe(true);
  });

  it("pass over means in columns of their own beside the strips", () => {
    const trial = readCsv(
      "Variety,Season,Rate,Yield,,Variety,Mean yield,LSD\nOst,2026,1200000,60,,Ost,62,2.1\nElm,2026,1200000,61,,,,\n",
    );
    expect(trial.strips.map(({ variety }) => variety)).toEqual(["Ost", "Elm"]);
    expect(trial.findings.map(({ code, message }) => [code, message])).toContainEqual([
      "columns-beside",
      'Columns "Variety", "Mean yield", "LSD" beside the strips hold no strips, and are not read.',
    ]);
  });

  it("read codes by a legend below the strips", () => {
    const { strips } = readCsv(
      "Plot,Variety,Season,Rate,Yield\n1,V1,2026,1200000,60\n2,V2,2026,1200000,61\n,,,,\nV1 = Ostrin,,,,\nV2 = Wester 22,,,,\n",
    );
    expect(strips.map(({ variety }) => variety)).toEqual(["Ostrin", "Wester 22"]);
  });

  it("ask for the unit of a yield with the likeliest first", () => {
    const error = trialErrorOf(() => readCsv("variety,season,rate,yield\nOst,2026,300,4.3\n", {}, metric));
    expect(error.message).toContain('columns: {"yield": yield (t/ha)}');
  });

  it("take names of fields, called so, in rows of their own above their strips, but no remarks between strips", () => {
    const head = "Variety,Season,Rate,Yield";
    const read = (...lines: string[]) =>
      readCsv(`${[head, ...lines].join("\n")}\n`).strips.map(({ field }) => field);
    const [one, other] = ["Ost,2026,1200000,60", "Elm,2026,1200000,61"];
    expect(read("Field Home,,,", one, other, "Field Creek,,,", one, other)).toEqual([
      "Home",
      "Home",
      "Creek",
      "Creek",
    ]);
    expect(read(one, "wet spot,,,", other, "wet again,,,", one)).toEqual(["", "", ""]);
    // A word alone may be a variety whose row was never filled in: nothing is made of it.
    expect(read("Ost,,,", one, other)).toEqual(["", ""]);
  });

  it("know crops by their kind", () => {
    expect(
      ["HRSW", "Malt barley", "feed barley 2-row", "wheat and barley", "buckwheat"].map(parseCrop),
    ).toEqual(["wheat", "barley", "barley", null, null]);
  });
});
