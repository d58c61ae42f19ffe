import { parse, View } from "vega";
import { compile, type TopLevelSpec } from "vega-lite";
import { describe, expect, it } from "vitest";
import { specWithData } from "../../src/tell/charts/chart.ts";
import { charts } from "../../src/tell/charts/index.ts";
import { slimSvg } from "../../src/tell/slim-svg.ts";
import { measuresOf } from "../../src/numbers/measures.ts";
import { demoResult } from "../fixtures/demo.ts";
import { noBrowser, reportBrowser } from "./open-report.ts";

/** Two drawings as the browser paints them on white: the share of pixels that differ visibly, and of those with ink. */
async function compared([first, second]: string[]): Promise<{ differ: number; inked: number }> {
  const painted = async (svg: string): Promise<Uint8ClampedArray> => {
    const image = new Image();
    image.src = `data:image/svg+xml,${encodeURIComponent(svg)}`;
    await image.decode();
    const canvas = document.createElement("canvas");
    [canvas.width, canvas.height] = [2 * image.width, 2 * image.height];
    const context = canvas.getContext("2d")!;
    context.fillStyle = "white";
    context.fillRect(0, 0, canvas.width, canvas.height);
    context.drawImage(image, 0, 0, canvas.width, canvas.height);
    return context.getImageData(0, 0, canvas.width, canvas.height).data;
  };
  const [a, b] = [await painted(first!), await painted(second!)];
  if (a.length !== b.length) return { differ: 1, inked: 0 };
  let [differ, inked] = [0, 0];
  // A shift by a twentieth of a pixel, at twice the size, changes the edge of a dark shape by a tenth of 255.
  for (let at = 0; at < a.length; at += 4) {
    const far = Math.max(...[0, 1, 2].map((channel) => Math.abs(a[at + channel]! - b[at + channel]!)));
    if (far > 64) differ++;
    if (a[at]! + a[at + 1]! + a[at + 2]! < 3 * 255) inked++;
  }
  return { differ: differ / (a.length / 4), inked: inked / (a.length / 4) };
}

describe.skipIf(noBrowser)("slim SVG in a browser", () => {
  const browser = reportBrowser();
  const result = demoResult();
  const measures = measuresOf(result);

  it.each(charts.map((chart) => chart.name))("paints %s as it was drawn, in half the bytes", async (name) => {
    const chart = charts.find((one) => one.name === name)!;
    const [subject = ""] = chart.subjects(result);
    const spec = specWithData(chart.spec(measures), chart.draw(result, subject, measures).data);
    const view = new View(parse(compile(spec as unknown as TopLevelSpec).spec), { renderer: "none" });
    const drawn = await view.toSVG();
    const slim = slimSvg(drawn);
    expect(slim.length).toBeLessThan(0.5 * drawn.length);
    const { page } = await browser.turn("<!doctype html><body></body>");
    const { differ, inked } = await page.evaluate(compared, [drawn, slim]);
    expect(inked).toBeGreaterThan(0.01);
    expect(differ).toBeLessThan(0.001);
    // What would be seen: the same drawing without its first symbols.
    const without = slim.replace(/<(circle|path)[^>]*(?:cx|marker-start)=[^>]*>/, "");
    if (without !== slim)
      expect((await page.evaluate(compared, [drawn, without])).differ).toBeGreaterThan(differ);
  });
});
