/** What the command's second thread can do. */
import { stepsApart } from "../farm/analyze-farm.ts";
import { needsOnFarms } from "../farm/region.ts";

export const worksApart = { ...stepsApart, needsOnFarms } as const;
