/** `report --charts`: every chart as SVG, PNG and Vega-Lite spec. */
import { join } from "node:path";
import type { ResvgRenderOptions } from "@resvg/resvg-js";
import type { Result } from "../vocabulary/result.ts";
import { chartFiles } from "../tell/chart-files.ts";
import type { NumberStyle } from "../numbers/written-numbers.ts";
import type { OutputFile } from "./files.ts";
import { say } from "./messages.ts";

/** Three pixels for each one of the drawing: sharp on a projector. */
const look: ResvgRenderOptions = { fitTo: { mode: "zoom", value: 3 }, font: { loadSystemFonts: true } };

/** The files for a folder. Where no PNG can be drawn they lack, and it is said why. */
export async function pictureFiles(
  result: Result,
  folder: string,
  numbers: NumberStyle | undefined,
): Promise<OutputFile[]> {
  const png = await pngDrawer();
  if (typeof png === "string") say(`No PNG pictures: ${png} SVG and Vega-Lite specs are written.`);
  return (await chartFiles(result, numbers)).flatMap(({ name, svg, spec }): OutputFile[] => [
    { path: join(folder, `${name}.svg`), content: svg },
    { path: join(folder, `${name}.vl.json`), content: spec },
    ...(typeof png === "string" ? [] : [{ path: join(folder, `${name}.png`), content: png(svg) }]),
  ]);
}

/** Draws PNG, or why it cannot. The package is loaded here alone, since most runs need none of its machine code. */
async function pngDrawer(): Promise<((svg: string) => Uint8Array) | string> {
  const found = await import("@resvg/resvg-js").catch(() => null);
  if (found === null) return "PNG needs the package @resvg/resvg-js (npm install @resvg/resvg-js).";
  const { Resvg } = found;
  const letter = '<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><text y="9">A</text></svg>';
  if (new Resvg(letter, look).getBBox() === undefined)
    return "this machine has no font to write their labels with.";
  return (svg) => new Resvg(svg, look).render().asPng();
}
