/** All charts, in the order of the report. */
import type { Chart } from "./chart.ts";
import { netReturn } from "./net-return.ts";
import { response } from "./response.ts";

export const charts: Chart[] = [response, netReturn];
