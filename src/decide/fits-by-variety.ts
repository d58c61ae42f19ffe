/** The fits of each variety, found once, however often a price changes. */
import { gather } from "../maths/group-by.ts";
import { remembered } from "../maths/remembered.ts";
import type { FittedVariety } from "../vocabulary/result.ts";

export const fitsByVariety = remembered((fits: readonly FittedVariety[]) =>
  gather(fits, ({ variety }) => variety),
);
