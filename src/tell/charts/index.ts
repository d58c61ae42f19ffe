/** All charts, in the order of the report. */
import type { Chart } from "./chart.ts";
import { learning } from "./learning.ts";
import { lodging } from "./lodging.ts";
import { netReturn } from "./net-return.ts";
import { rates } from "./rates.ts";
import { response } from "./response.ts";
import { seasonOptima } from "./season-optima.ts";
import { seasons } from "./seasons.ts";
import { stand } from "./stand.ts";
import { influence, residuals } from "./strip-checks.ts";

export const charts: Chart[] = [
  rates,
  response,
  netReturn,
  lodging,
  stand,
  seasonOptima,
  learning,
  seasons,
  residuals,
  influence,
];
