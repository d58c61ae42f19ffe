import { describe, expect, it } from "vitest";
import type { Finding } from "../../../src/vocabulary/trial.ts";
import { readMachines } from "../../../src/points/machines.ts";
import { seededGround } from "../../../src/points/seeded-ground.ts";
import { stripAt } from "../../../src/points/strip-raster.ts";
import { plainRequest, textFile } from "../../simulate-harvest.ts";

/**
 * A drill of four sections and 12 m: passes northward and southward with their middles at 6, 18 and 30 m, then one at 36 m
 * that overlaps the third by half, its sections over seeded ground being off. Each pass has a rate of its own.
 */
const middles = [6, 18, 30, 36];
const lengthM = 240;
const rows = middles.flatMap((x, pass) =>
  Array.from({ length: 81 }, (_, j) => {
    const s = (j * lengthM) / 80;
    const isNorth = pass % 2 === 0;
    return {
      x,
      y: isNorth ? s : lengthM - s,
      t: 1000 * (pass + 1) + 2 * j,
      rate: 200 + 60 * pass,
      // Seen in the direction of the last pass, which goes south, east is left.
      on: pass === 3 ? [1, 1, 0, 0] : [1, 1, 1, 1],
    };
  }),
);
const head = "x (m),y (m),time (s),rate (seeds/m2),swath (m)";
const cells = ({ x, y, t, rate }: (typeof rows)[number], swath: number): (number | string)[] => [
  x,
  y.toFixed(2),
  t,
  rate,
  swath,
];
/** The combine goes along the passes of the drill. */
const harvest = [
  "x (m),y (m),time (s),yield (t/ha),swath (m)",
  ...rows.map((row) => [...cells(row, 9).slice(0, 3), 5, 9].join(",")),
].join("\n");

async function sownBy(
  drill: string,
): Promise<{ at: (x: number, y?: number) => number; findings: Finding[] }> {
  const findings: Finding[] = [];
  const machines = await readMachines(
    [textFile("y.csv", harvest)],
    [textFile("s.csv", drill)],
    plainRequest,
    findings,
  );
  const { read, passes, widthM, fullM } = machines.drill;
  const { strips, raster } = seededGround(read.cloud, passes, widthM, true, fullM);
  expect(strips.map(({ rate }) => Math.round(rate))).toEqual([200, 260, 320, 380]);
  // Places are metres from the middle of the drill's points.
  const middle = [...rows.map(({ x }) => x)].sort((a, b) => a - b)[rows.length >> 1]!;
  return { findings, at: (x, y = 0) => stripAt(raster, x - middle, y) };
}
const codes = (findings: readonly Finding[]): string[] => findings.map(({ code }) => code);

describe("sections of a drill that were off", () => {
  it("are told by a column each: 1 and 0, on and off, or a rate of their own", async () => {
    const spelt: ((on: number, rate: number) => string | number)[] = [
      (on) => on,
      (on) => (on === 1 ? "On" : "Off"),
      (on, rate) => on * rate,
    ];
    for (const spell of spelt) {
      const drill = [
        `${head},${[1, 2, 3, 4].map((s) => `Section ${s}`).join(",")}`,
        ...rows.map((row) => [...cells(row, 12), ...row.on.map((on) => spell(on, row.rate))].join(",")),
      ].join("\n");
      const { at, findings } = await sownBy(drill);
      // 24 to 36 m is of the third pass, 36 to 42 m of the last: not parted half way between their middles, at 33 m.
      expect([3, 12.5, 23.5, 24.5, 33.5, 35.5, 36.5, 41.5, 43].map((x) => at(x))).toEqual([
        0, 1, 1, 2, 2, 2, 3, 3, -1,
      ]);
      expect(codes(findings)).toContain("sections-taken");
      expect(codes(findings)).not.toContain("sections-untold");
    }
  });

  it("are of no rate: that of the sections that were on is the rate", async () => {
    const drill = [
      `x (m),y (m),time (s),swath (m),${[1, 2, 3, 4].map((s) => `Section ${s} rate (seeds/m2)`).join(",")}`,
      ...rows.map((row) => [row.x, row.y, row.t, 12, ...row.on.map((on) => on * row.rate)].join(",")),
    ].join("\n");
    const { at, findings } = await sownBy(drill);
    expect([33.5, 35.5, 36.5].map((x) => at(x))).toEqual([2, 2, 3]);
    expect(findings.find(({ code }) => code === "sections-taken")!.message).toContain(
      "mean of the sections that were on",
    );
  });

  it("make the swath narrower, and nothing says on which side: ground that was seeded stays as it was", async () => {
    const drill = [head, ...rows.map((row) => cells(row, row.on.includes(0) ? 6 : 12).join(","))].join("\n");
    const { at, findings } = await sownBy(drill);
    expect([3, 24.5, 33.5, 35.5, 36.5, 41.5].map((x) => at(x))).toEqual([0, 2, 2, 2, 3, 3]);
    const told = findings.find(({ code }) => code === "sections-untold")!;
    expect(told.message).toMatch(/^At 81 points the drill worked narrower than its full 39 ft/);
  });

  it("are off for a part of a pass alone", async () => {
    const drill = [
      `${head},section_1,section_2`,
      ...rows.map((row) => [...cells(row, 12), row.x === 6 && row.y > 160 ? 0 : 1, 1].join(",")),
    ].join("\n");
    const { at } = await sownBy(drill);
    // The first pass goes north: its left section is the west.
    expect([at(3, -60), at(3, 90), at(9, 90)]).toEqual([0, -1, 0]);
  });
});
