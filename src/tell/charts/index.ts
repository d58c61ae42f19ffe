/** All charts, in the order of the report. */
import type { Chart } from "./chart.ts";
import { lodging } from "./lodging.ts";
import { netReturn } from "./net-return.ts";
import { rates } from "./rates.ts";
import { residuals } from "./residuals.ts";
import { response } from "./response.ts";
import { seasons } from "./seasons.ts";
import { stand } from "./stand.ts";

export const charts: Chart[] = [rates, response, netReturn, seasons, lodging, stand, residuals];
