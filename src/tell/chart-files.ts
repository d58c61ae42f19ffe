/** Every chart of a result for slides and other programs: a picture that stands alone, and its spec with the data inside. */
import type { Result } from "../vocabulary/result.ts";
import { specWithData, type Spec } from "./charts/chart.ts";
import { charts } from "./charts/index.ts";
import { colours } from "./charts/look.ts";
import { chartDrawer, chartSpec } from "./draw-charts.ts";
import { idOf, markup, raw } from "./html/markup.ts";
import { measuresOf } from "../numbers/measures.ts";
import { plainStyle, type NumberStyle } from "../numbers/written-numbers.ts";

export interface ChartFile {
  /** File name without ending: small letters, digits and dashes, whatever the variety is called. */
  name: string;
  /** SVG on white ground, title and description inside. */
  svg: string;
  /** Vega-Lite spec as JSON. */
  spec: string;
}

export async function chartFiles(result: Result, numbers: NumberStyle = plainStyle): Promise<ChartFile[]> {
  const measures = measuresOf(result, numbers);
  const drawer = chartDrawer(measures);
  const files: ChartFile[] = [];
  for (const chart of charts)
    for (const subject of chart.subjects(result)) {
      const { data, heading, description } = chart.draw(result, subject, measures);
      const title = subject === "" ? heading : `${subject}: ${heading}`;
      const bare = specWithData(chartSpec(chart, measures), data);
      const config = { ...(bare.config as Spec), background: colours.paper };
      files.push({
        name:
          subject === ""
            ? chart.name
            : idOf(chart.name, subject, result.varieties.indexOf(subject)).slice(0, longestName),
        svg: standingAlone(await drawer.drawSvg(chart, data), title, description),
        spec: `${JSON.stringify({ ...bare, title, description, config }, null, 1)}\n`,
      });
    }
  return files;
}

/** Chart and place in the list come first and keep names apart; disks bear no more than 255 letters. */
const longestName = 80;

/** A drawn picture with its own ground and words. */
const standingAlone = (svg: string, title: string, description: string): string =>
  svg.replace(
    /^<svg[^>]*>/,
    (start) =>
      `${start}${markup`<title>${title}</title><desc>${description}</desc>${raw(`<rect width="100%" height="100%" fill="${colours.paper}"/>`)}`.text}`,
  );
