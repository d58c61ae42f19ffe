/** Names of the response forms. */
import type { FormName } from "../../vocabulary/settings.ts";

export const formWords: Record<FormName, string> = {
  none: "no response",
  linear: "straight line",
  quadratic: "curve (quadratic)",
  "linear-plateau": "line to a plateau",
  "quadratic-plateau": "curve to a plateau",
};
