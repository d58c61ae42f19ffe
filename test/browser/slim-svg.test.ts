import { parse, View } from "vega";
import { compile, type TopLevelSpec } from "vega-lite";
import { describe, expect, it } from "vitest";
import { specWithData } from "../../src/tell/charts/chart.ts";
import { charts } from "../../src/tell/charts/index.ts";
import { slimSvg } from "../../src/tell/slim-svg.ts";
import { measuresOf } from "../../src/numbers/measures.ts";
import { demoResult } from "../fixtures/demo.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";

/** Every shape that can be seen: where it lies to the half pixel, and how it is painted. */
function seen(): string[] {
  return [...document.querySelectorAll("path, circle, line, rect, text")]
    .map((shape) => {
      const { fill, stroke, strokeWidth, strokeDasharray, opacity, fontSize, textAnchor } =
        getComputedStyle(shape);
      const { x, y, width, height } = shape.getBoundingClientRect();
      const place = [x, y, width, height].map((value) => Math.round(value * 2) / 2);
      return { fill, stroke, strokeWidth, strokeDasharray, opacity, fontSize, textAnchor, place, shape };
    })
    .filter(({ fill, stroke }) => fill !== "none" || stroke !== "none")
    .map(({ shape, ...look }) => JSON.stringify({ ...look, text: shape.textContent }));
}

describe.skipIf(noBrowser)("slim SVG in a browser", () => {
  const browser = reportBrowser();
  const result = demoResult();
  const measures = measuresOf(result);

  it.each(charts.map((chart) => chart.name))("shows %s as it was drawn", async (name) => {
    const chart = charts.find((one) => one.name === name)!;
    const [subject = ""] = chart.subjects(result);
    const spec = specWithData(chart.spec(measures), chart.draw(result, subject, measures).data);
    const view = new View(parse(compile(spec as unknown as TopLevelSpec).spec), { renderer: "none" });
    const drawn = await view.toSVG();
    const slim = slimSvg(drawn);
    expect(slim.length).toBeLessThan(0.8 * drawn.length);
    const looks = [];
    for (const svg of [drawn, slim]) {
      const { page } = await browser.open(`<!doctype html><body>${svg}</body>`);
      looks.push(await page.evaluate(seen));
    }
    expect(looks[1]!.length).toBeGreaterThan(10);
    const [before, after] = looks.map((look) => look.map((text) => JSON.parse(text)));
    expect(after!.length).toBe(before!.length);
    after!.forEach((shape, index) => {
      const { place, ...paint } = shape;
      const { place: placeBefore, ...paintBefore } = before![index];
      expect(paint).toEqual(paintBefore);
      place.forEach((value: number, side: number) =>
        expect(Math.abs(value - placeBefore[side])).toBeLessThanOrEqual(0.5),
      );
    });
  });
});
