import { compile, type TopLevelSpec } from "vega-lite";
import { describe, expect, it } from "vitest";
import { decideAgain } from "../../../src/decide/decide.ts";
import { netReturn } from "../../../src/tell/charts/net-return.ts";
import { charts } from "../../../src/tell/charts/index.ts";
import { settingsWith, whatIfFields } from "../../../src/tell/what-if.ts";
import { measuresOf } from "../../../src/numbers/measures.ts";
import { demoResult } from "../../fixtures/demo.ts";

const result = demoResult();
const measures = measuresOf(result);
const fields = whatIfFields(result, measures);
const moved = fields.map(({ key, value, lowest, highest }) => {
  const other = value === highest ? lowest : (value! + highest) / 2;
  return decideAgain(result, settingsWith(result.settings, fields, new Map([[key, other]])));
});

describe("what a chart redraws when a price or limit moves", () => {
  it.each(charts.map((chart) => [chart.name, chart] as const))("%s names all of it", (_, chart) => {
    const changed = new Set<string>();
    for (const subject of chart.subjects(result)) {
      const before = chart.draw(result, subject, measures).data;
      for (const after of moved.map((one) => chart.draw(one, subject, measures).data))
        for (const name of Object.keys(before))
          if (JSON.stringify(after[name]) !== JSON.stringify(before[name])) changed.add(name);
    }
    expect([...changed].sort()).toEqual([...chart.live, ...(chart.held ?? [])].sort());
  });
});

it("ends the axis of money where no price moves it, so that it is not laid out again", () => {
  const { scales = [] } = compile(netReturn.spec(measures) as unknown as TopLevelSpec).spec;
  expect(scales.find(({ name }) => name === "y")!.domain).toEqual([
    { signal: expect.stringContaining("data('axis')") as string },
    { signal: expect.stringContaining("data('axis')") as string },
  ]);
});
