import { describe, expect, it } from "vitest";
import { lotColumns, stripColumns, type Column } from "../../../src/read/strips/columns.ts";
import { columnsKnown } from "../../../src/read/strips/columns-known.ts";
import { lotHeaders } from "../../../src/read/strips/lots-header.ts";
import { stripHeaders } from "../../../src/read/strips/strips-header.ts";
import { readTrial } from "../../../src/read/trial-files.ts";
import { defaultSettings } from "../../../src/vocabulary/settings.ts";
import { bytesOf, us } from "./read-csv.ts";

const [strips, lots] = columnsKnown();
const tables = [
  { what: "strips", told: strips!, columns: stripColumns as readonly Column[], reader: stripHeaders },
  { what: "lots", told: lots!, columns: lotColumns as readonly Column[], reader: lotHeaders },
];

describe.each(tables)("what is listed of columns of $what", ({ told, columns, reader }) => {
  const read = (header: string) => reader.read("listed.csv", [header], new Set()).columns;

  it("is every column that is read", () => {
    expect(told.columns.map(({ name }) => name)).toEqual(columns.map(({ name }) => name));
  });

  it("has other names that mean the column, each", () => {
    for (const { name, also } of told.columns)
      for (const header of [name, ...also])
        expect(
          read(header).map(({ column }) => column.name),
          header,
        ).toEqual([name]);
  });

  it("has units that the column takes, each", () => {
    for (const { name, units } of told.columns)
      for (const unit of units) {
        const [found] = read(`${name} (${unit})`);
        expect(found?.column.name, `${name} (${unit})`).toBe(name);
        if (found?.column.kind !== "lodging") expect(found?.unit?.name).toBe(unit);
      }
  });
});

describe("the example that is listed", () => {
  it("is read as strips", () => {
    const { strips: found } = readTrial(
      [{ name: "a.csv", bytes: bytesOf(strips!.example) }],
      defaultSettings,
      us,
    );
    expect(found).toHaveLength(1);
  });
});
