import { describe, expect, it } from "vitest";
import { readFieldSheet } from "../../../src/points/field-sheet.ts";

const sheetOf = (text: string) =>
  readFieldSheet({ name: "sheet.csv", bytes: new TextEncoder().encode(text) }, "wheat").rows;

describe("a field sheet", () => {
  it("has its rates with decimal commas, or with commas between thousands", () => {
    const header = "position;variety;block;rate (million/ha)\n";
    const metric = sheetOf(`${header}2;Alder;1;3,5\n1;Alder;1;2,75\n`);
    expect(metric.map(({ position, rate }) => [position, rate])).toEqual([
      [1, 275],
      [2, 350],
    ]);
    const us = sheetOf('position,variety,rate (seeds/ac)\n1,Alder,"1,100,000"\n2,Alder,"1,400,000"\n');
    // 1,100,000 seeds on 4,046.8564 m².
    expect(us[0]!.rate).toBeCloseTo(271.8159, 3);
    expect(us[1]!.rate / us[0]!.rate).toBeCloseTo(14 / 11, 10);
  });
});
